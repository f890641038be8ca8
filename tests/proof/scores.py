"""Is a chance what it says? Two scores that are normal(0, 1) when it is, over independent logs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True)
class Calibration:
    """Scores of one predictor; `clean` and `predicted` are shares of the logs."""

    logs: int
    clean: float
    predicted: float
    sum_z: float
    """sum(y - p) over its standard error; positive where the truth is cleaner than predicted"""
    spiegelhalter_z: float
    """positive where the chances lean too far towards 0 and 1"""
    brier: float


def calibration(clean: Sequence[bool], predicted: Sequence[float]) -> Calibration:
    """Scores of chances against what was so.

    Logs whose chance is 0 or 1 carry no variance; one that turns out otherwise is impossible
    under the chances and makes both scores infinite.

    Sources: sum(y - p) / sqrt(sum p (1 - p)), the plain z of a sum of independent chances;
    z = sum (y - p)(1 - 2p) / sqrt(sum (1 - 2p)^2 p (1 - p)): Spiegelhalter 1986, Statistics in
    Medicine 5:421-433, the Brier score against its expectation.

    Raises:
        ValueError: lengths differ, or a chance lies outside 0 to 1.
    """
    y, p = np.asarray(clean, np.float64), np.asarray(predicted, np.float64)
    if y.shape != p.shape or not ((p >= 0) & (p <= 1)).all():
        raise ValueError("there must be one chance from 0 to 1 for every log")
    variance = p * (1 - p)
    lean = 1 - 2 * p
    impossible = bool(((variance == 0) & (y != p)).any())
    return Calibration(
        logs=len(y),
        clean=float(y.mean()),
        predicted=float(p.mean()),
        sum_z=math.inf if impossible else _z(float((y - p).sum()), float(variance.sum())),
        spiegelhalter_z=math.inf
        if impossible
        else _z(float(((y - p) * lean).sum()), float((lean**2 * variance).sum())),
        brier=float(((y - p) ** 2).mean()),
    )


def _z(excess: float, variance: float) -> float:
    return excess / math.sqrt(variance) if variance else 0.0
