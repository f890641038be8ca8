"""Calibration on many logs; takes minutes and is run by name: pytest tests/bench."""

import math

import pytest

from tests.proof.calibrate import known_logs, predictor, scored
from tests.proof.exact_predict import live, pooled
from tests.proof.heavy import heavy_logs

LOGS, HEAVY = 20_000, 1500
BEYOND_CAPS = 2.0**80
"""coefficients of every find by itself"""
BEYOND = 3.3


@pytest.mark.timeout(3600)
def test_chances_of_twenty_thousand_logs_are_calibrated_and_the_shortcut_is_not() -> None:
    known = known_logs(LOGS)
    ours, losing = scored(pooled, known), scored(predictor("shortcut"), known)
    assert abs(ours.sum_z) < BEYOND
    assert abs(ours.spiegelhalter_z) < BEYOND
    assert abs(losing.sum_z) > BEYOND
    assert ours.brier < losing.brier


@pytest.mark.timeout(3600)
@pytest.mark.parametrize("least", [40, 150])
def test_chances_of_heavy_logs_are_calibrated_whatever_the_budget(least: int) -> None:
    known = list(heavy_logs(HEAVY if least == 40 else HEAVY // 5, least=least))
    if least > 40:
        assert max(math.log2(one.log.coefficients) for one in known) > math.log2(BEYOND_CAPS)
    for within in (live, pooled):
        ours = scored(within, known)
        assert abs(ours.sum_z) < BEYOND
        assert abs(ours.spiegelhalter_z) < BEYOND
