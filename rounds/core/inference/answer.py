"""What a log says of a plant: chance clean, how many are left and where."""

import math
from dataclasses import dataclass
from functools import partial
from typing import Literal

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.backward import Backward, Course, prepare
from rounds.core.inference.left import (
    LEVEL,
    MOST_POINTS,
    ROUGH,
    Interval,
    distribution,
    interval,
    means,
    means_of,
)
from rounds.core.inference.observed import ImpossibleEntry, Log
from rounds.core.inference.scale import Run, scaled, search
from rounds.core.inference.series import Array
from rounds.core.inference.wide import wide_interval

BUDGET = 1024
"""most coefficients of a series, when there is time for it"""
LIVE_BUDGET = 32
"""the same in the frame of a key"""
INTERVAL_BUDGET = 32
"""the same for an interval, which takes many runs"""
WIDE_FROM = 50.0
"""mean number from which two moments suffice, where the plant is almost surely infested"""
NOTHING, ANYTHING = 0, 1
"""numbers of the two terminals: nothing is left, any number is left"""
Method = Literal["exact", "pooled"]


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What is left at the end of a log."""

    chance_clean: float
    """that no living insect of any stage is left"""
    log_probability: float
    """of what was entered, with finds pooled as the budget asked"""
    method: Method
    mean: Values
    """(T,): expected number left of every type"""
    left: Interval | None
    """of the number left in all; None where it was not asked for"""


def chance_clean(log: Log, budget: int = BUDGET) -> float:
    """The chance that nothing is left, without means or interval: the quickest query.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    course = prepare(log, budget)
    _, clean, any_ = _both(log, course)
    return clean / any_


def answer(log: Log, budget: int = BUDGET, *, with_interval: bool = True) -> Answer:
    """Chance clean, mean numbers and interval at the end of a log.

    Args:
        log: of one plant; its last date is the one spoken about.
        budget: coefficients; beyond them finds are taken together (`pooled`).
        with_interval: whether the distribution of the number left is worked out.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
    """
    course = prepare(log, budget)
    runs: list[Backward] = []

    def run(scale: float) -> tuple[Array, float]:
        # the adjoint sweep goes down the run whose scale served
        runs[:] = [_run(course, scale, keep=ANYTHING)]
        return _chances(runs[0])

    scale, ends = within_range(log, run)
    clean, any_ = float(ends[NOTHING]), float(ends[ANYTHING])
    mean, _ = means_of(runs[0])
    return Answer(
        chance_clean=clean / any_,
        log_probability=_log_probability(course, scale, any_),
        method="exact" if course.pooling.is_exact else "pooled",
        mean=mean,
        left=left_interval(log) if with_interval else None,
    )


def left_interval(log: Log, budget: int = INTERVAL_BUDGET) -> Interval:
    """The interval of the number left in all.

    From the whole distribution where the number is not too great; else from two moments, which
    take one run.
    """
    course = prepare(log, budget)
    scale, clean, any_ = _both(log, course)
    mean = float(means(course, scale)[0].sum())
    if mean > WIDE_FROM and clean / any_ < (1 - LEVEL) / 2:
        return wide_interval(course, scale, clean / any_)
    chances = distribution(course, np.ones(len(log.landing)), any_, mean, scale, ROUGH)
    told_apart = interval(chances)
    if told_apart.high > MOST_POINTS / 4:
        # numbers beyond the points of the Fourier transform are aliased
        return Interval(told_apart.low, wide_interval(course, scale, clean / any_).high)
    return told_apart


def within_range(log: Log, run: Run) -> tuple[float, Array]:
    """A scale at which a run keeps within floating-point range, and its result.

    Raises:
        ImpossibleEntry: the log is impossible.
        ChanceOutOfRange: it can, but no scale serves.
    """
    return scaled(log, run, is_possible)


def is_possible(log: Log) -> bool:
    """Whether a log, or the beginning of one, has a chance above 0."""
    try:
        course = prepare(log, BUDGET)
    except ImpossibleEntry:
        return False
    return search(partial(_ends, course))[1]


def chance_scale(log: Log, course: Course) -> float:
    """A scale at which the sums of a log keep within floating-point range."""
    return _both(log, course)[0]


def _both(log: Log, course: Course) -> tuple[float, float, float]:
    """Scale, and the joint chances of the log with nothing left and with any number left."""
    scale, ends = within_range(log, partial(_ends, course))
    return scale, float(ends[0]), float(ends[1])


def _ends(course: Course, scale: float) -> tuple[Array, float]:
    """Chances (2,) of the log for both terminals, and the second of them again."""
    return _chances(_run(course, scale))


def _run(course: Course, scale: float, keep: int | None = None) -> Backward:
    ends = np.tile([[0.0], [1.0]], (len(course.landing), 1, 1))
    return Backward(course, ends, scale, keep=keep)


def _chances(run: Backward) -> tuple[Array, float]:
    values = run.values()
    return values, float(values[ANYTHING])


def _log_probability(course: Course, scale: float, chance: float) -> float:
    found = sum(course.pooling.caps)
    return course.known.log_factor + math.log(chance) - found * math.log(scale)
