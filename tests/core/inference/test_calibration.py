"""Of the plants said to be clean with 70 in 100, 70 in 100 are."""

from .calibration import judged, mean_z, spiegelhalter_z

FAR_OFF = 3.3
"""standard errors: one seed in a thousand"""


def test_chances_of_logs_with_finds_are_calibrated() -> None:
    of = judged(logs=1_500, seed=1, budget=512)
    assert 300 < of.clean.sum() < 1_200
    assert abs(mean_z(of)) < FAR_OFF
    assert abs(spiegelhalter_z(of)) < FAR_OFF
