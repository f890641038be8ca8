"""Which plants get seconds of a round: rules, ties, and no better choice among all."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.plan.call import PlantCall, ZoneCall
from rounds.core.plan.calls import Calls
from rounds.core.plan.calls import calls_of as calls_of_plants
from rounds.core.plan.effort import Zones, fill
from rounds.core.plan.pace import TimedLook, own_pace
from rounds.core.plan.split import Split, split
from rounds.core.plan.walk import walking_order
from rounds.service.logbook.parameters import load_parameters

PLANNING = load_parameters().planning
REFERENCE = np.array([40.0, 20.0, 10.0])
RATES = -np.log1p(-np.array([0.05, 0.35, 0.80])) / REFERENCE[:, None]


def calls_of(harm: np.ndarray, must: list[bool], codes: list[str] | None = None) -> Calls:
    """Plants of three zones; `harm` (P, 3, 3) by plant, zone and kind."""
    plants = len(must)
    owner = np.repeat(np.arange(plants), 3)
    floor = np.where(np.array(must)[owner], np.tile(REFERENCE / 2, plants), 0.0)
    return Calls(
        codes=codes or [f"P{number:02}" for number in range(plants)],
        must=np.array(must),
        overhead=np.full(plants, 10.0),
        spared=np.zeros(plants),
        owner=owner,
        zones=Zones(
            harm.reshape(-1, 3), np.tile(RATES, (plants, 1)), floor, np.tile(3 * REFERENCE, plants)
        ),
    )


def drawn(seed: int, plants: int = 6, must: int = 2) -> Calls:
    rng = np.random.default_rng(seed)
    harm = rng.gamma(0.4, 1.0, (plants, 1, 1)) * rng.gamma(0.5, 1.0, (plants, 3, 3)) + 1e-6
    calls = calls_of(harm, [number < must for number in range(plants)])
    calls.overhead[rng.integers(plants)] += 40
    return calls


def subsets(calls: Calls) -> Iterator[tuple[int, ...]]:
    others = np.flatnonzero(~calls.must)
    for size in range(len(others) + 1):
        yield from combinations(others, size)


def best_of(calls: Calls, seconds: float, plants: np.ndarray) -> float:
    here = calls.zones_of(plants)
    zones = calls.zones.take(here)
    left = seconds - calls.overhead[plants].sum()
    if left < zones.least.sum():
        return -np.inf
    return float(zones.prevented(fill(zones, left)).sum())


def used(calls: Calls, found: Split) -> float:
    return float(found.seconds.sum() + calls.overhead[found.planned].sum())


@pytest.mark.parametrize("seed", range(25))
def test_no_choice_of_plants_finds_more_by_what_a_walk_is_worth(seed: int) -> None:
    calls = drawn(seed)
    seconds = float(np.random.default_rng(seed).uniform(150, 900))
    found = split(calls, seconds)
    must = np.flatnonzero(calls.must)
    every = [best_of(calls, seconds, np.array([*must, *q], dtype=int)) for q in subsets(calls)]
    in_order = [
        best_of(calls, seconds, np.concatenate([must, calls.others[:number]]))
        for number in range(len(calls.others) + 1)
    ]
    assert found.prevented == pytest.approx(max(in_order), abs=1e-8)
    # by duality no choice is better by more than the walk to the plant at the margin is worth
    last_in = max(0, int(found.planned.sum()) - len(must) - 1)
    worth_of_walk = calls.entry[calls.others[last_in]] * calls.overhead.max()
    assert max(every) <= found.prevented + worth_of_walk + 1e-9
    assert used(calls, found) <= seconds


def test_most_choices_are_the_best_of_all() -> None:
    same = 0
    for seed in range(40):
        calls = drawn(seed, plants=5, must=1)
        seconds = 120.0 + 15 * seed
        every = max(
            best_of(calls, seconds, np.array([0, *some], dtype=int)) for some in subsets(calls)
        )
        same += split(calls, seconds).prevented >= every - 1e-8
    assert same >= 36


def test_plants_that_must_be_looked_at_get_half_their_time_before_any_other_is_weighed() -> None:
    harm = np.full((4, 3, 3), 1e-6)
    harm[3] = 50.0
    calls = calls_of(harm, [True, True, True, False])
    found = split(calls, 3 * (35 + 10) + 5)
    assert list(found.planned) == [True, True, True, False]
    assert found.seconds[:9] == pytest.approx(np.tile(REFERENCE / 2, 3), abs=5)
    assert list(split(calls, 3 * (35 + 10) + 60).planned) == [True] * 4


def test_one_that_does_not_fit_makes_room_for_a_smaller_one() -> None:
    calls = calls_of(np.full((3, 3, 3), 0.1), [True, True, True])
    calls.zones.least[:3] *= 4
    found = split(calls, 2 * (35 + 10) + 20)
    assert list(found.planned) == [False, True, True]
    assert list(split(calls, 30.0).planned) == [False] * 3


@given(st.integers(0, 10_000), st.floats(20, 900), st.floats(1.0, 3.0))
def test_more_minutes_never_find_less_where_all_that_must_fit(
    seed: int, seconds: float, more: float
) -> None:
    calls = drawn(seed)
    few, many = split(calls, seconds), split(calls, seconds * more)
    must_few, must_many = few.planned[calls.must], many.planned[calls.must]
    # in their order those that must be looked at never fare worse
    assert tuple(must_many) >= tuple(must_few)
    if (must_few == must_many).all():
        assert many.prevented >= few.prevented - 1e-8
        assert not (few.planned & ~many.planned).any()
    assert used(calls, few) <= seconds + 1e-9


@given(st.integers(0, 10_000))
def test_the_same_plants_give_the_same_split(seed: int) -> None:
    one, other = split(drawn(seed), 400.0), split(drawn(seed), 400.0)
    assert (one.seconds == other.seconds).all()


def test_the_entry_of_a_plant_is_the_most_it_can_find_a_second() -> None:
    calls = drawn(3)
    for plant in range(6):
        here = calls.zones_of(np.array([plant]))
        zones = calls.zones.take(here)
        tried = [
            zones.prevented(fill(zones, s)).sum() / (s + calls.overhead[plant])
            for s in np.linspace(zones.least.sum() + 0.5, 200, 150)
        ]
        assert calls.entry[plant] >= max(tried) * (1 - 1e-9)
        assert calls.entry[plant] == pytest.approx(max(tried), rel=2e-3)


def test_plants_that_gain_as_much_come_in_by_code() -> None:
    harm = np.full((5, 3, 3), 0.3)
    codes = ["g14", "G02", "S03", "G05", "G04"]
    calls = calls_of(harm, [False] * 5, codes)
    assert [codes[plant] for plant in calls.others] == ["G02", "G04", "G05", "g14", "S03"]
    planned = split(calls, 90.0).planned
    assert [code for code, is_in in zip(codes, planned, strict=True) if is_in] == [
        "G02",
        "G05",
        "G04",
    ]


def test_where_nothing_can_be_found_nobody_comes_in() -> None:
    calls = calls_of(np.zeros((2, 3, 3)), [True, False])
    found = split(calls, 1000.0)
    assert list(found.planned) == [True, False]
    assert found.seconds.sum() == pytest.approx(35)


def test_the_walk_goes_clean_side_first_or_by_number() -> None:
    chosen = [(0, "quarantine"), (1, "collection"), (2, "watch"), (3, "collection")]
    assert walking_order(chosen) == [1, 3, 2, 0]
    assert walking_order(chosen, clean_first=False) == [0, 1, 2, 3]


def timed(*ratios: float) -> list[TimedLook]:
    return [TimedLook(12 * ratio, 12) for ratio in ratios]


def test_the_pace_is_the_median_of_the_last_looks() -> None:
    assert own_pace(timed(*[9.0] * 30, *[1.2] * 26, *[0.8] * 24), PLANNING) == pytest.approx(1.2)
    assert own_pace(timed(*[1.2] * 24, *[0.8] * 26), PLANNING) == pytest.approx(0.8)


def test_the_pace_keeps_within_its_limits_and_waits_for_enough_looks() -> None:
    assert own_pace(timed(*[9.0] * 20), PLANNING) == 2
    assert own_pace(timed(*[0.0] * 20), PLANNING) == 0.5
    assert own_pace(timed(*[9.0] * 9), PLANNING) == 1
    assert own_pace([], PLANNING) == 1


def test_a_plant_whose_pest_has_fewer_stages_gets_what_it_would_get_alone() -> None:
    found = (0.05, 0.35, 0.80)
    of_three = PlantCall("G02", True, 5.0, 0.0, [ZoneCall((0.1, 0.3, 0.2), 40.0, 20.0)], found)
    of_two = PlantCall("S03", True, 5.0, 0.0, [ZoneCall((0.1, 0.3), 40.0, 20.0)], found[:2])
    none_of_the_third = replace(
        of_two, zones=[ZoneCall((0.1, 0.3, 0.0), 40.0, 20.0)], found_in_reach=found
    )
    seconds = [
        split(calls_of_plants([of_three, other], 3.0), 100.0).seconds
        for other in (of_two, none_of_the_third)
    ]
    assert seconds[0] == pytest.approx(seconds[1])
    assert (seconds[0] > 20).all()
