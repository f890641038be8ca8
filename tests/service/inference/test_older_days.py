"""Older days are kept by plant, and dropped for a plant alone by what is put right."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.log.entries import PlantEntries
from rounds.service.day import at_hand
from rounds.service.day.at_hand import day_of, take
from rounds.service.day.work import DayWork
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.inference import older_days
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.store import derived, log

from .asking import TODAY, Add, LookIn, before


@pytest.fixture
def looked(add: Add, look: LookIn) -> dict[str, LookWritten]:
    """Two plants looked at on ten days; the last look at each."""
    for code in ("G02", "S03"):
        add(code, on=before(40))
    return {
        code: look(code, before(back), "axils", seconds=60)
        for back in range(30, 0, -3)
        for code in ("G02", "S03")
    }


def kept_until(logbook: Logbook) -> dict[str, set[date]]:
    """By code, the last day of each row that is kept."""
    codes = {plant.id: plant.code for plant in logbook.collection().plants.values()}
    rows = logbook.file.connection.execute("SELECT plant_id, until FROM past").fetchall()
    found: dict[str, set[date]] = {code: set() for code in codes.values()}
    for plant_id, until in rows:
        found[codes[plant_id]].add(date.fromordinal(until))
    return found


def read(logbook: Logbook, on: date = TODAY) -> CollectionDay:
    day = CollectionDay(logbook, on)
    assert day.records
    return day


@pytest.fixture
def spans(monkeypatch: pytest.MonkeyPatch) -> list[tuple[date, date]]:
    """The days of which entries are read, of all plants or of one."""
    asked: list[tuple[date, date]] = []

    def counted(of: Callable[..., object]) -> Callable[..., object]:
        def run(*given: object) -> object:
            first, last = (part for part in given if isinstance(part, date))
            asked.append((first, last))
            return of(*given)

        return run

    monkeypatch.setattr(log, "entries_by_plant", counted(log.entries_by_plant))
    monkeypatch.setattr(log, "entries_of", counted(log.entries_of))
    return asked


@pytest.mark.usefixtures("looked")
def test_once_kept_only_the_day_itself_is_read(
    logbook: Logbook, spans: list[tuple[date, date]]
) -> None:
    read(logbook)
    assert kept_until(logbook) == {"G02": {before(1)}, "S03": {before(1)}}
    spans.clear()
    read(logbook)
    assert spans == [(TODAY, TODAY)]


@pytest.mark.usefixtures("looked")
def test_the_next_morning_reads_the_day_that_is_over_and_its_own(
    logbook: Logbook, look: LookIn, spans: list[tuple[date, date]]
) -> None:
    read(logbook)
    look("G02", TODAY, "sheaths", seconds=60)
    spans.clear()
    tomorrow = TODAY + timedelta(days=1)
    day = read(logbook, tomorrow)
    assert spans == [(TODAY, TODAY), (tomorrow, tomorrow)]
    known = {record.plant.code: record.known for record in day.records.values()}
    assert known["G02"].last_look_on == TODAY
    derived.forget_all(logbook.file)
    assert {r.plant.code: r.known for r in read(logbook, tomorrow).records.values()} == known


def test_an_entry_about_an_older_day_drops_its_plant_alone(
    logbook: Logbook, look: LookIn, looked: dict[str, LookWritten], clock: SetClock
) -> None:
    read(logbook)
    for entered in (
        lambda: look("G02", before(12), "sheaths", seconds=60),
        lambda: withdraw(logbook, now(clock), looked["G02"].look_ids[0]),
    ):
        entered()
        assert kept_until(logbook)["G02"] == set()
        assert kept_until(logbook)["S03"] == {before(1)}
        known = read(logbook).record(logbook.collection().plant("G02").id).known  # type: ignore[union-attr]
        assert kept_until(logbook)["G02"] == {before(1)}
        derived.forget_all(logbook.file)
        again = read(logbook).record(logbook.collection().plant("G02").id).known  # type: ignore[union-attr]
        assert again == known


@pytest.mark.usefixtures("looked")
def test_an_entry_of_today_drops_nothing(logbook: Logbook, look: LookIn) -> None:
    read(logbook)
    look("G02", TODAY, "sheaths", seconds=60)
    assert kept_until(logbook) == {"G02": {before(1)}, "S03": {before(1)}}


@pytest.mark.usefixtures("looked")
def test_what_another_window_wrote_meanwhile_keeps_it_from_being_kept(
    logbook: Logbook, clock: SetClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    of_one = log.entries_of

    def interrupted(*given: object) -> PlantEntries:
        with Logbook(logbook.file.path, clock) as other:
            other.put_setting("minutes", "7")
        return of_one(*given)  # type: ignore[arg-type]

    with monkeypatch.context() as patched:
        patched.setattr(log, "entries_of", interrupted)
        read(logbook)
    assert kept_until(logbook) == {"G02": set(), "S03": set()}
    read(logbook)
    assert kept_until(logbook) == {"G02": {before(1)}, "S03": {before(1)}}


@pytest.mark.usefixtures("looked")
def test_a_few_older_rows_stay_to_go_on_from(logbook: Logbook, look: LookIn) -> None:
    for later in range(90):
        day = TODAY + timedelta(days=later)
        look("G02", day, "axils", seconds=60)
        read(logbook, day + timedelta(days=1))
    kept = sorted(kept_until(logbook)["G02"])
    assert kept[-2:] == [TODAY + timedelta(days=88), TODAY + timedelta(days=89)]
    assert 3 <= len(kept) <= 4
    # a correction of the last days goes on from a row before them
    look("G02", kept[-1] - timedelta(days=5), "sheaths", seconds=60)
    assert sorted(kept_until(logbook)["G02"]) == kept[:-2]


@pytest.mark.parametrize(
    "limits",
    [
        pytest.param({"KEPT_AFTER_DAYS": 9}, id="few plants"),
        pytest.param({"KEPT_AFTER_PLANT_DAYS": 1, "DAYS_AT_ONCE": 9}, id="many plants"),
    ],
)
def test_a_reading_that_is_broken_off_goes_on_from_where_it_was_kept(
    logbook: Logbook,
    looked: dict[str, LookWritten],
    monkeypatch: pytest.MonkeyPatch,
    limits: dict[str, int],
) -> None:
    whole = {p: r.known for p, r in read(logbook).records.items()}
    derived.forget_all(logbook.file)
    monkeypatch.setattr(older_days, "FEW", 0)
    monkeypatch.setattr(older_days, "PLANT_DAYS_AT_ONCE", 2)
    for name, value in limits.items():
        monkeypatch.setattr(older_days, name, value)
    steps = CollectionDay(logbook, TODAY).read_in_steps()
    for _ in range(20):
        next(steps)
    steps.close()
    newest = {code: max(days) for code, days in kept_until(logbook).items()}
    assert set(newest) == set(looked)
    assert all(before(40) < day < before(1) for day in newest.values()), newest
    assert {p: r.known for p, r in read(logbook).records.items()} == whole


def test_who_may_work_nothing_out_does_not_wait_for_years_to_be_read(
    logbook: Logbook, looked: dict[str, LookWritten], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(older_days, "AT_A_KEY", 2 * 30)
    waiting = day_of(logbook)
    assert waiting.here == len(looked)
    assert waiting.statuses is None
    with Logbook(logbook.file.path, logbook.clock) as other:
        for day in DayWork(other, TODAY).pieces():
            assert day is None or day.statuses is not None
    with Logbook(logbook.file.path, logbook.clock) as other:
        assert day_of(other).statuses is not None, "what was read is kept"


def test_a_large_collection_is_read_by_the_thread_alone(
    logbook: Logbook, looked: dict[str, LookWritten], monkeypatch: pytest.MonkeyPatch
) -> None:
    read(logbook)
    monkeypatch.setattr(at_hand, "MOST_READ", len(looked) - 1)
    assert day_of(logbook).statuses is None
    with Logbook(logbook.file.path, logbook.clock) as other:
        *_, whole = (day for day in DayWork(other, TODAY).pieces() if day is not None)
    assert take(logbook, whole)
    assert day_of(logbook).is_whole
