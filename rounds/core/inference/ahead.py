"""The chance clean on days to come, supposing that their looks find nothing."""

from collections.abc import Sequence
from functools import partial

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.answer import within_range
from rounds.core.inference.backward import Backward, Course, prepare
from rounds.core.inference.batch import clean_day_back
from rounds.core.inference.observed import Log, LoggedDay
from rounds.core.inference.series import Array, size

AHEAD_BUDGET = 256
"""coefficients of the finds up to now: every day ahead is a run of its own"""
AT_ONCE = 16_384
"""coefficients of all days worked on together, for memory"""


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

    at_once = max(1, AT_ONCE // (2 * size(course.pooling.caps)))
    parts = []
    for first in range(0, len(ahead) + 1, at_once):
        some = slice(first, first + at_once)
        run = partial(_ends, course, state[:, :, some], exponent[:, some])
        _, values = within_range(log, run)
        parts.append(values[0] / values[1])
    return np.concatenate(parts)[::-1]


def _ends(course: Course, state: Values, exponent: Values, scale: float) -> tuple[Array, float]:
    """(2, n): chances of the log with nothing left and with anything left, by date."""
    terminals = state.reshape(len(state), -1, 1)
    back = Backward(course, terminals, scale, exponent=exponent.reshape(-1, 1).copy())
    values = back.values().reshape(2, -1)
    return values, float(values[1].min())


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
