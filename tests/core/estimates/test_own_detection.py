"""Looking twice: what a grower finds is learned without the bias of the plain two-pass formula."""

import math
from dataclasses import replace

import numpy as np
import pytest

from rounds.core.estimates.own_detection import Pair, own_detection, second_share
from rounds.core.parameters import SecondLooks
from rounds.service.logbook.parameters import load_parameters

TABLE = load_parameters()
STAGES, KNOWN = TABLE.pests["mealybug"].stages, TABLE.second_looks
MAKE_UP = np.array([stage.make_up for stage in STAGES])
FOUND = np.array([stage.found_in_reach for stage in STAGES])
PER_ZONE = 4.0
"""insects in reach, of a zone in the simulated looks"""


def looked_twice(
    theta: float, pairs: int, seed: int, times: tuple[float, float] = (1.0, 1.0)
) -> list[Pair]:
    """Whole insects: each is there at both looks unless the first one found it."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(pairs):
        there = rng.multinomial(rng.poisson(PER_ZONE), MAKE_UP)
        first = rng.binomial(there, 1 - (1 - FOUND) ** (theta * times[0]))
        second = rng.binomial(there - first, 1 - (1 - FOUND) ** (theta * times[1]))
        found.append(Pair(int(first.sum()), int(second.sum()), *times))
    return found


def learned(pairs: list[Pair]) -> float:
    return own_detection(pairs, STAGES, KNOWN)


def test_without_a_find_what_was_assumed_stands() -> None:
    assert learned([]) == 1.0
    assert learned([Pair(0, 0)] * 50) == 1.0


def test_the_prior_alone_is_what_was_assumed_of_laying_adults() -> None:
    # beta(8, 2) has mean .8, the table's share: the posterior begins where the figures stand
    mean = KNOWN.found_before / (KNOWN.found_before + KNOWN.missed_before)
    assert mean == pytest.approx(STAGES[-1].found_in_reach)
    # one insect found at hardly any pair of looks moves it hardly
    assert learned([Pair(1, 0)]) == pytest.approx(1.0, abs=0.03)


def test_the_plain_formula_is_biased_where_every_parameter_is_right() -> None:
    pairs = looked_twice(1.0, 4000, seed=11)
    first, second = sum(p.first for p in pairs), sum(p.second for p in pairs)
    naive = 1 - second / first
    really = float(MAKE_UP @ FOUND)
    assert naive == pytest.approx(0.59, abs=0.02)
    assert really == pytest.approx(0.315, abs=1e-3)
    # neither what is found of all, nor the .8 of laying adults
    assert really + 0.2 < naive < FOUND[-1] - 0.15
    # taken for what one look finds of laying adults, it would halve the rate
    assert math.log(1 - naive) / math.log(1 - FOUND[-1]) < 0.6
    assert learned(pairs) == pytest.approx(1.0, abs=0.06)


@pytest.mark.parametrize("theta", [0.5, 0.75, 1.0, 1.25])
@pytest.mark.parametrize("times", [(1.0, 1.0), (0.5, 0.8)])
def test_many_pairs_find_the_right_rate(theta: float, times: tuple[float, float]) -> None:
    pairs = looked_twice(theta, 20_000, seed=5, times=times)
    assert learned(pairs) == pytest.approx(theta, abs=0.06)


def test_few_pairs_are_not_off_to_one_side() -> None:
    found = [learned(looked_twice(1.0, 30, seed=seed)) for seed in range(40)]
    assert np.mean(found) == pytest.approx(1.0, abs=0.06)


def test_the_rate_stays_within_its_limits() -> None:
    assert learned([Pair(10, 200)] * 50) == KNOWN.least == pytest.approx(1 / 3)
    assert learned([Pair(200, 0)] * 50) == KNOWN.most == 1.5


def test_the_more_the_second_look_finds_the_less_the_first_saw() -> None:
    rates = [learned([Pair(40 - k, k)]) for k in range(0, 41, 5)]
    assert rates == sorted(rates, reverse=True)
    assert len(set(rates)) > 5


def test_with_one_stage_it_is_the_two_pass_removal_estimate() -> None:
    # catches 77 and 37: p = 1 - c2 / c1 = .5194805 (Seber & Le Cren 1967; Seber 2002, p. 312)
    one = [replace(STAGES[-1], make_up=1.0)]
    flat = SecondLooks(one_in=12, found_before=1.0, missed_before=1.0, least=0.01, most=10.0)
    rate = own_detection([Pair(77 * 40, 37 * 40)], one, flat)
    assert 1 - (1 - FOUND[-1]) ** rate == pytest.approx(0.5194805, abs=2e-3)


def test_the_share_of_the_second_look_by_hand() -> None:
    # two stages half and half, found with .8 and .2: rho = (.16 + .16) / (.8 + .2) = .32
    assert second_share([0.5, 0.5], [0.2, 0.8], [0.2, 0.8]) == pytest.approx(0.32 / 1.32)
