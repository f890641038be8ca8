"""How many there were on each day, given all that was found up to the last."""

import numpy as np

from rounds.core.biology.day import Day, Values
from rounds.core.inference.answer import within_range
from rounds.core.inference.backward import Backward, Course, Event, prepare
from rounds.core.inference.left import Down
from rounds.core.inference.observed import Log
from rounds.core.inference.series import Array

THROUGH_BUDGET = 64
"""coefficients: the state of every day is kept"""


def means_through(log: Log, budget: int = THROUGH_BUDGET) -> Values:
    """(D - 1, T): expected number of every type after the looks of each date but the last.

    The derivative by an insect's value, times that value, over the chance of the log: one run
    back, its states kept, and one adjoint sweep down again.

    Raises:
        ImpossibleEntry: something in the log cannot happen.
    """
    course = prepare(log, budget)
    anything = np.ones((len(course.landing), 1, 1))
    runs: list[_Keeping] = []

    def run_at(scale: float) -> tuple[Array, float]:
        runs[:] = [_Keeping(course, anything, scale)]
        ends = runs[0].values()
        return ends, float(ends[0])

    within_range(log, run_at)
    (run,) = runs
    down = Down(run)
    chance = float(down.total[-1])
    means = []
    for event, passed in zip(course.events, reversed(run.passed or []), strict=True):
        if isinstance(event, Day):
            # the last coefficient of the product of adjoint and state
            found = (down.slope[:, ::-1] * run.states.pop()).sum(axis=1)
            means.append(found / chance)
        down.pass_event(event, passed)
    return np.array(means).reshape(len(means), len(course.landing))


class _Keeping(Backward):
    """A run that keeps the state before each day."""

    def __init__(self, course: Course, terminals: Array, scale: float) -> None:
        self.states: list[Array] = []
        super().__init__(course, terminals, scale, keep=0)

    def _back(self, event: Event) -> None:
        super()._back(event)
        if isinstance(event, Day):
            self.states.append(self.state[:, 0].copy())
