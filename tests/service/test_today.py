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
    day = plan_day(logbook, TODAY, 0.95)
    assert (planned(day), left_out(day)) == (["G05", "G04"], ["G14", "G02"])
    assert {left.reason.code for left in day.left_out} == {"no-time"}
    # a walk of 5 seconds leads from the one to the other
    assert day.planned_seconds + day.handling_seconds == pytest.approx(52)
    assert day.walking_seconds == 5
    assert day.filled_seconds == 57
    found = planned_day(logbook, TODAY, 0.95)
    assert [status.code for status in found.ordered] == ["G05", "G04", "G14", "G02"]


def test_what_is_long_unseen_gets_a_third_of_its_reference_time_in_one_go(
    shelf: None, logbook: Logbook
) -> None:
    [first, *_] = plan_day(logbook, TODAY, 0.3).plan
    assert first.planned_seconds == pytest.approx(18, abs=0.5), "as far as the minutes go"
    [first, *_] = plan_day(logbook, TODAY, 1.201 / 3.6).plan
    assert first.planned_seconds == pytest.approx(20, abs=0.1)
    assert first.whole_plant
    assert len(first.steps) == 1
    seconds = {zone.zone: zone.planned_seconds for zone in first.zones}
    assert seconds["axils"] == pytest.approx(20 * 0.35 / 0.95, abs=0.2)
    assert "roots" not in seconds


def test_spare_seconds_make_the_look_count_that_never_did(
    shelf: None, add: Add, logbook: Logbook
) -> None:
    for code in ("G07", "G08", "G09"):
        add(code, on=before(7))
    # four are due, and one look can be made to count: of those that never were fully checked
    day = plan_day(logbook, TODAY, (4 * 20 + 3 * 5 + 10 + 0.5) / 60)
    seconds = {p.status.code: round(p.planned_seconds) for p in day.plan}
    assert sorted(seconds.values()) == [20, 20, 20, 30]
    assert seconds["G05"] == 20


def test_nobody_takes_more_than_a_third_of_the_minutes_while_others_are_due(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S09", "Marline", on=LONG_AGO, size="large")
    look("S09", before(8), seconds=360)
    assert planned(plan_day(logbook, TODAY, 2.2)) == ["G05"], "a large one waits for its turn"
    day = plan_day(logbook, TODAY, 4.0)
    assert {"G05", "S09"} <= set(planned(day))
    large = next(plant for plant in day.plan if plant.status.code == "S09")
    assert large.planned_seconds <= 120 + 1e-6


def test_a_large_plant_gets_a_whole_look_on_its_turn(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S09", "Marline", on=LONG_AGO, size="large")
    look("S09", before(10), seconds=360)
    seconds = {p.status.code: p.planned_seconds for p in plan_day(logbook, TODAY, 2.2).plan}
    assert seconds == {"S09": pytest.approx(120)}
    short = plan_day(logbook, TODAY, 1.0)
    assert planned(short) == ["S09"], "in parts, where no round of so many minutes holds it"
    for zone in short.plan[0].zones:
        look("S09", TODAY, zone.zone, seconds=zone.planned_seconds + 0.1)
    tomorrow = plan_day(logbook, TODAY + timedelta(1), 2.2)
    rest = next(plant for plant in tomorrow.plan if plant.status.code == "S09")
    assert {zone.zone for zone in short.plan[0].zones}.isdisjoint(z.zone for z in rest.zones)
    assert 50 < rest.planned_seconds < 80


def test_known_live_plants_are_never_left_out(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    for number in range(4):
        code = f"L{number}"
        add(code, on=LONG_AGO, size="large")
        look(code, before(1 + number), "axils", seconds=90, counts={"removed": 2})
    for minutes in (4.0, 6.0, 10.0):
        day = plan_day(logbook, TODAY, minutes)
        assert {"L0", "L1", "L2", "L3"} <= set(planned(day))
        assert day.filled_seconds <= minutes * 60 + 1e-3
    assert all(len(step) for plant in day.plan for step in plant.steps)


def test_the_minutes_that_would_hold_all_that_is_due_are_told_and_do(
    shelf: None, look: LookIn, logbook: Logbook
) -> None:
    look("G02", before(1), "axils", counts={"removed": 1})
    few = plan_day(logbook, TODAY, 1.0)
    assert few.due_waits
    assert few.needed_minutes > 1.0
    enough = plan_day(logbook, TODAY, few.needed_minutes + 0.01)
    assert not enough.due_waits
    assert {p.claim for p in enough.plan} >= {"alive", "near"}
    assert enough.needed_minutes == pytest.approx(few.needed_minutes)


def test_without_minutes_the_usual_ones_are_taken(shelf: None, logbook: Logbook) -> None:
    assert plan_day(logbook, TODAY).minutes == 10
    logbook.keep_minutes(0.5)
    assert planned(plan_day(logbook, TODAY)) == ["G05"]


def test_who_was_found_alive_comes_first_then_who_stands_near_then_who_waits(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S07", "Ratline", on=LONG_AGO, place="seedling bench")
    look("S07", before(8))
    look("G02", before(1), "axils", counts={"removed": 1})
    day = planned_day(logbook, TODAY, 10.0)
    claims = {status.code: status.claim for status in day.ordered}
    assert [s.code for s in day.ordered if s.claim.is_due] == ["G02", "G05", "G04", "G14", "S07"]
    assert claims["G02"].code == "alive"
    assert {claims[code].code for code in ("G04", "G05", "G14")} == {"near"}
    assert claims["S07"].code == "unseen"


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
        ("G14", "collection"),
        ("G02", "collection"),
        ("G11", "watch"),
        # found on yesterday, and not yet apart
        ("G04", "collection"),
        ("S03", "quarantine"),
    ]
    # clean hands after it
    assert [p.status.code for p in day.plan if p.hygiene_stop_before] == ["S03"]


def test_plants_apart_are_walked_from_the_likely_cleanest_to_the_worst(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    for code, found in (("S01", 1), ("S02", 0), ("S03", 5)):
        add(code, on=before(20), place="stair foot", arrived=before(20))
        if found:
            look(code, before(2), "axils", seconds=60, counts={"removed": found})
    day = plan_day(logbook, TODAY, 30.0)
    chances = [plant.status.chance_clean for plant in day.plan]
    assert len(chances) == 3
    assert chances == sorted(chances, reverse=True)  # type: ignore[type-var]


def test_a_zone_seen_today_is_done(shelf: None, look: LookIn, logbook: Logbook) -> None:
    look("G05", TODAY, "axils", seconds=11.0)  # 11.05 s are half its reference time
    [left] = [p for p in plan_day(logbook, TODAY, 2.5).plan if p.status.code == "G05"]
    assert "axils" in [zone.zone for zone in left.zones]
    look("G05", TODAY, "axils", seconds=0.1)
    [left] = [p for p in plan_day(logbook, TODAY, 2.5).plan if p.status.code == "G05"]
    assert "axils" not in [zone.zone for zone in left.zones]


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
    assert reasons(day, "G05") == ["near-place", "unseen"]
    assert reasons(day, "G04") == ["found-lately", "open-doubts", "unseen"]
    assert reasons(day, "G07") == ["standing-quarantine", "never-seen"]
    texts = [reason.text for plant in day.plan for reason in plant.status.reasons]
    assert "in quarantine for 6 days" in texts
    assert "insects found 2 days ago" in texts
    assert "shares its place with G04, which had insects 2 May" in texts
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


def test_roots_of_a_plant_that_is_found_on_again_and_again_are_asked_for(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G07", "Lanyard", on=before(40), place="stair foot", arrived=before(40))
    for days in (24, 16, 9, 2):
        look("G07", before(days), "axils", counts={"removed": 1})
    assert day_of(logbook, before(4)).due == ()
    [due] = day_of(logbook, TODAY).due
    assert (due.kind, due.on, due.waiting_days) == ("roots-again", before(3), 3)
    assert due.short == "unpot, check roots"
    assert due.text == "insects found again and again for 24 days; unpot, check roots"
    [status] = day_of(logbook, TODAY).ordered
    told = {reason.code: reason.text for reason in status.reasons}
    assert told["found-again"] == due.text
    look("G07", TODAY, "roots", seconds=120, unpotted=True)
    assert day_of(logbook, TODAY).due == ()
    assert "found-again" not in {r.code for r in day_of(logbook, TODAY).ordered[0].reasons}


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


@pytest.mark.parametrize("counts", [{"removed": 1}, {"removed": 2, "doubtful": 1}])
def test_roots_at_which_something_was_found_are_not_asked_for_the_next_day(
    add: Add, look: LookIn, logbook: Logbook, counts: dict[str, int]
) -> None:
    add("G07", "Lanyard", on=before(40), place="stair foot", arrived=before(40))
    for days in (24, 16, 9, 2):
        look("G07", before(days), "axils", counts={"removed": 1})
    look("G07", TODAY, "roots", seconds=5, unpotted=True, counts=counts)
    assert "roots-again" not in {d.kind for d in day_of(logbook, TODAY + timedelta(1)).due}
