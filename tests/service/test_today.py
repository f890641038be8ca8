"""The plan of a day: who fits, who comes first, what is done already, what else is due."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.collection.release import end_quarantine
from rounds.service.day.at_hand import day_of, planned_day
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plan.today import DayPlan, plan_day

TODAY = date(2026, 5, 4)
LONG_AGO = TODAY - timedelta(90)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def before(days: int) -> date:
    return TODAY - timedelta(days)


def planned(day: DayPlan) -> list[str]:
    return [plant.status.code for plant in day.plan]


def left_out(day: DayPlan) -> list[str]:
    return [left.status.code for left in day.left_out]


def reasons(day: DayPlan, code: str) -> list[str]:
    plant = next(p for p in day.plan if p.status.code == code)
    return [reason.code for reason in plant.status.reasons]


@pytest.fixture
def shelf(add: Add, look: LookIn) -> None:
    """Four small plants of the collection, last seen 1 to 8 days ago; half a minute each."""
    for code, days in (("G02", 1), ("G04", 3), ("G05", 8), ("G14", 2)):
        add(code, on=LONG_AGO)
        look(code, before(days))


def test_whom_the_minutes_reach_is_planned_and_the_others_are_named(
    shelf: None, logbook: Logbook
) -> None:
    day = plan_day(logbook, TODAY, 1.0)
    assert (planned(day), left_out(day)) == (["G05", "G04"], ["G14", "G02"])
    assert {left.reason.code for left in day.left_out} == {"no-time"}
    # a walk of 5 seconds leads from the one to the other
    assert day.planned_seconds == pytest.approx(55)
    assert day.walking_seconds == 5
    assert day.filled_seconds == 60
    found = planned_day(logbook, TODAY, 1.0)
    assert [status.code for status in found.ordered] == ["G05", "G04", "G14", "G02"]


def test_who_must_be_looked_at_gets_half_its_reference_time(shelf: None, logbook: Logbook) -> None:
    [first, *_] = plan_day(logbook, TODAY, 0.5).plan
    assert first.planned_seconds == pytest.approx(30)
    seconds = {zone.zone: zone.planned_seconds for zone in first.zones}
    assert seconds["axils"] == pytest.approx(30 * 0.35 / 0.95)
    assert "roots" not in seconds


def test_a_plant_too_large_for_what_is_left_makes_room_for_a_smaller_one(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S09", "Marline", on=LONG_AGO, size="large")
    look("S09", before(9), seconds=360)
    day = plan_day(logbook, TODAY, 2.2)
    assert planned(day) == ["G05", "G04", "G14", "G02"]
    assert left_out(day) == ["S09"]


def test_without_minutes_the_usual_ones_are_taken(shelf: None, logbook: Logbook) -> None:
    assert plan_day(logbook, TODAY).minutes == 10
    logbook.keep_minutes(0.5)
    assert planned(plan_day(logbook, TODAY)) == ["G05"]


def test_who_must_be_looked_at_comes_before_who_was_found_on(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    look("G02", before(1), "axils", counts={"removed": 1})
    assert planned(plan_day(logbook, TODAY, 0.5)) == ["G05"], "not seen for 8 days"
    assert planned(plan_day(logbook, TODAY, 1.0)) == ["G05", "G02"]
    add("G07", "Lanyard", on=TODAY, place="stair foot", arrived=TODAY)
    assert planned(plan_day(logbook, TODAY, 0.5)) == ["G07"], "apart and never seen"


def test_the_walk_goes_from_the_clean_to_the_infested_side(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    for code in ("S03", "G11"):
        add(code, on=LONG_AGO, place="stair foot", arrived=LONG_AGO)
        look(code, before(20))
    end_quarantine(logbook, local_noon(before(10)), "G11", "wanted on the shelf")
    look("G04", before(1), "axils", counts={"removed": 1})
    day = plan_day(logbook, TODAY)
    standings = [(plant.status.code, plant.status.standing) for plant in day.plan]
    assert standings == [
        ("G05", "collection"),
        ("G04", "collection"),
        ("G14", "collection"),
        ("G02", "collection"),
        ("G11", "watch"),
        ("S03", "quarantine"),
    ]
    # clean hands after the one found on yesterday
    assert [p.status.code for p in day.plan if p.hygiene_stop_before] == ["G14"]


def test_a_zone_seen_today_is_done(shelf: None, look: LookIn, logbook: Logbook) -> None:
    look("G05", TODAY, "axils", seconds=11.0)  # 11.05 s are half its reference time
    assert "axils" in [zone.zone for zone in plan_day(logbook, TODAY, 0.5).plan[0].zones]
    look("G05", TODAY, "axils", seconds=0.1)
    left = 30 * 0.60 / 0.95
    [first, *_] = plan_day(logbook, TODAY, left / 60).plan
    assert "axils" not in [zone.zone for zone in first.zones]
    assert first.planned_seconds == pytest.approx(left)


def test_a_zone_that_cannot_be_seen_is_not_planned_again(
    shelf: None, look: LookIn, logbook: Logbook
) -> None:
    look("G05", TODAY, "axils", seconds=0, cannot_see="covered")
    [first, *_] = plan_day(logbook, TODAY, 0.5).plan
    assert "axils" not in [zone.zone for zone in first.zones]
    tomorrow = plan_day(logbook, TODAY + timedelta(1), 0.5).plan[0]
    assert "axils" in [zone.zone for zone in tomorrow.zones]


def test_a_plant_seen_whole_today_is_neither_planned_nor_left_out(
    shelf: None, look: LookIn, logbook: Logbook
) -> None:
    look("G05", TODAY)
    day = plan_day(logbook, TODAY, 0.5)
    assert (planned(day), left_out(day)) == (["G04"], ["G14", "G02"])
    assert len(day_of(logbook, TODAY).ordered) == 4


def test_a_plant_says_why_it_is_looked_at(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    look("G04", before(2), "axils", counts={"removed": 1})
    look("G04", before(2), "sheaths", counts={"doubtful": 1})
    add("G07", "Lanyard", on=before(6), place="stair foot", arrived=before(6))
    day = plan_day(logbook, TODAY)
    assert reasons(day, "G05") == ["unseen"]
    assert reasons(day, "G04") == ["found-lately", "open-doubts", "unseen"]
    assert reasons(day, "G07") == ["standing-quarantine", "never-seen"]
    texts = [reason.text for plant in day.plan for reason in plant.status.reasons]
    assert "it stands apart for 6 days" in texts
    assert all("{" not in text for text in texts)


def test_a_past_day_knows_nothing_of_what_came_later(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    asked = before(4)
    then = plan_day(logbook, asked)
    look("G02", TODAY, "axils", counts={"removed": 5})
    add("G07", "Lanyard", on=before(2), place="stair foot", arrived=before(2))
    now = plan_day(logbook, asked)
    assert planned(now) == planned(then)
    assert [reasons(now, code) for code in planned(now)] == [
        reasons(then, code) for code in planned(then)
    ]
    # on the day it was seen nothing was left to do at it
    assert sorted(planned(plan_day(logbook, before(8)))) == ["G02", "G04", "G14"]


def test_roots_are_due_three_weeks_after_arrival_until_seen_out_of_the_pot(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G07", "Lanyard", on=before(23), place="stair foot", arrived=before(23))
    assert day_of(logbook, before(3)).due == ()
    [due] = day_of(logbook, TODAY).due
    assert (due.kind, due.on, due.waiting_days) == ("roots", before(2), 2)
    look("G07", TODAY, "roots", seconds=120)
    assert [d.kind for d in day_of(logbook, TODAY).due] == ["roots"], "still in the pot"
    look("G07", TODAY, "roots", seconds=120, unpotted=True)
    assert day_of(logbook, TODAY).due == ()


def test_a_find_puts_the_roots_off(add: Add, look: LookIn, logbook: Logbook) -> None:
    add("G07", "Lanyard", on=before(30), place="stair foot", arrived=before(30))
    look("G07", before(10), "axils", counts={"removed": 1})
    assert day_of(logbook, TODAY).due == ()
    [due] = day_of(logbook, TODAY + timedelta(12)).due
    assert (due.kind, due.on, due.waiting_days) == ("roots", TODAY + timedelta(11), 1)


def test_what_is_due_is_listed_by_how_long_it_waits(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G07", "Lanyard", on=before(30), place="stair foot", arrived=before(30))
    add("G02", on=LONG_AGO)
    look("G02", before(12), "axils", counts={"doubtful": 2})
    look("G02", before(1), "axils", counts={"doubtful": 1})
    due = day_of(logbook, TODAY).due
    assert [(d.status.code, d.kind, d.waiting_days) for d in due] == [
        ("G02", "doubt", 12),
        ("G07", "roots", 9),
    ]
    assert "3" in due[0].text


def test_nothing_is_due_for_a_plant_of_the_collection(add: Add, logbook: Logbook) -> None:
    add("G02", on=LONG_AGO)
    assert day_of(logbook, TODAY).due == ()
