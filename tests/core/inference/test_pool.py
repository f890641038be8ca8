"""Finds taken together: within the budget, exact for the coarser log, and not far off."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations_with_replacement

import numpy as np
import pytest

from rounds.core.biology.day import Day
from rounds.core.inference import backward
from rounds.core.inference.answer import answer, chance_clean
from rounds.core.inference.backward import Backward, prepare
from rounds.core.inference.observed import Log
from rounds.core.inference.pairing import Placed
from rounds.core.inference.pool import PAIRED, Pooling, Span, fits, pool, summed
from rounds.core.inference.series import Caps, pairs, size

from .trials import plant_log

PLANT = (0.3, 6.0, 0.8)


def cost(log: Log, budget: int) -> int:
    """Products of coefficients on all days: what the time is spent on."""
    run = Backward(prepare(log, budget), np.ones((len(log.landing), 1, 1)), 1.0, keep=0)
    days = zip(reversed(run.course.events), run.passed or [], strict=True)
    return sum(pairs(kept.frame.caps) for event, kept in days if isinstance(event, Day))


def with_left(log: Log, stays: float) -> Log:
    """The same finds, of which each insect is still there with that chance."""
    days = [
        replace(day, looks=tuple(
            replace(look, finds=tuple(replace(find, stays=stays) for find in look.finds))
            for look in day.looks
        ))
        for day in log.days
    ]  # fmt: skip
    return replace(log, days=tuple(days))


def test_finds_within_the_budget_are_kept_apart() -> None:
    pooling = pool([Placed(1, 3), Placed(1, 1), Placed(2, 2)], 24, 9)
    assert pooling.is_exact
    assert pooling.caps == (3, 1, 2)


def test_the_newest_finds_are_kept_apart_and_all_days_before_are_known_by_sums() -> None:
    pooling = summed([Placed(day, 1) for day in range(1, 11)], 64)
    assert pooling.caps == (1, 1, 1, 1, 0)
    assert pooling.spans == (Span(7, 7, 3, 1.0), Span(0, 6, 4, 0.0))
    assert summed([Placed(day, 1) for day in range(1, 11)], 512).spans[1].counted == 1.0
    assert [pooling.span_of(day) is None for day in (0, 6, 7, 8, 99)] == [
        False, False, False, True, True,
    ]  # fmt: skip


def test_how_far_sums_reach_depends_on_the_days_after_them_and_on_sums_alone() -> None:
    newest = [Placed(20, 2), Placed(20, 1), Placed(23, 1)]
    older = ([Placed(2, 30)], [Placed(3, 1)] * 30, [Placed(day, 3) for day in range(4, 14)])
    of_day = ([Placed(19, 24)], [Placed(19, 1)] * 24, [Placed(19, 20), Placed(19, 4)])
    poolings = {summed([*some, *day, *newest], 256).spans for some in older for day in of_day}
    assert len(poolings) == 1


def test_a_little_beyond_the_budget_a_few_finds_share_a_variable_those_most_alike() -> None:
    finds = [
        Placed(2, 1, "axils", "young"),
        Placed(3, 1, "axils", "young"),
        Placed(20, 1, "medium", "adult"),
        Placed(30, 1, "axils", "young"),
    ]
    pooling = pool(finds, 12, 40)
    assert not pooling.is_exact
    assert (pooling.caps, pooling.shared, pooling.spans) == ((2, 1, 1), (0, 0, 1, 2), ())


def test_far_beyond_it_sums_are_over_every_look() -> None:
    # one more would be as many coefficients again
    most = (PAIRED * 64).bit_length() - 1
    assert pool([Placed(day, 1) for day in range(most)], 64, 99).shared
    assert pool([Placed(day, 1) for day in range(most + 1)], 64, 99).spans


@pytest.mark.parametrize("budget", [2, 32, 64, 1024, 4096])
@pytest.mark.parametrize("seed", range(4))
def test_the_budget_holds_and_no_find_is_lost(seed: int, budget: int) -> None:
    rng = np.random.default_rng(seed)
    days = np.sort(rng.integers(1, 90, size=700))
    finds = [Placed(int(d), int(rng.integers(1, 9))) for d in days]
    pooling = pool(finds, budget, 90)
    assert fits(pooling.caps, budget)
    apart = [find.count for find in finds if pooling.span_of(find.day) is None]
    assert pooling.caps[: len(apart)] == tuple(apart)
    for span in pooling.spans:
        found = sum(find.count for find in finds if span.holds(find.day))
        assert span.counted * found == pytest.approx(pooling.caps[span.variable])
    assert pooling.caps[pooling.spans[0].variable] > 0


@pytest.mark.parametrize("budget", [32, 64, 256, 1024, 4096])
def test_a_find_greater_than_the_budget_does_not_leave_a_plant_looking_clean(budget: int) -> None:
    for finds in ({(2, 0): 5000}, {(2, 0): 5000, (3, 1): 1}):
        log = plant_log(PLANT, 22, 4, finds)
        assert chance_clean(log, budget) < 1e-3
        assert chance_clean(log, budget) < chance_clean(plant_log(PLANT, 22, 4, {(2, 0): 1}))


def test_five_hundred_finds_cost_no_more_than_ten_times_a_thousand_coefficients() -> None:
    rng = np.random.default_rng(5)
    many = {
        (int(day), int(zone)): int(rng.integers(1, 9))
        for day in range(1, 40)
        for zone in rng.choice(6, 3, replace=False)
    }
    assert 450 < sum(many.values()) < 550
    ten = {(day, day % 3): 1 for day in range(29, 39)}
    measure = cost(plant_log(PLANT, 22, 40, ten), 4096)
    assert size(tuple(ten.values())) == 1024
    assert cost(plant_log(PLANT, 22, 40, many), 4096) <= 10 * measure


@pytest.mark.parametrize("stays", [0.0, 0.05, 1.0])
def test_a_sum_is_exact_for_all_ways_it_may_have_come_about_clean_looks_among_them(
    stays: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    def sums(finds: Sequence[Placed], budget: int, today: int) -> Pooling:
        return summed(finds, budget) if budget == 7 else pool(finds, budget, today)

    monkeypatch.setattr(backward, "pool", sums)
    log = with_left(plant_log(PLANT, 22, 5, {(1, 0): 1, (2, 1): 1, (3, 0): 1}), stays)
    pooled = answer(log, budget=7)
    assert pooled.method == "pooled"
    assert prepare(log, 7).pooling.spans == (Span(3, 3, 0, 1.0), Span(0, 2, 1, 1.0))
    places = [(day, zone) for day in (1, 2) for zone in range(6)]
    ways = [Counter([*two, (3, zone)])
            for two in combinations_with_replacement(places, 2) for zone in range(6)]  # fmt: skip
    each = [with_left(plant_log(PLANT, 22, 5, way), stays) for way in ways]
    apart = [answer(way, with_interval=False) for way in each]
    chances = [math.exp(way.log_probability) for way in apart]
    assert math.exp(pooled.log_probability) == pytest.approx(sum(chances), rel=1e-12)
    clean = sum(c * way.chance_clean for c, way in zip(chances, apart, strict=True))
    assert pooled.chance_clean == pytest.approx(clean / sum(chances), rel=1e-11)
    mean = sum(c * way.mean.sum() for c, way in zip(chances, apart, strict=True))
    assert pooled.mean.sum() == pytest.approx(mean / sum(chances), rel=1e-11)


def test_finds_that_share_a_variable_are_exact_for_all_ways_among_their_looks() -> None:
    """Two finds in one sum: both here, both there, or one of each; the third stays where it is."""
    found = [(1, 0), (2, 1), (6, 2)]
    log = plant_log(PLANT, 22, 8, dict.fromkeys(found, 1))
    course = prepare(log, 7)
    assert course.pooling.shared == (0, 0, 1)
    ways = ({(1, 0): 2, (6, 2): 1}, {(2, 1): 2, (6, 2): 1}, dict.fromkeys(found, 1))
    each = [answer(plant_log(PLANT, 22, 8, way), with_interval=False) for way in ways]
    chances = [math.exp(way.log_probability) for way in each]
    pooled = answer(log, budget=7)
    assert pooled.method == "pooled"
    assert math.exp(pooled.log_probability) == pytest.approx(sum(chances), rel=1e-12)
    clean = sum(c * way.chance_clean for c, way in zip(chances, each, strict=True))
    assert pooled.chance_clean == pytest.approx(clean / sum(chances), rel=1e-11)


def test_a_sum_counted_in_part_is_exact_for_a_grower_who_noted_one_in_so_many() -> None:
    def found(number: int, budget: int) -> tuple[float, float]:
        log = plant_log(PLANT, 22, 4, {(2, 0): number}, looked_at=[0])
        said = answer(log, budget, with_interval=False)
        return math.exp(said.log_probability), said.chance_clean

    some, clean = found(4, 3)
    whole = {number: found(number, 4096) for number in range(2, 90)}
    noted = {n: math.comb(n, 2) * 0.5**n * chance for n, (chance, _) in whole.items()}
    assert some == pytest.approx(sum(noted.values()), rel=1e-9)
    expected = sum(noted[n] * whole[n][1] for n in noted) / sum(noted.values())
    assert clean == pytest.approx(expected, rel=1e-9)


def test_very_many_finds_give_a_figure() -> None:
    finds = {(day, day % 4): 60 for day in range(1, 40)}
    got = answer(plant_log(PLANT, 22, 60, finds), with_interval=False)
    assert got.method == "pooled"
    assert 0 <= got.chance_clean < 0.5
    assert np.isfinite(got.mean).all()


def test_a_cap_is_never_above_what_the_budget_allows() -> None:
    caps: Caps = (1,) * 12
    assert fits(caps, 4096)
    assert not fits((*caps, 1), 4096)
    assert not fits((4000,), 4096)
