"""Finds taken together: within the budget, exact for the coarser log, and not far off."""

import math

import numpy as np
import pytest

from rounds.core.biology.day import Day
from rounds.core.inference.answer import answer, chance_clean
from rounds.core.inference.backward import Backward, prepare
from rounds.core.inference.observed import Log
from rounds.core.inference.pool import UNREAD, Placed, fits, pool
from rounds.core.inference.series import Caps, pairs, size

from .trials import plant_log

PLANT = (0.3, 6.0, 0.8)


def cost(log: Log, budget: int) -> int:
    """Products of coefficients on all days: what the time is spent on."""
    run = Backward(prepare(log, budget), np.ones((len(log.landing), 1, 1)), 1.0, keep=0)
    days = zip(reversed(run.course.events), run.passed or [], strict=True)
    return sum(pairs(kept.frame.caps) for event, kept in days if isinstance(event, Day))


def scattered(seed: int, finds: int, last: int, days: int) -> Log:
    rng = np.random.default_rng(seed)
    found: dict[tuple[int, int], int] = {}
    for _ in range(finds):
        at = int(rng.integers(1, days)), int(rng.choice(6, p=[0.35, 0.25, 0.15, 0.1, 0.1, 0.05]))
        found[at] = found.get(at, 0) + 1
    return plant_log(PLANT, 22, last, found)


def test_finds_within_the_budget_are_kept_apart() -> None:
    finds = [Placed(1, 0, 3), Placed(1, 1, 1), Placed(2, 0, 2)]
    pooling = pool(finds, 24)
    assert pooling.is_exact
    assert pooling.caps == (3, 1, 2)


def test_finds_of_one_zone_and_near_in_time_go_together_first() -> None:
    finds = [Placed(1, 0, 1), Placed(4, 0, 1), Placed(5, 0, 1), Placed(5, 1, 1)]
    pooling = pool(finds, 12)
    assert not pooling.is_exact
    assert pooling.variable_of == (0, 1, 1, 2)
    assert pooling.caps == (1, 2, 1)
    coarser = pool(finds, 8)
    assert coarser.variable_of == (0, 0, 0, 1)


def test_an_egg_and_an_adult_of_one_day_go_together_later_than_two_young_of_a_week() -> None:
    finds = [Placed(3, 0, 1, 1), Placed(9, 0, 1, 1), Placed(9, 0, 1, 2), Placed(9, 0, 1, 3)]
    assert pool(finds, 12).variable_of == (0, 0, 1, 2)


def test_hundreds_of_finds_are_pooled_at_once() -> None:
    rng = np.random.default_rng(9)
    days = np.sort(rng.integers(0, 180, size=700))
    finds = [Placed(int(day), int(rng.integers(0, 8)), 1) for day in days]
    pooling = pool(finds, 4096)
    assert UNREAD not in pooling.variable_of
    assert sum(pooling.caps) == 700
    in_time = [np.mean([d for d, v in zip(days, pooling.variable_of, strict=True) if v == pool_])
               for pool_ in range(len(pooling.caps))]  # fmt: skip
    assert len(pooling.caps) == 1 or np.ptp(in_time) > 30


@pytest.mark.parametrize("budget", [2, 64, 1024, 4096])
@pytest.mark.parametrize("seed", range(4))
def test_the_budget_holds_and_no_find_is_lost(seed: int, budget: int) -> None:
    rng = np.random.default_rng(seed)
    days = np.sort(rng.integers(0, 90, size=60))
    finds = [Placed(int(d), int(rng.integers(0, 6)), int(rng.integers(1, 9))) for d in days]
    pooling = pool(finds, budget)
    assert fits(pooling.caps, budget)
    read = sum(f.count for f, v in zip(finds, pooling.variable_of, strict=True) if v != UNREAD)
    # of one find alone, the oldest that is read, a part: that at which the budget is full
    oldest = next(f for f, v in zip(finds, pooling.variable_of, strict=True) if v != UNREAD)
    assert 0 <= read - sum(pooling.caps) < oldest.count
    if budget == 4096:
        assert UNREAD not in pooling.variable_of


def test_the_oldest_of_very_many_are_left_unread() -> None:
    finds = [Placed(day, 0, 90) for day in range(20)]
    pooling = pool(finds, 4096)
    assert pooling.variable_of[0] == UNREAD
    assert pooling.variable_of[-1] == 0
    assert pooling.caps[0] > 500


@pytest.mark.parametrize("budget", [32, 64, 256, 1024, 4096])
def test_a_find_greater_than_the_budget_does_not_leave_a_plant_looking_clean(budget: int) -> None:
    for finds in ({(2, 0): 5000}, {(2, 0): 5000, (3, 1): 1}):
        pooling = pool([Placed(day, zone, k) for (day, zone), k in finds.items()], budget)
        assert set(pooling.variable_of) == {0}
        [cap] = pooling.caps
        assert fits((cap,), budget)
        assert not fits((cap + 1,), budget)
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


def test_one_variable_for_all_is_exact_for_the_sum() -> None:
    # Two zones on one day, known by their sum: the chance of the sum is that of all splits.
    together = [
        math.exp(answer(plant_log(PLANT, 22, 3, {(2, 0): k, (2, 1): 2 - k})).log_probability)
        for k in range(3)
    ]
    log = plant_log(PLANT, 22, 3, {(2, 0): 1, (2, 1): 1})
    pooled = answer(log, budget=3)
    assert pooled.method == "pooled"
    assert math.exp(pooled.log_probability) == pytest.approx(sum(together), rel=1e-12)


@pytest.mark.parametrize("after", [0, 14])
def test_pooling_moves_the_chance_but_little(after: int) -> None:
    # Budget a half of what the log needs. Measured: at worst .0014 on the day, .017 later.
    errors = []
    for seed in range(6):
        log = scattered(seed, 11, 18 + after, 18)
        last = max(at for at, day in enumerate(log.days) for k in day.looks if k.finds)
        cut = Log(log.start, log.landing, log.days[: last + after + 1])
        errors.append(chance_clean(cut, budget=1024) - chance_clean(cut, budget=10**6))
    assert max(abs(error) for error in errors) < (0.005 if after == 0 else 0.02)
    assert any(error != 0 for error in errors)


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
