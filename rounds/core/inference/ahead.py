"""The chance clean on days to come, supposing that their looks find nothing."""

from collections.abc import Sequence

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.answer import within_range
from rounds.core.inference.backward import Backward, prepare
from rounds.core.inference.batch import clean_day_back
from rounds.core.inference.observed import Log, LoggedDay
from rounds.core.inference.series import Array

AHEAD_BUDGET = 64
"""coefficients of the finds up to now: every day ahead is a run of its own"""


def chances_ahead(log: Log, ahead: Sequence[LoggedDay], budget: int = AHEAD_BUDGET) -> Values:
    """(N + 1,): at the end of the log, and of each of the N dates that follow, all in one run.

    Args:
        log: up to now.
        ahead: the dates after it, without finds.
        budget: coefficients of the finds up to now.

    Raises:
        ImpossibleEntry: something in the log cannot happen.
    """
    course = prepare(log, budget)
    state, exponent = _now(log, ahead)

    def run(scale: float) -> tuple[Array, float]:
        terminals = state.reshape(len(state), -1, 1)
        back = Backward(course, terminals, scale, exponent=exponent.reshape(-1, 1).copy())
        values = back.values().reshape(2, -1)
        return values, float(values[1].min())

    _, values = within_range(log, run)
    return np.asarray((values[0] / values[1])[::-1])


def _now(log: Log, ahead: Sequence[LoggedDay]) -> tuple[Values, Values]:
    """Values now of what will end as asked: (T, 2, N + 1) and (2, N + 1), the last date first."""
    count = len(ahead) + 1
    state = np.zeros((len(log.landing), 2, count))
    state[:, 1] = 1.0
    exponent = np.zeros((2, count))
    for number, day in enumerate(reversed(ahead), 1):
        flat = state[..., :number].reshape(len(state), -1)
        for look in reversed(day.looks):
            flat = flat * look.unseen[:, None]
        exponent[:, :number] += day.arrivals * ((log.landing @ flat).reshape(2, -1) - 1)
        if day.step is not None:
            flat = clean_day_back(day.step, flat)
        state[..., :number] = flat.reshape(len(state), 2, -1)
    return state, exponent
