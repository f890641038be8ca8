"""The plan of a round beyond who fits: own pace, looks in one go, order, price of minutes."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.core.plan.pace import Pace
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.plan.pace import pace_learned, pace_of
from rounds.service.plan.price import change_text
from rounds.service.plan.today import DayPlan, plan_day
from rounds.service.round import RoundWalk, begin
from rounds.store import walks
from tests.days import whole_day

TODAY = date(2026, 5, 4)
LONG_AGO = TODAY - timedelta(90)
WALK_SECONDS = 5
"""to a plant, as planned"""
A_GLANCE = 1 / 3
"""minutes that hold a third of the reference time of a small plant"""

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
Wait = Callable[[float], None]


def before(days: int) -> date:
    return TODAY - timedelta(days)


def codes(day: DayPlan) -> list[str]:
    return [planned.status.code for planned in day.plan]


@pytest.fixture
def shelf(add: Add, look: LookIn) -> None:
    """Four small plants of the collection, last seen 1 to 8 days ago."""
    for code, days in (("G02", 1), ("G04", 3), ("G05", 8), ("G14", 2)):
        add(code, on=LONG_AGO)
        look(code, before(days))


def walked(begun: RoundWalk, wait: Wait, times: float) -> None:
    """Walk a round to its end: to each plant, and each step, in so many times what is planned."""
    view, at = begun.view(), None
    while view.stage != "end":
        plant = begun.course.step.plant_id
        wait((begun.course.planned_here() + WALK_SECONDS * (plant != at)) * times)
        view, at = begun.go_on(), plant


def test_a_grower_who_takes_longer_gets_fewer_seconds_for_the_same_minutes(
    shelf: None, logbook: Logbook, wait: Wait
) -> None:
    assert plan_day(logbook, TODAY, 3.0).pace == 1
    walked(begin(logbook, plan_day(logbook, TODAY, 3.0)), wait, 1.5)
    pace = pace_of(logbook, TODAY)
    assert pace == pytest.approx(1.5, abs=0.01)
    tomorrow = plan_day(logbook, TODAY + timedelta(1), 3.0)
    assert tomorrow.pace == pace
    seconds = tomorrow.planned_seconds + tomorrow.walking_seconds + tomorrow.handling_seconds
    assert seconds == pytest.approx(180 / pace)
    assert tomorrow.filled_seconds == 180
    assert plan_day(logbook, before(1), 3.0).pace == 1, "of an earlier day it knows nothing"


def test_the_walk_to_a_plant_looked_at_in_one_go_is_in_what_was_planned(
    add: Add, look: LookIn, logbook: Logbook, wait: Wait
) -> None:
    for number in range(20, 28):
        add(f"G{number}", on=LONG_AGO)
        look(f"G{number}", before(8))
    planned = plan_day(logbook, TODAY, 3.0)
    assert sum(plant.whole_plant for plant in planned.plan) > len(planned.plan) / 2
    walked(begin(logbook, planned), wait, 1.0)
    assert pace_learned(logbook, TODAY).times == pytest.approx(1.0, abs=0.01)
    assert plan_day(logbook, TODAY + timedelta(1), 3.0).pace == pytest.approx(1.0, abs=0.01)


def test_looks_that_were_left_too_soon_say_nothing_of_the_pace(
    shelf: None, logbook: Logbook, wait: Wait
) -> None:
    walked(begin(logbook, plan_day(logbook, TODAY, 3.0)), wait, 0.01)
    assert pace_of(logbook, TODAY) == 1


def test_the_rest_of_a_plant_says_nothing_of_the_pace(
    shelf: None, logbook: Logbook, wait: Wait
) -> None:
    begun = begin(logbook, plan_day(logbook, TODAY, 3.0))
    while begun.view().stage != "end":
        wait(sum(step.planned_seconds for step in begun.course.to_come()) * 0.6)
        begun.rest()
    assert pace_learned(logbook, TODAY) == Pace(1, 0)


def test_one_hasty_round_leaves_the_pace_as_it_was(
    shelf: None, logbook: Logbook, clock: SetClock, wait: Wait
) -> None:
    walked(begin(logbook, plan_day(logbook, TODAY, 3.0)), wait, 1.5)
    learned = pace_learned(logbook, TODAY)
    assert learned.times > 1.3
    for _ in range(2):
        wait(24 * 3600)
        day = clock.today()
        before = plan_day(logbook, day, 6.0)
        hasty = begin(logbook, before)
        while hasty.view().stage != "end":
            wait(2)
            hasty.rest()
        assert pace_learned(logbook, day) == learned
        wait(24 * 3600)
        after = plan_day(logbook, clock.today(), 6.0)
        assert after.pace == before.pace


def test_what_was_put_off_says_nothing_of_the_pace(
    shelf: None, logbook: Logbook, wait: Wait
) -> None:
    begun = begin(logbook, plan_day(logbook, TODAY, 3.0))
    while begun.view().stage != "end":
        wait(begun.course.planned_here())
        begun.answer("not-now")
        begun.digit(2)
        begun.digit(1)
    assert pace_learned(logbook, TODAY) == Pace(1, 0)


def test_the_own_pace_can_be_set_aside(shelf: None, logbook: Logbook, wait: Wait) -> None:
    walked(begin(logbook, plan_day(logbook, TODAY, 3.0)), wait, 1.5)
    learned = pace_of(logbook, TODAY)
    assert learned > 1.3
    choose(logbook, "own-pace", "off")
    assert pace_of(logbook, TODAY) == 1
    assert pace_learned(logbook, TODAY).times == learned


def test_the_round_at_hand_does_not_count_for_its_own_pace(
    shelf: None, logbook: Logbook, wait: Wait
) -> None:
    begun = begin(logbook, plan_day(logbook, TODAY, 3.0))
    walked(begun, wait, 1.5)
    assert pace_of(logbook, TODAY, begun.walk) == 1


def test_a_plant_without_finds_that_gets_little_is_looked_at_in_one_go(
    shelf: None, logbook: Logbook
) -> None:
    longer = plan_day(logbook, TODAY, 0.6)
    assert [(p.status.code, p.whole_plant) for p in longer.plan] == [("G05", False)]
    plan = plan_day(logbook, TODAY, A_GLANCE)
    assert [(p.status.code, p.whole_plant) for p in plan.plan] == [("G05", True)]
    [glance] = plan.plan
    assert len(glance.zones) == 7
    assert glance.planned_seconds == pytest.approx(60 / 3, abs=0.1)
    # its seconds are shared by the reference time of the zones
    shares = {zone.zone: zone.planned_seconds / glance.planned_seconds for zone in glance.zones}
    assert shares["axils"] == pytest.approx(0.35 / 0.95)
    begun = begin(logbook, plan)
    kept = walks.steps_of(logbook.file, begun.walk.id)
    assert {step.whole_plant for step in kept} == {True}


def test_a_plant_found_on_lately_is_looked_at_zone_by_zone_however_little_it_gets(
    shelf: None, look: LookIn, logbook: Logbook
) -> None:
    look("G02", before(1), "axils", counts={"removed": 1})
    plan = plan_day(logbook, TODAY, 0.7)
    found = next(p for p in plan.plan if p.status.code == "G02")
    assert found.planned_seconds < 60 / 3
    assert not found.whole_plant


def test_who_was_gone_over_in_a_round_of_the_day_is_asked_of_it_no_more(
    shelf: None, logbook: Logbook, wait: Wait
) -> None:
    walked(begin(logbook, plan_day(logbook, TODAY, A_GLANCE)), wait, 1.0)
    again = plan_day(logbook, TODAY, 1.0)
    left = [out.status.code for out in again.left_out]
    assert "G05" not in [*codes(again), *left], "a glance was all it was to have"
    assert {"G02", "G14"} <= {*codes(again), *left}


def test_the_walk_goes_strictly_by_risk_where_that_is_chosen(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S03", "Pintle", on=before(6), place="stair foot", arrived=before(6))
    look("S03", before(1), "axils", counts={"removed": 3})
    usual = plan_day(logbook, TODAY, 10.0)
    assert codes(usual)[-1] == "S03"
    logbook.walk_by_risk(True)
    by_risk = plan_day(logbook, TODAY, 10.0)
    assert codes(by_risk)[0] == "S03"
    assert by_risk.by_risk
    assert sorted(codes(by_risk)) == sorted(codes(usual))
    risks = [p.status.risk.value for p in by_risk.plan if p.status.risk]
    assert risks == sorted(risks, reverse=True)
    assert by_risk.plan[1].hygiene_stop_before
    logbook.walk_by_risk(False)
    assert codes(plan_day(logbook, TODAY, 10.0)) == codes(usual)


def test_what_is_offered_for_more_minutes_comes_true(shelf: None, logbook: Logbook) -> None:
    day = plan_day(logbook, TODAY, 0.5)
    assert len(day.left_out) == 3
    price = whole_day(logbook, TODAY, 0.5).price
    assert price is not None
    assert price.plants == 3
    waiting = {left.status.code for left in day.left_out}
    then = plan_day(logbook, TODAY, 0.5 + price.minutes)
    assert len(waiting & set(codes(then))) == price.plants
    one_less = plan_day(logbook, TODAY, 0.5 + price.minutes - 1)
    assert len(waiting & set(codes(one_less))) < price.plants
    assert whole_day(logbook, TODAY, then.minutes).price is None, "nobody waits any more"


def test_other_minutes_say_whom_they_let_in_and_who_has_to_wait(
    shelf: None, logbook: Logbook
) -> None:
    few, many = plan_day(logbook, TODAY, 0.5), plan_day(logbook, TODAY, 2.5)
    assert change_text(few, many) == "2 more minutes: 3 more plants fit"
    assert change_text(many, few) == "2 minutes fewer: 3 fewer plants fit"
    more = plan_day(logbook, TODAY, 3.5)
    assert change_text(many, more) == "1 more minute: no more plants, longer looks"
    assert change_text(more, many) == "1 minute fewer: the same plants, shorter looks"
    assert change_text(few, few) == ""


def test_the_seconds_of_a_plant_follow_what_it_is_worth(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    for code, value in (("G02", 1.0), ("G04", 10.0), ("G14", 1.0)):
        add(code, on=LONG_AGO, value=value)
        look(code, before(2))
    plan = plan_day(logbook, TODAY, 3.0)
    seconds = {p.status.code: p.planned_seconds for p in plan.plan}
    assert seconds["G04"] > 1.3 * seconds.get("G02", 0.0)
    assert seconds["G04"] <= 3 * 60 + 1e-6


def test_ties_go_by_code(add: Add, look: LookIn, logbook: Logbook) -> None:
    for code in ("g14", "G04", "S03", "G02"):
        add(code, on=LONG_AGO)
        look(code, before(2))
    assert codes(plan_day(logbook, TODAY, 0.2)) == ["G02"]
    day = plan_day(logbook, TODAY, 1.2)
    left = [out.status.code for out in day.left_out]
    assert [*codes(day), *left] == ["G02", "G04", "g14", "S03"]


@pytest.mark.parametrize("minutes", [0.2, 0.4, 0.7, 1.0, 2.0, 3.0, 6.0, 20.0])
def test_no_step_of_a_round_is_shorter_than_four_seconds(
    shelf: None, add: Add, look: LookIn, logbook: Logbook, minutes: float
) -> None:
    add("S03", "Pintle", on=before(6), place="stair foot", arrived=before(6), form="rosette")
    look("S03", before(1), "axils", counts={"left": 2})
    add("S12", "Fiddle", on=before(6), place="stair foot", arrived=before(6), size="large")
    plan = plan_day(logbook, TODAY, minutes)
    for planned in plan.plan:
        seconds = {zone.zone: zone.planned_seconds for zone in planned.zones}
        assert sorted(zone for step in planned.steps for zone in step) == sorted(seconds)
        for step in planned.steps:
            assert sum(seconds[zone] for zone in step) >= 4 - 1e-6


def test_the_walk_goes_from_the_clean_side_to_the_infested(
    shelf: None, add: Add, look: LookIn, logbook: Logbook, wait: Wait
) -> None:
    # worst first by their codes, so that only the order of the walk puts them right
    for code, seconds in (("A01", 0), ("A02", 20), ("A03", 60)):
        add(code, on=before(20), place="stair foot", arrived=before(20))
        look(code, before(3), "axils", counts={"left": 3} if not seconds else {}, seconds=10)
        if seconds:
            look(code, before(2), seconds=seconds)
    add("G06", "Capstan", on=LONG_AGO)
    look("G06", before(1), "axils", counts={"left": 2})
    plan = plan_day(logbook, TODAY, 60.0)
    order = codes(plan)
    assert order[:4] == [code for code in order if code in ("G02", "G04", "G05", "G14")]
    assert order[4] == "G06", "alive among the others comes after them"
    apart = [p.status for p in plan.plan if p.status.standing == "quarantine"]
    assert [status.code for status in apart] == order[5:]
    assert order[-1] == "A01"
    clean = [status.chance_clean or 0.0 for status in apart]
    assert clean == sorted(clean, reverse=True)
    assert all(p.hygiene_stop_before for p in plan.plan[5:])
