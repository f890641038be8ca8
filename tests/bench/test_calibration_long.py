"""Calibration on many logs; takes minutes and is run by name: pytest tests/bench."""

from ..core.inference.calibration import judged, mean_z, spiegelhalter_z


def test_chances_of_twenty_thousand_logs_are_calibrated() -> None:
    of = judged(logs=20_000, seed=2, budget=4096)
    assert abs(mean_z(of)) < 3.3
    assert abs(spiegelhalter_z(of)) < 3.3
