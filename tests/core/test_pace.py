"""The grower's own pace: the median of the last looks, within limits."""

import pytest

from rounds.core.plan.pace import Pace, TimedLook, own_pace
from rounds.service.logbook.parameters import load_parameters

PLANNING = load_parameters().planning


def timed(*ratios: float) -> list[TimedLook]:
    return [TimedLook(12 * ratio, 12) for ratio in ratios]


def pace(looks: list[TimedLook]) -> float:
    return own_pace(looks, PLANNING).times


def test_the_pace_is_the_median_of_the_last_looks() -> None:
    assert pace(timed(*[9.0] * 30, *[1.2] * 26, *[0.8] * 24)) == pytest.approx(1.2)
    assert pace(timed(*[1.2] * 24, *[0.8] * 26)) == pytest.approx(0.8)


def test_the_pace_keeps_within_its_limits_and_waits_for_enough_looks() -> None:
    assert pace(timed(*[9.0] * 20)) == 2
    assert pace(timed(*[0.0] * 20)) == 0.5
    assert own_pace(timed(*[9.0] * 9), PLANNING) == Pace(1, 9)
    assert pace([]) == 1
