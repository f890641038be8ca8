"""Calibration on many logs; takes minutes and is run by name: pytest tests/bench."""

import pytest

from tests.proof.calibrate import known_logs, predictor, scored
from tests.proof.exact_predict import pooled

LOGS = 20_000
BEYOND = 3.3


@pytest.mark.timeout(3600)
def test_chances_of_twenty_thousand_logs_are_calibrated_and_the_shortcut_is_not() -> None:
    known = known_logs(LOGS)
    ours, losing = scored(pooled, known), scored(predictor("shortcut"), known)
    assert abs(ours.sum_z) < BEYOND
    assert abs(ours.spiegelhalter_z) < BEYOND
    assert abs(losing.sum_z) > BEYOND
    assert ours.brier < losing.brier
