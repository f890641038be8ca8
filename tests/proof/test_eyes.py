"""What is learned of a grower's eye, against whole insects seen with better and poorer eyes."""

from functools import cache

import numpy as np
import pytest

from tests.proof.eye_priors import ENOUGH, likelihoods, mean_told, priors, slope
from tests.proof.eyes import EYES, Told, growers, learned, plants_of, told_by
from tests.proof.logs import EVERY

PLANTS = 80
"""with finds, of each rhythm: enough for one grower of so many finds and pairs"""
NEAR = 0.15
SEED = 7


@cache
def told_of(theta: float) -> list[list[Told]]:
    """By rhythm, what each of the first plants with finds tells."""
    several = [plants_of(theta, rhythm, SEED) for rhythm in range(len(EVERY))]
    return [[told_by(next(logs)) for _ in range(PLANTS)] for logs in several]


@pytest.mark.parametrize("theta", EYES)
def test_enough_finds_and_pairs_tell_the_eye(theta: float) -> None:
    enough = [learned(g).mean for told in told_of(theta) for g in growers(told, *ENOUGH)]
    assert len(enough) == len(EVERY)
    assert float(np.mean(enough)) == pytest.approx(theta, abs=NEAR)


@pytest.mark.parametrize("theta", EYES)
def test_ten_finds_and_eight_pairs_leave_the_table(theta: float) -> None:
    # the prior still rules: the mean has gone a part of the way
    few = [learned(g).mean for told in told_of(theta) for g in growers(told, 10, 8)]
    assert len(few) > 40
    assert abs(float(np.mean(few)) - theta) < abs(1 - theta) + 0.05
    assert (np.mean(few) > 1) == (theta >= 1)


@pytest.mark.parametrize("theta", EYES)
def test_the_chances_lean_to_no_side_of_the_true_eye(theta: float) -> None:
    assert abs(slope([one for told in told_of(theta) for one in told], theta).z) < 3.3


def test_neither_ten_finds_nor_another_prior_tell_every_eye() -> None:
    # an unbiased estimate would err by .3 of the poorer eye, by .6 of 1, by 1 of the better one
    errors = [
        slope([one for told in told_of(theta) for one in told], theta).error_of_ten
        for theta in EYES
    ]
    for error, least in zip(errors, (0.25, 0.5, 0.8), strict=True):
        assert error > least
    likely = {t: np.concatenate([likelihoods(told) for told in told_of(t)]) for t in EYES}
    for prior in priors().values():
        off = [abs(mean_told(of, prior) - theta) for theta, of in likely.items()]
        assert max(off) > NEAR
