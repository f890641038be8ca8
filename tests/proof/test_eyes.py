"""What is learned of a grower's eye, against whole insects seen with better and poorer eyes."""

import numpy as np
import pytest

from tests.proof.eyes import EYES, growers, learned, plants_of, told_by
from tests.proof.logs import EVERY

PLANTS = 64
"""with finds, of each grower: what it takes to lie this near the truth at all three"""
NEAR = 0.15
SEED = 7


@pytest.mark.parametrize("theta", EYES)
def test_many_finds_tell_the_eye_and_few_leave_the_table(theta: float) -> None:
    # a grower of each rhythm, each with as many plants
    told = []
    for rhythm in range(len(EVERY)):
        logs = plants_of(theta, rhythm, SEED)
        told.append([told_by(next(logs)) for _ in range(PLANTS)])
    many = float(np.mean([learned(of_grower).mean for of_grower in told]))
    assert many == pytest.approx(theta, abs=NEAR)
    few = [learned(g).mean for of_grower in told for g in growers(of_grower, 10, 8)]
    # after ten finds and eight pairs the prior still rules: the mean has gone a part of the way
    assert len(few) > 40
    assert abs(float(np.mean(few)) - theta) < abs(1 - theta) + 0.05
    assert (np.mean(few) > 1) == (theta >= 1)
