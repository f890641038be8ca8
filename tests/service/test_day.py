"""A day is read once: the same for all until something is written, and fuller piece by piece."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.errors import LogbookUnusable
from rounds.service.arrival.arrive import arrive
from rounds.service.arrival.delivery import Delivery
from rounds.service.collection.plants import move_plant, put_weather
from rounds.service.day.at_hand import day_after, day_of, planned_day, take
from rounds.service.day.day import Day
from rounds.service.day.work import DayWork, unread_day
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import local_noon, now
from rounds.service.plan.today import plan_day
from rounds.service.plant.status import ReleaseStatus
from rounds.service.round import begin
from rounds.store import derived
from tests.days import whole_day

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
TODAY = date(2026, 5, 4)
CAME = TODAY - timedelta(20)


@pytest.fixture
def three(add: Add, look: LookIn) -> None:
    """Two that touch, one of them found on, and one apart."""
    add("G02", "Thole", on=CAME)
    add("G04", "Cuddy", on=CAME, touches=("G02",))
    add("S03", "Pintle", arrived=CAME, on=CAME, place="stair foot")
    look("G04", TODAY - timedelta(5), "axils", counts={"removed": 2})
    for code in ("G02", "S03"):
        look(code, TODAY - timedelta(1))


pytestmark = pytest.mark.usefixtures("three")


def rows_kept(logbook: Logbook) -> int:
    with logbook.file.reading() as connection:
        return int(connection.execute("SELECT count(*) FROM derived").fetchone()[0])


def given_up(logbook: Logbook) -> None:
    """Something is begun to be written, and rolled back."""
    with suppress(LogbookUnusable), logbook.file.writing():
        logbook.file.next_id()
        raise LogbookUnusable("logbook-full", file=logbook.file.path, reason="")


def begun(logbook: Logbook) -> None:
    begin(logbook, plan_day(logbook, TODAY))


def withdrawn(logbook: Logbook) -> None:
    look = logbook.all_entries(date.min, TODAY)[1].looks[-1]
    withdraw(logbook, now(logbook.clock), str(EntryName("look", look.day, 1, look.id)))


WRITES: dict[str, Callable[[Logbook], object]] = {
    "move": lambda book: move_plant(book, now(book.clock), "G02", "seedling bench"),
    "weather": lambda book: put_weather(book, local_noon(TODAY), "stair foot", TODAY, 10.0, 20.0),
    "withdrawal": withdrawn,
    "round begun": begun,
    "minutes": lambda book: book.keep_minutes(3.0),
    "rules": lambda book: choose(book, "rules", "strict"),
    "order": lambda book: book.walk_by_risk(True),
}


@pytest.mark.parametrize("write", WRITES.values(), ids=WRITES)
@pytest.mark.parametrize("where", ["here", "in another window"])
def test_it_is_the_same_until_something_is_written(
    logbook: Logbook, clock: SetClock, write: Callable[[Logbook], object], where: str
) -> None:
    day = day_of(logbook)
    assert day_of(logbook) is day
    assert day_of(logbook, TODAY) is day
    if where == "here":
        write(logbook)
    else:
        with Logbook(logbook.file.path, clock) as other:
            write(other)
    then = day_of(logbook)
    assert then is not day
    assert then.stamp != day.stamp
    assert day_of(logbook) is then


def test_a_round_that_ends_and_a_write_that_is_given_up_make_another_day(logbook: Logbook) -> None:
    walk = begin(logbook, plan_day(logbook, TODAY))
    day = day_of(logbook)
    assert day.under_way is not None
    given_up(logbook)
    again = day_of(logbook)
    assert again is not day
    while walk.view().stage != "end":
        walk.go_on()
    over = day_of(logbook)
    assert over is not again
    assert over.under_way is None


def test_a_new_day_is_another_one(logbook: Logbook, clock: SetClock) -> None:
    day = day_of(logbook)
    clock.instant += timedelta(days=1)
    assert day_of(logbook).on == day.on + timedelta(1)


def of_s03(day: Day) -> ReleaseStatus:
    found = next(of.release for of in day.ordered if of.code == "S03")
    assert found is not None
    return found


def test_the_day_named_last_stands_until_the_one_of_the_day_is_worked_out(
    logbook: Logbook, clock: SetClock, look: LookIn
) -> None:
    named = of_s03(whole_day(logbook, TODAY)).expected_on
    assert named is not None
    clock.instant += timedelta(days=1)
    tomorrow = clock.today()
    waits = of_s03(DayWork(logbook, tomorrow).known())
    assert (waits.is_forecast, waits.was_expected_on) == (False, named)
    look("S03", tomorrow, "axils", counts={"removed": 1})
    found = of_s03(DayWork(logbook, tomorrow).known())
    assert found.was_expected_on is None, "what was named rested on no such find"
    done = of_s03(whole_day(logbook, tomorrow))
    assert (done.is_forecast, done.was_expected_on) == (True, None)


def test_results_that_are_kept_leave_the_day_as_it_is(logbook: Logbook, clock: SetClock) -> None:
    day = day_of(logbook)
    with Logbook(logbook.file.path, clock) as other:
        whole_day(other, TODAY)
    whole_day(logbook, TODAY)
    assert rows_kept(logbook) > 0
    assert day_of(logbook) is day


def test_what_is_only_shown_is_neither_worked_out_nor_written(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    for sum_of in ("inference.answer.answer", "plan.risk.plant_risk", "quarantine.outlook.Outlook"):
        monkeypatch.setattr(f"rounds.core.{sum_of}", lambda *_, **__: pytest.fail("worked out"))
    connection = logbook.file.connection
    before = connection.total_changes
    day = day_of(logbook)
    assert connection.total_changes == before
    assert not day.is_whole
    assert day.plan is None
    statuses = {status.code: status for status in day.ordered}
    assert set(statuses) == {"G02", "G04", "S03"}
    assert all(status.risk is None for status in day.ordered)
    assert all(status.chance_clean is None for status in day.ordered)
    # what rests on no inference is there
    assert statuses["S03"].standing == "quarantine"
    assert statuses["S03"].streak.looks == 1
    assert statuses["S03"].release is not None
    assert statuses["S03"].release.criteria[-1].met is None
    assert not statuses["S03"].is_forecast
    assert [due.kind for due in day.due] == ["set-apart"]


def test_it_is_made_in_pieces_each_as_full_as_the_one_before(logbook: Logbook) -> None:
    days = [day for day in DayWork(logbook, TODAY).pieces() if day is not None]

    def known(day: Day) -> tuple[int, bool, int, bool]:
        told = sum(status.risk is not None for status in day.ordered)
        ahead = sum(status.is_forecast for status in day.ordered)
        return told, day.plan is not None, ahead, day.is_whole

    found = [known(day) for day in days]
    assert found == sorted(found)
    assert found[0][:2] == (0, False)
    assert found[-1] == (3, True, 3, True)
    assert [day.is_whole for day in days].count(True) == 1


def test_figures_and_the_plan_come_first_then_bands_of_plants_apart_then_the_others(
    logbook: Logbook,
) -> None:
    banded: list[set[str]] = []
    for day in DayWork(logbook, TODAY).pieces():
        if day is None:
            continue
        told = {status.code for status in day.ordered if status.band is not None}
        if told:
            assert day.plan is not None
            assert all(status.risk is not None for status in day.ordered)
            banded.append(told)
    assert banded[0] == {"S03"}
    assert banded[-1] == {"G02", "G04", "S03"}


def test_the_band_of_a_plant_whose_page_is_opened_comes_before_why_it_is_so(
    logbook: Logbook,
) -> None:
    work = DayWork(logbook, TODAY)
    for day in work.pieces():
        if day is not None and day.plan is not None:
            break
    plant = logbook.collection().plant("G04")
    assert plant is not None
    told = [day.statuses[plant.id] for day in work.why(plant.id) if day and day.statuses]
    assert (told[0].band is None, told[0].why) == (False, None)
    assert told[-1].why is not None


def test_with_all_kept_it_is_whole_at_once_and_the_same_in_any_window(
    logbook: Logbook, clock: SetClock
) -> None:
    whole = whole_day(logbook, TODAY)
    with Logbook(logbook.file.path, clock) as other:
        shown = day_of(other)
        assert shown.is_whole
        assert shown.statuses == whole.statuses
        assert (shown.plan, shown.price, shown.due) == (whole.plan, whole.price, whole.due)


def test_after_an_entry_only_what_rests_on_it_is_unknown(logbook: Logbook, look: LookIn) -> None:
    whole_day(logbook, TODAY)
    look("S03", TODAY)
    statuses = {status.code: status for status in day_of(logbook).ordered}
    assert statuses["S03"].streak.looks == 2
    assert statuses["S03"].risk is None
    assert statuses["G02"].risk is not None
    assert statuses["G04"].risk is not None


def test_a_day_made_elsewhere_is_taken_while_it_holds(
    logbook: Logbook, clock: SetClock, look: LookIn
) -> None:
    given_up(logbook)
    first = day_of(logbook)
    with Logbook(logbook.file.path, clock) as other:
        made = whole_day(other, TODAY)
    assert take(logbook, made)
    shown = day_of(logbook)
    assert shown.is_whole
    assert shown == replace(made, stamp=shown.stamp)
    assert day_after(logbook, first) is shown
    look("G02", TODAY)
    assert not take(logbook, made)
    assert day_of(logbook).stamp != shown.stamp


def test_what_is_shown_stays_until_there_is_more(logbook: Logbook) -> None:
    unread = unread_day(logbook, TODAY)
    assert unread.statuses is None
    assert unread.here == 3
    assert day_after(logbook, unread) is unread, "nothing is read for it"
    known = day_of(logbook)
    assert day_after(logbook, unread) is known


def test_plans_for_other_minutes_are_days_of_their_own(logbook: Logbook) -> None:
    short, usual = planned_day(logbook, TODAY, 1.0), planned_day(logbook, TODAY)
    assert short.plan is not None
    assert usual.plan is not None
    assert (short.plan.minutes, usual.plan.minutes) == (1.0, 10.0)
    assert planned_day(logbook, TODAY, 1.0) is short
    assert usual.plan == plan_day(logbook, TODAY)


def test_a_locked_or_emptied_store_of_results_changes_no_figure(logbook: Logbook) -> None:
    whole = whole_day(logbook, TODAY)
    derived.forget_all(logbook.file)
    logbook.keeps_results = False
    again = whole_day(logbook, TODAY)
    assert again.statuses == whole.statuses
    assert rows_kept(logbook) == 0


def test_a_file_of_another_name_has_its_own_day(
    logbook: Logbook, tmp_path: Path, clock: SetClock
) -> None:
    with Logbook(tmp_path / "other.db", clock) as other:
        assert day_of(other).here == 0
    assert day_of(logbook).here == 3


def test_a_day_is_read_before_it_is_known_what_the_plants_of_a_delivery_tell_of_each_other(
    logbook: Logbook,
) -> None:
    found = Delivery(3, "the ferry", 2, 60.0, ("1 axils 2 adult",), name="Capstan", size="small")
    plants = arrive(logbook, now(logbook.clock), found, take=True).plants
    derived.forget_all(logbook.file)
    pieces = (day for day in DayWork(logbook, TODAY).pieces() if day is not None)
    first = next(pieces)
    assert len(first.statuses or {}) == first.here == 6
    *_, last = pieces
    assert last.is_whole
    status = (last.statuses or {})[plants[1].id]
    assert "came-with-infested" in [reason.code for reason in status.reasons]
