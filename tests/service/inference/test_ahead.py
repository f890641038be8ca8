"""When a quarantine may end: the day that is named, and what it moves with."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

import pytest

from rounds.clock import SetClock
from rounds.core.quarantine.criteria import Criterion
from rounds.core.quarantine.forecast import days_to_come
from rounds.service.collection.apart import put_apart
from rounds.service.collection.away_entry import enter_away, name_of
from rounds.service.collection.plants import PlaceDetails, put_place, put_weather
from rounds.service.collection.release import end_quarantine
from rounds.service.day.at_hand import planned_day
from rounds.service.entries.corrections import withdraw
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plan.coming import coming
from rounds.service.plan.today import due_today
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus, status_of
from rounds.service.plant.status_text import no_date_texts, supposed_texts
from rounds.store import derived, desk
from rounds.tui.page import Page
from rounds.tui.pages.release import ReleaseView, notes_of, release_told

from .asking import TODAY, Add, LookIn, before, found_three, record

ARRIVED = before(14)


@pytest.fixture(autouse=True)
def warm_places(logbook: Logbook) -> None:
    for celsius in (12, 16, 22, 26):
        details = PlaceDetails(apart=True, usual_c=celsius)
        put_place(logbook, local_noon(before(90)), f"stair at {celsius}", details)


def arrives_infested(add: Add, logbook: Logbook, code: str, celsius: int = 22) -> None:
    """Three were found on arrival, and taken off."""
    add(code, place=f"stair at {celsius}", arrived=ARRIVED, on=ARRIVED, source=code)
    found_three(logbook, code, ARRIVED)


def looked_every(look: LookIn, code: str, days: int, until: date = TODAY) -> None:
    """Clean looks from arrival on."""
    day = ARRIVED + timedelta(days)
    while day <= until:
        look(code, day)
        day += timedelta(days)


def ready_on(logbook: Logbook, code: str, on: date = TODAY) -> date:
    forecast = record(logbook, code, on).forecast
    assert forecast is not None
    assert forecast.ready_on is not None
    return forecast.ready_on


def criterion(found: PlantRecord, code: str) -> Criterion:
    assert found.forecast is not None
    return next(c for c in found.forecast.criteria if c.code == code)


def test_three_found_on_arrival_then_clean_it_leaves_in_four_to_eight_weeks(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, logbook, "S03")
    expected = ready_on(logbook, "S03", ARRIVED)
    assert 28 <= (expected - ARRIVED).days <= 56
    # and looked at every day, with its roots when they count, it leaves on the day named
    day = ARRIVED
    while day < expected:
        day += timedelta(1)
        look("S03", day)
        if day == ARRIVED + timedelta(21):
            look("S03", day, "roots", seconds=120, unpotted=True)
        if day.day % 7 == 0:
            assert ready_on(logbook, "S03", day) == expected
    status = [status_of(record(logbook, "S03", d)) for d in (day - timedelta(1), day)]
    assert [s.release is not None and s.release.ready for s in status] == [False, True]
    decision = end_quarantine(logbook, local_noon(day), "S03")
    assert (decision.released, decision.early) == (True, False)


def test_in_the_cold_it_takes_longer(add: Add, look: LookIn, logbook: Logbook) -> None:
    for celsius in (16, 22, 26):
        arrives_infested(add, logbook, f"S{celsius}", celsius)
        looked_every(look, f"S{celsius}", 1)
    warmest, warm, cold = (ready_on(logbook, f"S{celsius}") for celsius in (26, 22, 16))
    assert warmest < warm < cold


def test_a_warm_fortnight_lets_it_leave_earlier(add: Add, look: LookIn, logbook: Logbook) -> None:
    arrives_infested(add, logbook, "S03", 16)
    looked_every(look, "S03", 1)
    usual = ready_on(logbook, "S03")
    for days in range(1, 8):
        put_weather(logbook, local_noon(TODAY), "stair at 16", before(days), 24, 30)
    warmer = ready_on(logbook, "S03")
    assert warmer < usual
    put_weather(logbook, local_noon(TODAY), "stair at 16", TODAY + timedelta(1), 40, 40)
    assert ready_on(logbook, "S03") == warmer, "what is to come is not read"


def test_the_rarer_the_looks_the_later_it_leaves_but_it_leaves(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    for days in (1, 3, 7):
        arrives_infested(add, logbook, f"S0{days}")
        looked_every(look, f"S0{days}", days)
    daily, third, weekly = (ready_on(logbook, f"S0{days}") for days in (1, 3, 7))
    assert daily < third < weekly <= TODAY + timedelta(180)


def test_lenient_rules_let_it_leave_before_strict_ones(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, logbook, "S03")
    looked_every(look, "S03", 1)
    found: dict[str, date] = {}
    for rules in ("strict", "default", "lenient", "strict"):
        desk.put_setting(logbook.file, "rules", rules)
        expected = ready_on(logbook, "S03")
        assert found.setdefault(rules, expected) == expected, "as it was before"
    assert found["lenient"] < found["default"] < found["strict"]


def test_strict_rules_ask_for_the_low_end_of_the_band_too(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, logbook, "S03")
    desk.put_setting(logbook.file, "rules", "strict")
    expected = ready_on(logbook, "S03", ARRIVED)
    for number in range(1, (expected - ARRIVED).days + 1):
        day = ARRIVED + timedelta(number)
        look("S03", day)
        if number in (21, 35):
            look("S03", day, "roots", seconds=120, unpotted=True)
    status = status_of(record(logbook, "S03", expected))
    assert status.release is not None
    assert status.release.ready
    assert status.chance_clean is not None
    assert status.chance_clean >= 0.99
    assert status.band is not None
    assert status.band.low >= 0.95


def test_degree_days_are_waived_where_nothing_was_ever_found_and_it_is_almost_surely_clean(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S03", place="stair at 12", arrived=before(60), on=before(60))
    for days in range(60, -1, -1):
        look("S03", before(days))
    at_first = criterion(record(logbook, "S03", before(59)), "degree_days")
    now = criterion(record(logbook, "S03"), "degree_days")
    assert (at_first.met, at_first.need) == (False, 485)
    # 4 a day in 60 days
    assert (now.met, now.need) == (True, None)
    assert now.have == pytest.approx(240)
    chances = [record(logbook, "S03", before(days)).likely.chance_clean for days in (59, 0)]
    assert chances[0] < 0.99 <= chances[1]
    waived = ready_on(logbook, "S03")
    # had three been found the day it came, a whole generation would be asked for
    found_three(logbook, "S03", before(60))
    again = criterion(record(logbook, "S03"), "degree_days")
    assert (again.met, again.need) == (False, 485)
    assert ready_on(logbook, "S03") > waived + timedelta(30)


def test_each_criterion_is_met_on_the_day_named_for_it_or_before_the_last(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, logbook, "S03")
    looked_every(look, "S03", 2)
    forecast = record(logbook, "S03").forecast
    assert forecast is not None
    named = [c.expected_on for c in forecast.criteria]
    assert all(day is not None and day >= TODAY for day in named)
    assert forecast.ready_on == max(day for day in named if day)
    assert set(forecast.waiting_for) == {c.code for c in forecast.criteria if not c.met}
    assert all((c.expected_on == TODAY) is bool(c.met) for c in forecast.criteria)


def test_every_clean_day_brings_no_later_date(add: Add, look: LookIn, logbook: Logbook) -> None:
    arrives_infested(add, logbook, "S03")
    looked_every(look, "S03", 1)
    dates = [ready_on(logbook, "S03", before(days)) for days in range(14, -1, -1)]
    assert all(later <= earlier for earlier, later in pairwise(dates))
    found_three(logbook, "S03", TODAY)
    assert ready_on(logbook, "S03") >= dates[-1] + timedelta(7)


def test_in_steps_it_comes_out_as_in_one_go_and_is_kept_at_the_end(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, logbook, "S03")
    for days in range(1, 6):
        look("S03", before(days), "axils", counts={"removed": 9})
    desk.put_setting(logbook.file, "rules", "strict")
    found = record(logbook, "S03")
    pauses = 0
    while not found.work_on_forecast():
        assert not record(logbook, "S03").forecast_is_quick
        pauses += 1
    assert pauses > 3, "no key waits for all of it"
    assert found.forecast_is_quick
    assert record(logbook, "S03").forecast_is_quick
    derived.forget_all(logbook.file)
    assert record(logbook, "S03").forecast == found.forecast
    again = record(logbook, "S03")
    assert again.work_on_forecast(), "what is kept takes no pause"


def away(logbook: Logbook, first: int, last: int) -> None:
    """Nobody looks from one day to another, counted from TODAY on."""
    enter_away(logbook, local_noon(TODAY), TODAY + timedelta(first), TODAY + timedelta(last))


def test_days_away_put_the_date_off_and_taken_back_they_do_not(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, logbook, "S03")
    looked_every(look, "S03", 1)
    usual = ready_on(logbook, "S03")
    days = (usual - TODAY).days
    away(logbook, days - 1, days + 20)
    # two looks in the last week are asked for
    assert ready_on(logbook, "S03") == TODAY + timedelta(days + 22)
    [entered] = logbook.collection().away
    withdraw(logbook, local_noon(TODAY), str(name_of(entered)))
    assert ready_on(logbook, "S03") == usual


@pytest.mark.parametrize("every", [1, 2, 7])
def test_the_look_that_is_due_today_moves_no_date_once_it_is_made(
    add: Add, look: LookIn, logbook: Logbook, every: int
) -> None:
    arrives_infested(add, logbook, "S03")
    looked_every(look, "S03", every, before(1))
    morning = record(logbook, "S03").forecast
    look("S03", TODAY)
    evening = record(logbook, "S03").forecast
    assert morning is not None
    assert evening is not None
    days = [
        [forecast.ready_on, *(c.expected_on for c in forecast.criteria)]
        for forecast in (morning, evening)
    ]
    assert days[0] == days[1]
    assert criterion(record(logbook, "S03"), "clean_looks").have == 14 // every


def test_a_day_that_went_by_without_its_look_moves_the_date_by_a_day(
    add: Add, look: LookIn, logbook: Logbook, clock: SetClock
) -> None:
    desk.put_setting(logbook.file, "rules", "strict")
    arrives_infested(add, logbook, "S03")
    looked_every(look, "S03", 1, before(1))
    morning = criterion(record(logbook, "S03"), "clean_looks").expected_on
    clock.instant += timedelta(1)
    assert morning is not None
    assert criterion(record(logbook, "S03"), "clean_looks").expected_on == morning + timedelta(1)


def test_where_today_a_speck_was_left_unsettled_no_look_at_all_of_it_is_supposed_today(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    desk.put_setting(logbook.file, "rules", "strict")
    arrives_infested(add, logbook, "S03")
    looked_every(look, "S03", 1, before(1))
    assert criterion(record(logbook, "S03"), "clean_looks").expected_on == before(-6)
    look("S03", TODAY, "axils", counts={"doubtful": 1})
    assert criterion(record(logbook, "S03"), "clean_looks").expected_on == before(-7)


def test_the_roots_count_from_the_same_day_wherever_it_is_said(
    add: Add, look: LookIn, logbook: Logbook, clock: SetClock
) -> None:
    add("G02", on=before(90), already_here=True)
    for days in range(84, 0, -7):
        look("G02", before(days))
    look("G02", before(10), "axils", counts={"removed": 1})
    put_apart(logbook, local_noon(before(2)), "G02")
    counts_from = before(10) + timedelta(21)
    found = record(logbook, "G02")
    status = status_of(found)
    assert status.roots_from == counts_from
    [line] = [line for line in coming([status], TODAY) if line.kind == "roots"]
    assert line.on == counts_from
    assert "15 May" in release_text(logbook, status)
    assert [due.on for due in due_today([status], counts_from) if due.kind == "roots"] == [
        counts_from
    ]
    assert found.history is not None
    to_come = days_to_come(found.history, TODAY, logbook.rules("mealybug", TODAY), 7, before(-90))
    assert [looked.day for looked in to_come if looked.roots_seen] == [counts_from]
    for day, have in ((-1, 0), (0, 1)):
        seen_on = counts_from + timedelta(day)
        look("G02", seen_on, "roots", seconds=120, unpotted=True)
        clock.instant = datetime.combine(seen_on, time(12), UTC)
        assert criterion(record(logbook, "G02", seen_on), "medium_and_roots").have == have


def release_text(logbook: Logbook, status: PlantStatus) -> str:
    view = ReleaseView(status, planned_day(logbook, TODAY).choices, "", False, "", None)
    told = release_told(view, Page(120, 40))
    cells = [str(cell) for line in told.lines for cell in line.cells.values()]
    return " ".join([*(of.text for of in told.above), *cells, *notes_of(view, 114)])


def test_why_there_is_no_date_is_said_and_what_the_dates_suppose(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    arrives_infested(add, logbook, "S03")
    look("S03", before(5))
    look("S03", before(1), "axils", seconds=30)
    said = release_text(logbook, status_of(record(logbook, "S03")))
    assert "no date yet: looks 9 days apart never add up" in said
    for code in ("S04", "S05"):
        arrives_infested(add, logbook, code)
    looked_every(look, "S04", 1)
    away(logbook, 3, 9)
    status = status_of(record(logbook, "S04"))
    assert status.release is not None
    texts = supposed_texts(status.release, TODAY)
    assert "a clean look every day" in texts[0]
    assert "7 to 13 May" in texts[1]
    untold = status_of(record(logbook, "S05")).release
    assert untold is not None
    assert untold.expected_on is not None
    assert "too few full checks to tell how often you look" in supposed_texts(untold, TODAY)[0]
    assert no_date_texts(untold) == []


def test_beside_a_plant_with_insects_the_dates_say_what_they_leave_out(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    for code in ("S03", "S04", "S05"):
        arrives_infested(add, logbook, code)
        looked_every(look, code, 2)
    look("S04", before(7), "axils", counts={"removed": 1})
    look("S05", before(8), "axils", counts={"removed": 1})
    release = status_of(record(logbook, "S03")).release
    assert release is not None
    assert release.beside == ("S04",)
    assert supposed_texts(release, TODAY)[-1].endswith("nothing more spreads from S04")
