"""What the risk of each plant was at the end of the last round, and why it is another now."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from datetime import date as Day

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.service.collection.division import DivisionEntered, divide
from rounds.service.collection.plants import move_plant, put_weather
from rounds.service.entries.looks import LookWritten
from rounds.service.inference import kept
from rounds.service.inference.day import CollectionDay, records
from rounds.service.inference.together import in_order
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.before import Before, DayBefore
from rounds.service.plant.record import PlantRecord

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
TODAY = Day(2026, 5, 4)
CAME, LAST = Day(2026, 4, 1), Day(2026, 5, 1)


def today(logbook: Logbook) -> list[PlantRecord]:
    return in_order(records(logbook, logbook.clock.today()))


def ids_of(here: list[PlantRecord]) -> list[int]:
    return [record.plant.id for record in here]


def looked_back(logbook: Logbook) -> tuple[list[PlantRecord], Before]:
    """The plants as they are today, and the day before with all its risks worked out."""
    here = today(logbook)
    before = DayBefore(here)
    for _ in before.pieces(ids_of(here)):
        pass
    return here, before.told()


def was_of(here: list[PlantRecord], before: Before) -> dict[str, float | None]:
    return {r.plant.code: before.changes[r.plant.id].was for r in here}


def change(logbook: Logbook, code: str) -> str:
    here, before = looked_back(logbook)
    return before.changes[next(r.plant.id for r in here if r.plant.code == code)].text


@pytest.fixture
def three(add: Add, look: LookIn) -> None:
    """G02 touches G04; S03 came new. All were seen whole on 1 May, G04 held two insects before."""
    add("G02", "Thole", on=CAME)
    add("G04", "Cuddy", on=CAME, touches=("G02",))
    add("S03", "Pintle", arrived=CAME, on=CAME, place="stair foot")
    look("G04", CAME + timedelta(5), "axils", counts={"removed": 2})
    for code in ("G02", "G04", "S03"):
        look(code, LAST)


@pytest.mark.usefixtures("three")
def test_it_is_the_risk_at_the_end_of_that_day(logbook: Logbook) -> None:
    then = {r.plant.code: r.likely.risk.value for r in records(logbook, LAST)}
    here, before = looked_back(logbook)
    assert before.on == LAST
    assert was_of(here, before) == then
    assert any(round(r.likely.risk.value) != round(then[r.plant.code]) for r in here)


@pytest.mark.usefixtures("three")
def test_looks_of_today_do_not_make_today_the_last_round(logbook: Logbook, look: LookIn) -> None:
    look("G02", TODAY)
    _, before = looked_back(logbook)
    assert before.on == LAST


@pytest.mark.usefixtures("three")
def test_it_is_worked_out_piece_by_piece_and_the_keys_come_in_between(logbook: Logbook) -> None:
    here = today(logbook)
    before, ids = DayBefore(here), ids_of(here)
    assert [before.told().is_known(plant_id) for plant_id in ids] == [False] * 3
    known = [len(before.told().changes) for _ in before.pieces(ids)]
    # one piece for what left the infested plant, one for each risk
    assert known == [0, 1, 2, 3]
    assert all(before.told().is_known(plant_id) for plant_id in ids)


@pytest.mark.usefixtures("three")
def test_stopped_half_way_it_goes_on_where_it_was(logbook: Logbook) -> None:
    here = today(logbook)
    before = DayBefore(here)
    pieces = 0
    while len(before.told().changes) < len(here):
        next(before.pieces(ids_of(here)))
        pieces += 1
    assert pieces == 1 + len(here)


@pytest.mark.usefixtures("three")
def test_only_those_asked_for_are_worked_out(logbook: Logbook) -> None:
    here = today(logbook)
    before = DayBefore(here)
    first, *_ = ids_of(here)
    for _ in before.pieces([first]):
        pass
    assert set(before.told().changes) == {first}


@pytest.mark.usefixtures("three")
def test_what_was_worked_out_on_the_day_is_not_worked_out_again(
    logbook: Logbook, clock: SetClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock.instant = datetime(2026, 5, 1, 20, tzinfo=UTC)
    then = {r.plant.code: r.likely.risk.value for r in in_order(records(logbook, LAST))}
    clock.instant = datetime(2026, 5, 4, 9, tzinfo=UTC)
    here = today(logbook)
    monkeypatch.setattr(
        "rounds.core.inference.answer.answer", lambda *_, **__: pytest.fail("worked out again")
    )
    monkeypatch.setattr(CollectionDay, "_leave", lambda *_: pytest.fail("worked out again"))
    before = DayBefore(here)
    for _ in before.pieces(ids_of(here)):
        pass
    assert was_of(here, before.told()) == then


@pytest.mark.usefixtures("three")
def test_what_is_kept_of_the_last_round_never_stands_for_another_log(
    logbook: Logbook, look: LookIn
) -> None:
    known = was_of(*looked_back(logbook))
    # entered today about a day before the last round
    look("S03", LAST - timedelta(3), "axils", counts={"removed": 4})
    now = was_of(*looked_back(logbook))
    assert now["S03"] != known["S03"]
    assert now["S03"] == next(
        r.likely.risk.value for r in records(logbook, LAST) if r.plant.code == "S03"
    )


@pytest.mark.usefixtures("three")
def test_the_newest_day_is_never_kept_as_an_earlier_one(logbook: Logbook) -> None:
    for on in (TODAY, TODAY - timedelta(2), TODAY):
        _ = [r.likely.risk for r in records(logbook, on)]
    with logbook.file.reading() as connection:
        found = connection.execute("SELECT key FROM derived WHERE what LIKE 'was risk%'").fetchall()
    assert found
    assert all(key.startswith((TODAY - timedelta(2)).isoformat()) for (key,) in found)
    assert kept.WAS == "was "


# why it is another


@pytest.mark.usefixtures("three")
def test_a_find_is_named_with_its_day(logbook: Logbook, look: LookIn) -> None:
    look("S03", TODAY, "axils", counts={"left": 3})
    said = change(logbook, "S03")
    assert said.startswith("risk was ")
    assert "on 1 May; since then: 3 found alive, last today" in said


@pytest.mark.usefixtures("three")
def test_a_neighbours_find_is_named(logbook: Logbook, look: LookIn) -> None:
    look("G04", TODAY, "axils", counts={"left": 40})
    assert "insects found nearby, on G04" in change(logbook, "G02")


def test_days_without_a_look_are_named(logbook: Logbook, add: Add, look: LookIn) -> None:
    add("S03", "Pintle", arrived=CAME, on=CAME, place="stair foot")
    look("S03", CAME, seconds=600)
    look("S03", LAST, "axils", seconds=20.0, counts={"left": 1})
    assert "since then: not fully checked for 33 days" in change(logbook, "S03")


def test_a_plant_never_fully_checked_is_said_to_be_so(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    add("S03", "Pintle", arrived=CAME, on=CAME, place="stair foot")
    look("S03", LAST, "axils", seconds=20.0, counts={"left": 1})
    assert "since then: never fully checked" in change(logbook, "S03")


@pytest.mark.usefixtures("three")
def test_a_clean_look_is_named_where_the_risk_fell(logbook: Logbook, look: LookIn) -> None:
    look("S03", LAST - timedelta(9), "axils", counts={"removed": 4})
    look("S03", TODAY)
    assert "fully checked today, nothing alive" in change(logbook, "S03")


def test_a_division_is_named(logbook: Logbook, add: Add, look: LookIn) -> None:
    add("S03", "Pintle", arrived=CAME, on=CAME, place="stair foot")
    look("S03", LAST, "axils", counts={"left": 2})
    divide(logbook, local_noon(TODAY), "S03", DivisionEntered(6))
    assert "since then: divided today" in change(logbook, "S03")
    assert change(logbook, "S04") == "it came after 1 May, the last day of looks"


def test_warmth_is_named_with_its_figures(logbook: Logbook, add: Add, look: LookIn) -> None:
    add("S03", "Pintle", arrived=CAME, on=CAME, place="stair foot")
    look("S03", LAST, counts={})
    look("S03", LAST, "axils", seconds=20.0, counts={"left": 2})
    for days in range(1, 4):
        day = LAST + timedelta(days)
        put_weather(logbook, local_noon(day), "stair foot", day, 26.0, 30.0)
    assert "warmer, 20.1 degC over 14 days, was 18 degC" in change(logbook, "S03")


@pytest.mark.usefixtures("three")
def test_where_it_is_the_same_that_is_said(logbook: Logbook, clock: SetClock) -> None:
    clock.instant = datetime(2026, 5, 2, 9, tzinfo=UTC)
    assert change(logbook, "G02").endswith(", as on 1 May")


def test_before_the_first_look_nothing_is_said(logbook: Logbook, add: Add) -> None:
    add("G02", "Thole")
    here, before = looked_back(logbook)
    assert before == Before(None, {})
    assert before.is_known(here[0].plant.id), "there is nothing to wait for"


@pytest.mark.usefixtures("three")
def test_a_plant_moved_since_is_judged_where_it_stood(logbook: Logbook) -> None:
    was = was_of(*looked_back(logbook))["G02"]
    move_plant(logbook, local_noon(TODAY), "G02", "seedling bench")
    assert was_of(*looked_back(logbook))["G02"] == was
