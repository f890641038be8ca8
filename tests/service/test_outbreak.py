"""An outbreak on a shared shelf, lived with too few minutes: what each morning's plan holds."""

from collections.abc import Iterator

import pytest

from rounds.core.body import make_body
from rounds.core.plan.claims import ALIVE, QUARANTINE
from rounds.service.day.day import Day
from rounds.service.plan.due_text import holds_text
from rounds.service.plan.today import PlannedPlant
from tests.bench.evidence.tool import FORM
from tests.bench.evidence.truths import TRUTHS
from tests.bench.evidence.world import House
from tests.service.followed import PARAMETERS, Seen, follow

SHELF = House(plants=25, infested=0.0, outbreak=frozenset({3, 11, 17}), shelves=1)
MINUTES = 8.0
LONGEST_WAIT = 10
"""days"""
TOLD_SECONDS = 1.0
MOST_LEFT_SECONDS = 30.0


@pytest.fixture(scope="module")
def outbreak() -> Seen:
    """Twenty-five plants on one shelf, three of them with insects, eight minutes a day."""
    return follow(TRUTHS["defaults"], SHELF, MINUTES)


def planned(seen: Seen) -> Iterator[PlannedPlant]:
    """Every plant of every morning's plan."""
    for day in seen.days:
        assert day.plan is not None
        yield from day.plan.plan


def due(day: Day) -> set[str]:
    """Who is due and has something left to look at."""
    return {status.code for status in day.ordered if status.claim.is_due and status.to_do}


def lacks_time(planned: PlannedPlant) -> bool:
    """Whether a zone of it is planned for less than its reference time."""
    body = make_body(FORM, planned.status.size, False, PARAMETERS)
    seconds = {zone.zone: zone.planned_seconds for zone in planned.zones}
    return any(seconds.get(z.zone, 0.0) < z.reference_seconds - 1e-6 for z in body.outside)


def test_the_minutes_are_too_few(outbreak: Seen) -> None:
    needed = [day.plan.needed_minutes for day in outbreak.days if day.plan is not None]
    assert sum(minutes > 2 * MINUTES for minutes in needed) > 10


def test_nobody_that_is_due_without_insects_is_given_less_than_a_whole_look(
    outbreak: Seen,
) -> None:
    given = [p for p in planned(outbreak) if p.claim not in (ALIVE, "gain")]
    assert len(given) > 50
    assert [p.status.code for p in given if p.planned_seconds < p.owed_seconds - 1e-6] == []


def test_a_plant_with_insects_that_gets_less_than_it_needs_says_so(outbreak: Seen) -> None:
    alive = [p for p in planned(outbreak) if p.claim == ALIVE]
    short = [p for p in alive if p.planned_seconds < p.owed_seconds - TOLD_SECONDS]
    assert 5 < len(short) < len(alive)
    for plant in alive:
        codes = [reason.code for reason in plant.reasons]
        assert ("too-short" in codes) == (plant in short), plant.status.code
    text = next(reason.text for reason in short[0].reasons if reason.code == "too-short")
    seconds, owed = int(short[0].planned_seconds), round(short[0].owed_seconds)
    assert text.startswith(f"only {seconds} s of the {owed} s it needs; ")
    assert text.endswith(" more minutes would cover all")


def test_no_time_is_left_while_a_plant_with_insects_is_looked_at_for_less_than_usual(
    outbreak: Seen,
) -> None:
    lacked = 0
    for day in outbreak.days:
        assert day.plan is not None
        lacks = [p.status.code for p in day.plan.plan if p.claim == ALIVE and lacks_time(p)]
        if lacks:
            assert MINUTES * 60 - day.plan.filled_seconds <= MOST_LEFT_SECONDS, (day.on, lacks)
            lacked += 1
    assert lacked > 10


def test_nobody_waits_longer_than_ten_days(outbreak: Seen) -> None:
    assert outbreak.figures["longest-wait"][0] <= LONGEST_WAIT


def test_whoever_is_due_is_planned_or_named_among_those_that_wait(outbreak: Seen) -> None:
    for day in outbreak.days:
        plan = day.plan
        assert plan is not None
        waiting = [left.status for left in plan.due_waits]
        assert due(day) == {p.status.code for p in plan.plan if p.claim != "gain"} | {
            status.code for status in waiting
        }
        text = holds_text(plan)
        assert all(status.code in text for status in waiting)
        apart = [status.standing == QUARANTINE for status in waiting]
        assert apart == sorted(apart, reverse=True), "those in quarantine are named first"
        for left in plan.left_out:
            assert ("due" in left.reason.text) == left.status.claim.is_due


def test_nobody_that_is_due_or_planned_can_wait(outbreak: Seen) -> None:
    for day in outbreak.days:
        assert day.plan is not None
        in_plan = {p.status.code for p in day.plan.plan}
        words = {s.code: s.risk.word for s in day.ordered if s.risk is not None}
        told = in_plan | {s.code for s in day.ordered if s.claim.is_due}
        assert {code for code in told if words[code] == "can wait"} == set()
        of_plan = {p.status.code: p.status.risk for p in day.plan.plan}
        assert all(risk is not None and risk.word != "can wait" for risk in of_plan.values())


def test_known_live_plants_are_in_every_round(outbreak: Seen) -> None:
    left_out, known = outbreak.figures["known-left-out"]
    assert (left_out, known > 20) == (0, True)
