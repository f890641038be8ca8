"""How well a grower finds: the prior, the interpolation, the interval, the order of the logs."""

import math
import random
from datetime import date
from itertools import pairwise

import pytest

from rounds.core.estimates.own_detection import own_detection, pairs_among, times_tried
from rounds.core.log.effective import EffectiveLook
from rounds.service.logbook.parameters import load_parameters

TABLE = load_parameters()
KNOWN = TABLE.second_looks
ADULTS = TABLE.pests["mealybug"].stages[-1].found_in_reach
TRIED = times_tried(KNOWN)


def peaked(at: float, spread: float) -> list[float]:
    """Chances of a log that speaks for one factor, normal in its logarithm."""
    return [-((math.log(theta / at) / spread) ** 2) / 2 for theta in TRIED]


def learned(*logs: list[float]) -> float:
    return own_detection(logs, ADULTS, KNOWN).mean


def test_without_a_log_what_was_assumed_stands() -> None:
    # beta(8, 2) has mean .8, the table's share of laying adults; its mean by theta is made 1
    assert KNOWN.found_before / (KNOWN.found_before + KNOWN.missed_before) == pytest.approx(ADULTS)
    none = own_detection([], ADULTS, KNOWN)
    assert none.mean == pytest.approx(1.0, abs=1e-9)
    assert 0.5 < none.low < 0.6
    assert 1.4 < none.high < 1.5


def test_a_log_that_tells_nothing_moves_nothing() -> None:
    assert learned([-7.5] * len(TRIED)) == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize("theta", [0.5, 0.75, 1.0, 1.25])
def test_logs_that_agree_find_the_factor(theta: float) -> None:
    rate = own_detection([peaked(theta, 0.2)] * 100, ADULTS, KNOWN)
    assert rate.mean == pytest.approx(theta, abs=0.01)
    assert rate.low < theta < rate.high
    assert rate.high - rate.low < 0.1 * theta + 0.02


def test_what_stands_between_the_factors_tried_is_read_as_it_is() -> None:
    # a sum over a fine grid of the very function, none of it interpolated
    grid = [KNOWN.least + (KNOWN.most - KNOWN.least) * n / 2000 for n in range(2001)]
    rate = -math.log1p(-ADULTS)
    tilt = 0.349903
    weights = [
        math.exp(
            7 * math.log(-math.expm1(-rate * theta))
            - 2 * rate * theta
            + tilt * theta
            - ((math.log(theta / 0.62) / 0.25) ** 2) / 2
        )
        for theta in grid
    ]
    mean = sum(w * theta for w, theta in zip(weights, grid, strict=True)) / sum(weights)
    assert learned(peaked(0.62, 0.25)) == pytest.approx(mean, abs=2e-3)


def test_the_factor_stays_within_its_limits() -> None:
    least, most = learned(*[peaked(0.05, 0.3)] * 50), learned(*[peaked(9.0, 0.3)] * 50)
    assert pytest.approx(1 / 3, abs=0.01) == least > KNOWN.least
    assert pytest.approx(1.5, abs=0.01) == most < KNOWN.most


def test_more_logs_narrow_the_interval() -> None:
    spans = [
        rate.high - rate.low
        for rate in (own_detection([peaked(0.8, 0.5)] * n, ADULTS, KNOWN) for n in (1, 4, 16, 64))
    ]
    assert all(wide > narrow for wide, narrow in pairwise(spans))


def test_the_order_of_the_logs_moves_no_digit() -> None:
    drawn = random.Random(4)
    logs = [peaked(drawn.uniform(0.4, 1.4), drawn.uniform(0.2, 0.9)) for _ in range(30)]
    shuffled = drawn.sample(logs, len(logs))
    assert own_detection(logs, ADULTS, KNOWN) == own_detection(shuffled, ADULTS, KNOWN)


def looked(
    number: int, zone: str, second_to: int | None = None, outcome: str = "looked"
) -> EffectiveLook:
    return EffectiveLook(
        number,
        date(2026, 5, 4),
        zone,
        1,
        0,
        10.0,
        outcome,
        None,
        False,
        False,
        (),
        second_to=second_to,
    )


def test_a_pair_is_two_finished_looks_at_one_zone() -> None:
    looks = [
        looked(1, "axils"),
        looked(2, "axils", second_to=1),
        looked(3, "crown"),
        looked(4, "crown", second_to=3, outcome="partial"),
        looked(5, "roots"),
        looked(6, "roots", second_to=5),
        looked(7, "medium", second_to=99),
    ]
    assert pairs_among(looks) == 1
