"""What tests ask of the inference beside what the program does: all days, all numbers."""

from collections.abc import Sequence

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.ahead import DaysAhead
from rounds.core.inference.answer import BUDGET, joint_of
from rounds.core.inference.backward import prepare
from rounds.core.inference.left import SHARP, distribution, means
from rounds.core.inference.observed import Log, LoggedDay

MOST = 4096
"""numbers of a distribution that are told apart"""


def chances_ahead(log: Log, ahead: Sequence[LoggedDay]) -> Values:
    """(N + 1,): the chance clean at the end of the log, and of each of the N dates after it.

    A date on which next to no such plant would still be found clean has no figure that means
    anything: 0 stands for it.
    """
    days = DaysAhead(log, lambda number: ahead[number - 1], len(ahead))
    every = range(len(ahead) + 1)
    for _ in days.work_out(every):
        pass
    return np.array([days.bounds(number)[0] for number in every])


def left_distribution(
    log: Log, which: Values | None = None, budget: int = BUDGET, missing: float = SHARP
) -> Values:
    """(N,): chances of 0, 1, ... insects left; `missing` is the chance of still greater numbers."""
    course = prepare(log, budget)
    scale = joint_of(log, course).scale
    counted = np.ones(len(log.landing)) if which is None else which
    mean, chance = means(course, scale)
    return distribution(course, counted, chance, scale, float(mean @ counted), missing, MOST)
