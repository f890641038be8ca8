"""What is learned of the grower's eye: of earlier days, kept, one value a day, off as assumed."""

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.core.estimates.own_detection import OwnDetection
from rounds.core.inference import backward
from rounds.service.collection.division import DivisionEntered, divide
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookEntered, LookWritten, enter_look
from rounds.service.inference.day import CollectionDay, own_detection
from rounds.service.inference.kept import NotKept, only_kept
from rounds.service.learned import own_detection as learning
from rounds.service.learned.told import Told
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import local_noon, now
from rounds.store.derived import forget_all

TODAY = date(2026, 5, 4)
Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def before(days: int) -> date:
    return TODAY - timedelta(days)


@pytest.fixture(autouse=True)
def on(logbook: Logbook) -> None:
    choose(logbook, "own-eye", "on")


@pytest.fixture
def found_on(add: Add, look: LookIn) -> None:
    """Two plants of a delivery with finds, and one without."""
    for code, finds in (("G02", {20: 2, 17: 1, 10: 1}), ("G03", {20: 0, 13: 3}), ("G04", {20: 0})):
        add(code, place="stair foot", arrived=before(20), on=before(20))
        for days, count in finds.items():
            counts = {"removed": count} if count else {}
            look(code, before(days), "axils", seconds=25.0 + 8 * count, counts=counts)
            look(code, before(days), "undersides", seconds=15.0)


def test_before_a_find_the_table_stands_to_the_digit(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G02", place="stair foot", arrived=before(9), on=before(9))
    look("G02", before(9))
    day = CollectionDay(logbook, TODAY)
    assert day.own_detection == OwnDetection()
    assert day.parameters == logbook.parameters


def test_finds_of_today_count_from_tomorrow_on(
    found_on: None, look: LookIn, logbook: Logbook
) -> None:
    morning = own_detection(logbook, TODAY)
    look("G02", TODAY, "axils", counts={"removed": 4})
    assert own_detection(logbook, TODAY) == morning
    evening = own_detection(logbook, TODAY + timedelta(1))
    assert (morning.found, evening.found) == (7, 11)
    assert evening.theta != morning.theta


def test_finds_older_than_half_a_year_no_longer_count(found_on: None, logbook: Logbook) -> None:
    assert own_detection(logbook, before(13) + timedelta(180)).found == 7
    assert own_detection(logbook, before(13) + timedelta(181)).found == 4
    assert own_detection(logbook, before(10) + timedelta(181)) == OwnDetection()


def test_switched_off_every_figure_is_that_of_the_table(
    found_on: None, logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    def figures() -> list[tuple[float, float]]:
        records = CollectionDay(logbook, TODAY).records.values()
        return [(r.likely.chance_clean, r.likely.risk.value) for r in records]

    learned = figures()
    choose(logbook, "own-eye", "off")
    day = CollectionDay(logbook, TODAY)
    assert day.own_detection == OwnDetection(is_used=False)
    assert day.parameters == logbook.parameters
    assert all(was != now for (was, _), (now, _) in zip(learned, figures(), strict=True))
    choose(logbook, "own-eye", "on")
    assert figures() == learned


def test_it_is_kept_and_comes_out_the_same_once_forgotten(found_on: None, logbook: Logbook) -> None:
    with only_kept(logbook), pytest.raises(NotKept):
        _ = CollectionDay(logbook, TODAY).own_detection
    worked_out = CollectionDay(logbook, TODAY).own_detection
    with only_kept(logbook):
        assert CollectionDay(logbook, TODAY).own_detection == worked_out
    forget_all(logbook.file)
    assert CollectionDay(logbook, TODAY).own_detection == worked_out


def test_a_plant_nobody_looked_at_since_is_not_worked_out_again(
    found_on: None, look: LookIn, logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = own_detection(logbook, TODAY)
    asked: list[str] = []
    really = learning._work_out

    def counted(told: Told) -> object:
        asked.append(told.record.plant.code)
        return really(told)

    monkeypatch.setattr(learning, "_work_out", counted)
    assert own_detection(logbook, TODAY + timedelta(3)) == known
    look("G03", TODAY, "axils", seconds=20.0)
    # what the day before keeps is not thrown away by it
    assert CollectionDay(logbook, TODAY, kept_as="was ").own_detection == known
    assert asked == []
    _ = own_detection(logbook, TODAY + timedelta(1))
    assert asked == ["G03"]


def test_a_find_taken_back_is_as_if_it_had_never_been(
    found_on: None, look: LookIn, logbook: Logbook, clock: SetClock
) -> None:
    known = own_detection(logbook, TODAY)
    wrong = look("G04", before(2), "axils", seconds=30.0, counts={"removed": 2})
    assert own_detection(logbook, TODAY).theta != known.theta
    withdraw(logbook, now(clock), wrong.look_ids[0])
    again = own_detection(logbook, TODAY)
    assert again == known


def test_what_a_part_inherits_is_told_once(
    found_on: None, logbook: Logbook, clock: SetClock
) -> None:
    known = own_detection(logbook, TODAY)
    divide(logbook, local_noon(before(1)), "G02", DivisionEntered(2))
    divided = own_detection(logbook, TODAY)
    assert (divided.theta, divided.found) == (known.theta, known.found)


def test_it_pauses_after_so_many_coefficients_of_a_run(
    found_on: None, logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    def steps() -> int:
        return sum(1 for _ in CollectionDay(logbook, TODAY).own_detection_in_steps())

    monkeypatch.setattr(backward, "PART", 10**9)
    # two plants with finds: what is read of each
    assert steps() == 2 * 2
    forget_all(logbook.file)
    monkeypatch.setattr(backward, "PART", 7)
    # each day of either log is a step of its own then, found on and as if it had not been
    assert steps() > 10 * 2 * 2


def test_the_order_in_which_plants_were_entered_moves_no_digit(
    tmp_path: Path, clock: SetClock
) -> None:
    finds = {"G02": 3, "G03": 1, "G04": 2}

    def learned(codes: list[str]) -> OwnDetection:
        with Logbook(tmp_path / f"{'-'.join(codes)}.db", clock) as book:
            put_place(book, now(clock), "stair foot", PlaceDetails(apart=True))
            for code in codes:
                details = PlantDetails(name=code, place="stair foot", arrived=before(9))
                add_plant(book, local_noon(before(9)), code, details)
            for code in codes:
                said = LookEntered(("axils",), 60.0, {"removed": finds[code]})
                enter_look(book, local_noon(before(5)), code, said)
            return own_detection(book, TODAY)

    assert learned(["G02", "G03", "G04"]) == learned(["G04", "G02", "G03"])
