"""The split of search effort: published cases, a general optimiser, and what more seconds do."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from rounds.core.plan.effort import Values, Zones, fill, seconds_at

CLOSE = pytest.approx


def one_kind(weights: list[float], rates: list[float]) -> Zones:
    """Zones with one kind in each, no least seconds and no limit."""
    number = len(weights)
    return Zones(
        np.array(weights)[:, None],
        np.array(rates)[:, None],
        np.zeros(number),
        np.full(number, np.inf),
        np.zeros(number),
    )


def drawn(rng: np.random.Generator, number: int = 5, kinds: int = 3) -> Zones:
    least = rng.choice([0.0, 1.0], number) * rng.uniform(0, 20, number)
    return Zones(
        rng.gamma(0.5, 1.0, (number, kinds)),
        rng.uniform(0.002, 0.2, (number, kinds)),
        least,
        least + rng.uniform(5, 60, number),
        np.zeros(number),
    )


# worked-examples 5.2, 5.3, 5.5, 5.7: cases 2, 3, 5 and 0 of a published test set for Charnes &
# Cooper 1958; 5.10: a search-and-rescue exercise; 5.11: Koopman's two cells, derived.
CASES = [
    ([4, 2, 8, 1], [4, 1, 1, 12], 0.10, [0.092980, 0, 0, 0.007020], 1e-6),
    ([2, 4, 2], [9, 3, 6], 0.20, [0.07322410073711, 0.08451726617526, 0.04225863308763], 1e-9),
    ([2, 6, 4], [6, 2, 3], 0.50, [0.083333, 0.25, 0.166667], 1e-6),
    ([4], [4], 0.05, [0.05], 1e-9),
    (
        [0.1935, 0.2581, 0.2903, 0.2581],
        [1 / 28, 1 / 30, 1 / 14, 1 / 12],
        40,
        [1.4734, 8.1510, 16.1197, 14.2559],
        1e-4,
    ),
    ([0.6, 0.4], [1, 1], 1, [0.702733, 0.297267], 1e-6),
    ([0.6, 0.4], [1, 1], math.log(1.5) - 1e-6, [math.log(1.5) - 1e-6, 0], 1e-6),
]


@pytest.mark.parametrize(("weights", "rates", "total", "expected", "within"), CASES)
def test_published_splits_come_out(
    weights: list[float], rates: list[float], total: float, expected: list[float], within: float
) -> None:
    assert fill(one_kind(weights, rates), total) == CLOSE(expected, abs=within)


def test_chances_and_rates_of_the_published_splits_come_out() -> None:
    # 5.2: chances .310591 and .080789, final rate 11.0305
    zones = one_kind([4, 2, 8, 1], [4, 1, 1, 12])
    found = fill(zones, 0.10)
    chances = zones.prevented(found) / np.array([4, 2, 8, 1])
    assert chances == CLOSE([0.310591, 0, 0, 0.080789], abs=2e-6)
    assert zones.gain(found)[[0, 3]] == CLOSE([11.0305, 11.0305], abs=1e-4)
    # 5.10: success .449258; 5.11: .405724
    exercise = one_kind([0.1935, 0.2581, 0.2903, 0.2581], [1 / 28, 1 / 30, 1 / 14, 1 / 12])
    assert exercise.prevented(fill(exercise, 40)).sum() == CLOSE(0.449258, abs=1e-6)
    cells = one_kind([0.6, 0.4], [1, 1])
    assert cells.prevented(fill(cells, 1)).sum() == CLOSE(0.405724, abs=1e-6)


def test_the_curve_of_random_search_is_kept() -> None:
    # 5.12, Koopman 1946: coverage against chance of detection
    coverage = [0.25, 0.5, 0.75, 1, 1.5, 2, 3]
    expected = [0.2212, 0.3935, 0.5276, 0.6321, 0.7769, 0.8647, 0.9502]
    zones = one_kind([1.0] * 7, [1.0] * 7)
    assert zones.prevented(np.array(coverage)) == CLOSE(expected, abs=5e-5)


def test_the_time_that_finds_nearly_all_follows_from_the_mean_time() -> None:
    # 3.13, Garrard et al. 2008, Austral Ecol 33:986-998: 95 in 100 by -mean ln .05, for the means
    # of 26 and 41 minutes in her thesis
    zones = one_kind([1.0, 1.0], [1 / 26, 1 / 41])
    assert zones.prevented(np.array([77.9, 122.8])) == CLOSE([0.95, 0.95], abs=1e-4)


def test_a_price_of_one_a_second_gives_the_published_effort() -> None:
    # 5.13, Hauser & McCarthy 2009: lambda .2, pi .1, C 500 -> 11.51293; none where it does not pay
    zones = one_kind([0.1 * 500, 0.1 * 40], [0.2, 0.2])
    assert seconds_at(zones, 1.0) == CLOSE([11.51293, 0], abs=1e-5)


@pytest.mark.parametrize("seed", range(12))
def test_an_optimiser_that_knows_nothing_of_it_finds_nothing_better(seed: int) -> None:
    rng = np.random.default_rng(seed)
    zones = drawn(rng)
    low, high = zones.least.sum(), zones.most.sum()
    total = low + rng.uniform(0.05, 0.9) * (high - low)
    found = fill(zones, total)
    assert total * (1 - 1e-9) <= found.sum() <= total

    def missed(seconds: Values) -> float:
        return -float(zones.prevented(seconds).sum())

    other = minimize(
        missed,
        zones.least + (total - low) / (high - low) * (zones.most - zones.least),
        jac=lambda seconds: -zones.gain(seconds),
        bounds=list(zip(zones.least, zones.most, strict=True)),
        constraints={"type": "ineq", "fun": lambda seconds: total - seconds.sum()},
        method="SLSQP",
        options={"ftol": 1e-13, "maxiter": 500},
    )
    assert missed(found) <= other.fun + 1e-8
    assert found == CLOSE(other.x, abs=0.05)


@pytest.mark.parametrize("seed", range(8))
def test_with_handling_an_optimiser_that_knows_nothing_of_it_finds_nothing_better(
    seed: int,
) -> None:
    rng = np.random.default_rng(50 + seed)
    zones = replace(drawn(rng), handling=rng.uniform(0, 12, 5))
    low, high = zones.spent(zones.least).sum(), zones.spent(zones.most).sum()
    total = low + rng.uniform(0.05, 0.9) * (high - low)
    found = fill(zones, total)
    assert total * (1 - 1e-9) <= zones.spent(found).sum() <= total

    other = minimize(
        lambda seconds: -float(zones.prevented(seconds).sum()),
        zones.least + 0.2 * (zones.most - zones.least),
        bounds=list(zip(zones.least, zones.most, strict=True)),
        constraints={"type": "ineq", "fun": lambda s: total - zones.spent(s).sum()},
        method="SLSQP",
        options={"ftol": 1e-13, "maxiter": 500},
    )
    assert -zones.prevented(found).sum() <= other.fun + 1e-7


@pytest.mark.parametrize("seed", range(6))
def test_one_more_second_finds_as_much_wherever_there_is_room(seed: int) -> None:
    rng = np.random.default_rng(100 + seed)
    zones = drawn(rng, 40, 7)
    found = fill(zones, 0.5 * (zones.least.sum() + zones.most.sum()))
    gain = zones.gain(found)
    free = (found > zones.least + 1e-6) & (found < zones.most - 1e-6)
    level = gain[free].mean()
    assert free.sum() > 3
    assert gain[free] == CLOSE(level, rel=1e-6)
    assert (gain[found <= zones.least + 1e-6] <= level * (1 + 1e-6)).all()
    assert (gain[found >= zones.most - 1e-6] >= level * (1 - 1e-6)).all()


def test_where_nothing_can_be_found_no_second_goes_beyond_the_least() -> None:
    zones = Zones(
        np.array([[0.0, 0.0], [1.0, 2.0]]), np.full((2, 2), 0.1), np.ones(2), np.full(2, 9.0),
        np.zeros(2),
    )  # fmt: skip
    assert fill(zones, 100) == CLOSE([1, 9])
    assert fill(zones, 5) == CLOSE([1, 4])
    assert fill(zones, 1) == CLOSE([1, 1]), "the least is given whatever there is"


@given(st.integers(0, 10_000), st.floats(0.01, 0.98), st.floats(1.001, 3))
def test_more_seconds_never_take_any_from_a_zone_nor_find_less(
    seed: int, share: float, more: float
) -> None:
    zones = drawn(np.random.default_rng(seed))
    total = zones.least.sum() + share * (zones.most - zones.least).sum()
    few, many = fill(zones, total), fill(zones, total * more)
    assert (many >= few - 1e-6).all()
    assert zones.prevented(many).sum() >= zones.prevented(few).sum() - 1e-9
