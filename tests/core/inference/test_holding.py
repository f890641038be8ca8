"""What holds the chance clean down: each thing taken away, against sums made otherwise."""

from collections.abc import Generator, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.core.inference.answer import chance_clean
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts
from rounds.core.inference.holding import Held, holds_down, taken_away, told
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.parameters import Parameters

from .logs import CLEAR, LEAFY, PARAMETERS, facts, look, on, tally, whole

Found = TypeVar("Found")
Looks = Sequence[EffectiveLook]
LAST = 24


def finished(steps: Generator[None, None, Found]) -> Found:
    while True:
        try:
            next(steps)
        except StopIteration as end:
            found: Found = end.value
            return found


def held(told_of: PlantFacts, day: int = LAST, table: Parameters = PARAMETERS) -> list[Held]:
    return list(finished(holds_down(told_of, on(day), table)))


def points(told_of: PlantFacts, day: int = LAST) -> dict[str, float]:
    return {each.code: each.points for each in held(told_of, day)}


def chance(told_of: PlantFacts, table: Parameters = PARAMETERS, day: int = LAST) -> float:
    return chance_clean(gather(told_of, on(day), table).log)


def gained(without: PlantFacts, told_of: PlantFacts, table: Parameters = PARAMETERS) -> float:
    return 100 * (chance(without, table) - chance(told_of))


def looked(
    days: Iterable[int], found: Mapping[int, Sequence[EffectiveTally]], share: float = 1.0
) -> list[EffectiveLook]:
    """Looks at all outside on some days, for a share of a full look; finds are in the axils."""
    per_find = PARAMETERS.inspection.seconds_per_find
    return [
        look(day, zone.zone, *tallies,
             seconds=share * zone.reference_seconds + per_find * sum(t.count for t in tallies))
        for day in days
        for zone in LEAFY.outside
        for tallies in [found.get(day, ()) if zone.zone == "axils" else ()]
    ]  # fmt: skip


FINDS = {0: [tally(3)], 9: [tally(1, stage="adult"), tally(1, "left", stage="young")]}
EVERY_3 = range(0, LAST + 1, 3)


def test_roots_not_seen_is_a_full_clean_look_at_them_on_that_day() -> None:
    looks = looked(EVERY_3, FINDS)
    seen = look(LAST, "roots", seconds=120.0, unpotted=True)
    expected = gained(facts([*looks, seen]), facts(looks))
    assert expected > 1
    assert points(facts(looks))["roots-unseen"] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("day", [9, 12, LAST])
def test_roots_seen_since_the_last_find_hold_nothing_down(day: int) -> None:
    seen = look(day, "roots", unpotted=True)
    looks = sorted([*looked(EVERY_3, FINDS), seen], key=lambda each: each.day)
    assert "roots-unseen" not in points(facts(looks))


def test_roots_seen_before_the_last_find_are_not_seen_since() -> None:
    seen = look(6, "roots", unpotted=True)
    looks = sorted([*looked(EVERY_3, FINDS), seen], key=lambda each: each.day)
    assert "roots-unseen" in points(facts(looks))


def test_roots_looked_at_within_the_pot_are_not_seen_but_through_a_clear_one() -> None:
    looks = [*looked(EVERY_3, FINDS), look(LAST, "roots")]
    assert "roots-unseen" in points(facts(looks))
    assert "roots-unseen" not in points(facts(looks, body=CLEAR))


def test_short_looks_are_full_ones_since_the_last_find_that_day_included() -> None:
    early, late = range(0, 9, 3), range(9, LAST + 1, 3)
    looks = [*looked(early, FINDS, 0.5), *looked(late, FINDS, 0.5)]
    full = [*looked(early, FINDS, 0.5), *looked(late, FINDS)]
    expected = gained(facts(full), facts(looks))
    assert expected > 1
    assert points(facts(looks))["short-looks"] == pytest.approx(expected, rel=1e-9)


def test_a_zone_looked_at_twice_for_half_a_look_each_had_a_full_one() -> None:
    looks = looked(EVERY_3, FINDS, 0.5)
    twice = sorted([*looks, *looked(EVERY_3, {}, 0.5)], key=lambda each: each.day)
    assert "short-looks" in points(facts(looks))
    assert "short-looks" not in points(facts(twice))


def test_few_looks_are_looks_as_usual_on_every_day_up_to_yesterday() -> None:
    looks = looked(EVERY_3, FINDS, 0.6)
    daily = sorted(
        [*looks, *looked((d for d in range(9, LAST) if d % 3), {}, 0.6)], key=lambda k: k.day
    )
    expected = gained(facts(daily), facts(looks))
    assert expected > 0.5
    assert points(facts(looks))["few-looks"] == pytest.approx(expected, rel=1e-9)


def test_zones_left_out_count_as_few_looks_and_looks_every_day_do_not() -> None:
    daily = looked(range(LAST + 1), {0: [tally(3)]})
    without_axils = [each for each in daily if each.zone != "axils" or each.tallies]
    assert "few-looks" not in points(facts(daily))
    assert points(facts(without_axils))["few-looks"] > 1


def test_the_last_find_is_that_day_without_it_as_long_looked_at() -> None:
    looks = looked(EVERY_3, FINDS)
    without = looked(EVERY_3, {0: FINDS[0]})
    expected = gained(facts(without), facts(looks))
    assert expected > 1
    assert points(facts(looks))["last-find"] == pytest.approx(expected, rel=1e-9)


def test_a_find_in_passing_goes_with_its_look() -> None:
    passing = look(9, "axils", tally(2), seconds=4.0)
    looks = looked(EVERY_3, {0: FINDS[0]})
    of_day_9 = [each for each in looks if each.day != on(9)]
    found = sorted([*of_day_9, passing], key=lambda each: each.day)
    expected = gained(facts(of_day_9), facts(found))
    assert points(facts(found))["last-find"] == pytest.approx(expected, rel=1e-9)


def test_doubts_that_count_as_alive_are_a_find() -> None:
    looks = looked(EVERY_3, {0: FINDS[0], 9: [tally(3, "doubtful")]})
    expected = gained(facts(looked(EVERY_3, {0: FINDS[0]})), facts(looks))
    assert points(facts(looks))["last-find"] == pytest.approx(expected, rel=1e-9)


def test_without_a_find_no_find_holds_it_down() -> None:
    assert "last-find" not in points(facts(looked(EVERY_3, {})))


def near(told_of: PlantFacts, by_day: Mapping[date, float]) -> PlantFacts:
    return replace(told_of, neighbours=dict(by_day))


def test_neighbours_are_no_crawlers_from_them() -> None:
    alone = facts(looked(EVERY_3, FINDS))
    beside = near(alone, {on(day): 0.03 for day in range(1, LAST + 1)})
    expected = gained(alone, beside)
    assert expected > 1
    assert points(beside)["neighbour"] == pytest.approx(expected, rel=1e-9)
    assert "neighbour" not in points(alone)
    assert "neighbour" not in points(near(alone, {on(LAST + 1): 0.03}))


def test_arrivals_are_none_from_nowhere_in_particular() -> None:
    told_of = facts(looked(EVERY_3, FINDS), apart=False)
    none = replace(PARAMETERS.infestation, arrivals_apart=0.0, arrivals_collection=0.0)
    expected = gained(told_of, told_of, replace(PARAMETERS, infestation=none))
    assert points(told_of)["arrivals"] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("told", [None, 0.43])
def test_the_start_is_that_of_a_plant_that_was_here(told: float | None) -> None:
    told_of = replace(facts(looked(EVERY_3, {})), chance_infested=told)
    expected = gained(facts(looked(EVERY_3, {}), arrived=False), told_of)
    assert points(told_of)["start"] == pytest.approx(expected, rel=1e-9)
    assert "start" not in points(facts(looked(EVERY_3, {}), arrived=False))


def test_largest_first_and_each_brings_something() -> None:
    beside = near(facts(looked(EVERY_3, FINDS, 0.5)), {on(5): 0.2})
    found = held(beside)
    assert [each.points for each in found] == sorted((e.points for e in found), reverse=True)
    assert all(each.points > 0 for each in found)
    assert {each.code for each in found} >= {"roots-unseen", "last-find", "short-looks"}


def test_what_cannot_have_come_about_without_a_thing_is_passed_over() -> None:
    never = {**PARAMETERS.infestation.priors}
    never["established"] = replace(never["established"], chance=0.0)
    table = replace(PARAMETERS, infestation=replace(PARAMETERS.infestation, priors=never))
    told_of = facts(looked(EVERY_3, {0: [tally(3)]}))
    assert "start" not in {each.code for each in held(told_of, table=table)}
    assert "last-find" in {each.code for each in held(told_of, table=table)}


def test_looks_of_later_days_are_not_read() -> None:
    looks = looked(EVERY_3, FINDS)
    later = [*looks, *looked([LAST + 3], {LAST + 3: [tally(2)]})]
    assert points(facts(later)) == points(facts(looks))


DAYS = st.lists(st.integers(0, 14), min_size=1, max_size=6, unique=True).map(sorted)
ZONES = st.sampled_from([zone.zone for zone in LEAFY.outside])
LOOKED = st.lists(st.tuples(DAYS, ZONES, st.floats(2.0, 60.0)), min_size=1, max_size=5)


@given(LOOKED, st.integers(0, 4), st.booleans(), st.sampled_from([16.0, 22.0, 27.0]))
@settings(max_examples=25)
def test_taking_a_thing_away_never_lowers_it_where_all_finds_are_on_the_first_day(
    spans: list[tuple[list[int], str, float]], count: int, arrived: bool, celsius: float
) -> None:
    looks = [look(day, zone, seconds=s) for days, zone, s in spans for day in days]
    found = [look(0, "axils", tally(count), seconds=30.0 + 8 * count)] if count else []
    ordered = sorted([*found, *looks], key=lambda each: each.day)
    told_of = near(
        facts(ordered, celsius=celsius, arrived=arrived), {on(day): 0.01 for day in range(3, 9)}
    )
    base, at = chance(told_of, day=15), told(told_of, on(15), PARAMETERS)
    for code, other, table in taken_away(at, lambda _: 0.7):
        assert chance(other, table, day=15) >= base - 1e-9, code


def test_a_plant_never_looked_at_has_no_short_looks() -> None:
    found = points(facts([]), 5)
    assert "short-looks" not in found
    assert found["few-looks"] > 0
    assert found["start"] > 10


def test_a_whole_look_at_nothing_found_is_short_of_nothing() -> None:
    assert "short-looks" not in points(facts([k for d in EVERY_3 for k in whole(d)]))


def test_insects_seen_when_it_came_are_its_last_find_until_some_are_counted() -> None:
    looks = looked(EVERY_3, {})
    seen = replace(facts(looks), insects_seen=True)
    expected = gained(facts(looks), seen)
    assert expected > 1
    assert points(seen)["last-find"] == pytest.approx(expected, rel=1e-9)
    counted = replace(facts(looked(EVERY_3, FINDS)), insects_seen=True)
    without = replace(facts(looked(EVERY_3, {0: [tally(3)]})), insects_seen=True)
    assert points(counted)["last-find"] == pytest.approx(gained(without, counted), rel=1e-9)
