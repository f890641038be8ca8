"""What is learned of a grower's eye, against whole insects seen with better and poorer eyes."""

import numpy as np
import pytest

from tests.proof.eye_priors import ENOUGH, likelihoods, mean_told, priors, slope
from tests.proof.eyes import EYES, Told, growers, learned, plants_of, told_by
from tests.proof.logs import EVERY

PLANTS = 80
"""with finds, of each rhythm: enough for one grower of so many finds and pairs"""
NEAR = 0.15
SEED = 7
ERRS = {0.5: 0.25, 1.0: 0.5, 1.4: 0.8}
"""By eye, more than which an unbiased estimate from ten finds and eight pairs errs."""


def told_of(theta: float) -> list[list[Told]]:
    """By rhythm, what each of the first plants with finds tells."""
    several = [plants_of(theta, rhythm, SEED) for rhythm in range(len(EVERY))]
    return [[told_by(next(logs)) for _ in range(PLANTS)] for logs in several]


@pytest.mark.parametrize("theta", EYES)
def test_enough_finds_tell_the_eye_and_ten_leave_the_table(theta: float) -> None:
    """One test of each eye: to simulate its plants takes longest."""
    by_rhythm = told_of(theta)
    every = [one for told in by_rhythm for one in told]
    enough = [learned(g).mean for told in by_rhythm for g in growers(told, *ENOUGH)]
    assert len(enough) == len(EVERY)
    assert float(np.mean(enough)) == pytest.approx(theta, abs=NEAR)
    # after ten finds and eight pairs the prior still rules: the mean has gone a part of the way
    few = [learned(g).mean for told in by_rhythm for g in growers(told, 10, 8)]
    assert len(few) > 40
    assert abs(float(np.mean(few)) - theta) < abs(1 - theta) + 0.05
    assert (np.mean(few) > 1) == (theta >= 1)
    # the chances lean to no side of the true eye, and an unbiased estimate from ten errs by far
    leaning = slope(every, theta)
    assert abs(leaning.z) < 3.3
    assert leaning.error_of_ten > ERRS[theta]
    if theta == min(EYES):
        likely = np.concatenate([likelihoods(told) for told in by_rhythm])
        off = {name: abs(mean_told(likely, prior) - theta) for name, prior in priors().items()}
        assert min(off.values()) > NEAR, "no prior tells such an eye from so few"
