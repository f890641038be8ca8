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
LEAST_LIKELY = 1e-200
"""chance of clean looks up to a date, beside that up to the likeliest: below it, none is told"""
AT_ONCE = 16_384
"""coefficients of all days worked on together, for memory"""


def chances_ahead(
    log: Log, ahead: Sequence[LoggedDay], budget: int = AHEAD_BUDGET, first: int = 0
) -> Values:
    """(N + 1 - first,): at the end of the log, and of each of the N dates that follow.

    A date on which next to no such plant would still be found clean has no figure that means
    anything: 0 stands for it.

    Args:
        log: up to now.
        ahead: the dates after it, without finds.
        budget: coefficients of the finds up to now.
        first: so many are left out, the end of the log being the first of them.

    Raises:
        ImpossibleEntry: something in the log cannot happen.
    """
    course = prepare(log, budget)
    state, exponent = _now(log, ahead)
    scale, (now,) = within_range(log, partial(_with_room, course))
    at_once = max(1, AT_ONCE // (2 * size(course.pooling.caps)))
    parts = []
    wanted = len(ahead) + 1 - first
    for begin in range(0, wanted, at_once):
        some = slice(begin, min(begin + at_once, wanted))
        parts.append(_ends(course, state[:, :, some], exponent[:, some], scale))
    nothing, anything = np.concatenate(parts, axis=1)[:, ::-1]
    told = anything >= LEAST_LIKELY * now
    return np.where(told, nothing, 0.0) / np.where(told, anything, 1.0)


def _with_room(course: Course, scale: float) -> tuple[Array, float]:
    """What is likely now, and so much less of it: what is still to be told must be in range."""
    ends = np.ones((len(course.landing), 1, 1))
    values = Backward(course, ends, scale).values()
    return values, float(values[0]) * LEAST_LIKELY


def _ends(course: Course, state: Values, exponent: Values, scale: float) -> Array:
    """(2, n): chances of the log with nothing left and with anything left, by date."""
    terminals = state.reshape(len(state), -1, 1)
    back = Backward(course, terminals, scale, exponent=exponent.reshape(-1, 1).copy())
    return back.values().reshape(2, -1)


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
