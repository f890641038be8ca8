"""The calibration scores see what they are for, and nothing where there is nothing."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.proof.scores import calibration


def test_three_logs_by_hand() -> None:
    """y - p is .2 -.3 .4; 1 - 2p is -.6 .4 -.2; p(1 - p) is .16 .21 .24."""
    scores = calibration([True, False, True], [0.8, 0.3, 0.6])
    assert scores.sum_z == pytest.approx(0.3 / math.sqrt(0.61))
    assert scores.spiegelhalter_z == pytest.approx(-0.32 / math.sqrt(0.1008))
    assert scores.brier == pytest.approx((0.04 + 0.09 + 0.16) / 3)
    assert scores.clean == pytest.approx(2 / 3)
    assert scores.predicted == pytest.approx(1.7 / 3)


def drawn(seed: int, logs: int) -> tuple[list[bool], NDArray[np.float64]]:
    """Truths drawn with chances of every size."""
    rng = np.random.default_rng(seed)
    chance = rng.uniform(0.01, 0.99, logs)
    return [bool(y) for y in rng.random(logs) < chance], chance


def test_true_chances_score_as_normal_numbers() -> None:
    scores = [calibration(y, list(p)) for y, p in (drawn(seed, 400) for seed in range(300))]
    for values in ([s.sum_z for s in scores], [s.spiegelhalter_z for s in scores]):
        assert abs(np.mean(values)) < 4 / math.sqrt(300)
        assert np.std(values) == pytest.approx(1.0, abs=4 / math.sqrt(600))


def test_chances_that_lean_to_the_ends_are_seen_by_spiegelhalter_and_not_by_the_sum() -> None:
    clean, chance = drawn(1, 4000)
    odds = (chance / (1 - chance)) ** 1.6
    scores = calibration(clean, list(odds / (1 + odds)))
    assert scores.spiegelhalter_z > 8
    assert abs(scores.sum_z) < 3.3


def test_chances_too_low_throughout_are_seen_by_the_sum() -> None:
    clean, chance = drawn(2, 4000)
    assert calibration(clean, list(chance * 0.9)).sum_z > 5


def test_what_cannot_be_and_is_makes_the_scores_infinite() -> None:
    assert calibration([True, False], [0.0, 0.5]).sum_z == math.inf
    assert calibration([True, False], [1.0, 0.0]).spiegelhalter_z == 0.0


@pytest.mark.parametrize("said", [[0.5], [0.5, 1.2], [0.5, math.nan]])
def test_what_is_no_chance_is_refused(said: list[float]) -> None:
    with pytest.raises(ValueError, match="one chance"):
        calibration([True, False], said)
