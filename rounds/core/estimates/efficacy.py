"""What a treatment achieved, beside what went without it.

Abbott 1925, J Econ Entomol 18:265-267; Henderson & Tilton 1955, J Econ Entomol 48:157-161.
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Counts:
    """Live insects counted before and after, with the treatment and without."""

    before_treated: float
    after_treated: float
    before_control: float
    after_control: float


def abbott(counts: Counts) -> float | None:
    """1 - Ta / Ca, where both began alike; below 0 where more are left with the treatment.

    None where none is left without the treatment either.
    """
    if not counts.after_control:
        return None
    return 1 - counts.after_treated / counts.after_control


def henderson_tilton(counts: Counts) -> float | None:
    """1 - (Ta / Ca) (Cb / Tb), where they did not begin alike; below 0 as for `abbott`.

    None where there was none to begin with, or none is left without the treatment.
    """
    if not (counts.before_treated and counts.before_control and counts.after_control):
        return None
    treated = counts.after_treated / counts.before_treated
    return 1 - treated * counts.before_control / counts.after_control


@dataclass(frozen=True, slots=True)
class Between:
    """The interval of an efficacy; below 0 where more may be left with the treatment."""

    low: float
    high: float


NORMAL_95 = 1.959964
"""of the standard normal distribution, for an interval of 95 in 100"""
HALF = 0.5
"""added to each count, so that none is 0: Haldane 1956, Ann Hum Genet 20:309-311"""


def henderson_tilton_interval(counts: Counts) -> Between:
    """The interval of `henderson_tilton`, 95 in 100, if each count is Poisson.

    What is left of 1 is the odds ratio of the four counts, so the interval is that of its
    logarithm: Woolf 1955, Ann Hum Genet 19:251-253, with half an insect added to each count.
    Insects sit in clumps, so that the true interval is wider.
    """
    after_treated, before_treated = counts.after_treated + HALF, counts.before_treated + HALF
    after_control, before_control = counts.after_control + HALF, counts.before_control + HALF
    left = math.log(after_treated * before_control / (before_treated * after_control))
    each = (after_treated, before_treated, after_control, before_control)
    reach = NORMAL_95 * math.sqrt(sum(1 / count for count in each))
    return Between(1 - math.exp(left + reach), 1 - math.exp(left - reach))
