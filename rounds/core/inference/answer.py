"""What a log says of a plant: likely clean, how many are left and where."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.backward import Backward, Course, prepare
from rounds.core.inference.left import ROUGH, SHARP, Interval, distribution, interval, means
from rounds.core.inference.observed import ImpossibleEntry, Log, Look
from rounds.core.inference.series import Array

BUDGET = 4096
"""coefficients of a series, when there is time for it"""
INTERVAL_BUDGET = 64
"""the same for an interval, which takes many runs"""
LEAST, GREATEST = 1e-250, 1e250
"""chances of a log between which numbers are safe from under- and overflow"""
SCALES = (1.0, *(10.0**n for n in (1, 2, 3, 4, 6, 8, 12, -1, -2, -3, -4)))

Method = Literal["exact", "pooled"]


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What is left at the end of a log."""

    chance_clean: float
    """that no living insect of any stage is left"""
    log_probability: float
    """of what was entered, as it was taken together"""
    method: Method
    mean: Values
    """(T,): expected number left of every type"""
    left: Interval | None
    """of the number left in all; None where it was not asked for"""


def chance_clean(log: Log, budget: int = BUDGET) -> float:
    """The chance that nothing is left, alone: the quickest question.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
    """
    course = prepare(log, budget)
    _, clean, any_ = _both(log, course)
    return clean / any_


def answer(log: Log, budget: int = BUDGET, *, with_interval: bool = True) -> Answer:
    """All that a log says.

    Args:
        log: of one plant; its last date is the one spoken about.
        budget: coefficients; beyond them finds are taken together (`pooled`).
        with_interval: whether the distribution of the number left is worked out.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
    """
    course = prepare(log, budget)
    scale, clean, any_ = _both(log, course)
    mean, _ = means(course, scale)
    return Answer(
        chance_clean=clean / any_,
        log_probability=_log_probability(course, scale, any_),
        method="exact" if course.pooling.is_exact else "pooled",
        mean=mean,
        left=left_interval(log) if with_interval else None,
    )


def left_interval(log: Log, which: Values | None = None, budget: int = INTERVAL_BUDGET) -> Interval:
    """The interval of the number left, of all types or of those marked 1 in `which` (T,)."""
    return interval(left_distribution(log, which, budget, ROUGH))


def left_distribution(
    log: Log, which: Values | None = None, budget: int = BUDGET, missing: float = SHARP
) -> Values:
    """(N,): chances of 0, 1, ... insects left; `missing` is how far their mean may be off."""
    course = prepare(log, budget)
    scale, _, any_ = _both(log, course)
    counted = np.ones(len(log.landing)) if which is None else which
    mean, _ = means(course, scale)
    return distribution(course, counted, any_, float(mean @ counted), scale, missing)


def scaled(log: Log, run: Callable[[float], tuple[Array, float]]) -> tuple[float, Array]:
    """What a run gives at the first scale that keeps the chance of the log within range.

    Args:
        log: for the message where it is impossible.
        run: from a scale to its result and the chance of the log with anything left.

    Returns:
        The scale and the result.

    Raises:
        ImpossibleEntry: no scale does, for the log cannot be.
    """
    for scale in SCALES:
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            result, chance = run(scale)
        if math.isfinite(chance) and LEAST < chance < GREATEST:
            return scale, result
    raise ImpossibleEntry(_culprit(log))


def _both(log: Log, course: Course) -> tuple[float, float, float]:
    """Scale, and the chance of the log together with nothing left, and with anything left."""

    def run(scale: float) -> tuple[Array, float]:
        ends = _ends(course, scale)
        return ends, float(ends[1])

    scale, ends = scaled(log, run)
    return scale, float(ends[0].real), float(ends[1].real)


def _ends(course: Course, scale: float) -> Array:
    """(2,): the two ends side by side."""
    ends = np.tile([[0.0], [1.0]], (len(course.landing), 1, 1))
    return Backward(course, ends, scale).values()


def _log_probability(course: Course, scale: float, chance: float) -> float:
    found = sum(course.pooling.caps)
    return course.known.log_factor + math.log(chance) - found * math.log(scale)


def _culprit(log: Log) -> int:
    """The first find with which the log becomes impossible."""
    for entry, part in _parts(log):
        course = prepare(part, BUDGET)
        if not any(_ends(course, scale)[1] > 0 for scale in SCALES):
            return entry
    raise ArithmeticError("the log is possible, but its chance is out of the range of numbers")


def _parts(log: Log) -> Iterator[tuple[int, Log]]:
    """The log up to each find in turn, later ones not looked at."""
    for at, day in enumerate(log.days):
        for number, look in enumerate(day.looks):
            for found, find in enumerate(look.finds):
                shorter = replace(look, finds=look.finds[: found + 1])
                looks: tuple[Look, ...] = (*day.looks[:number], shorter)
                days = (*log.days[:at], replace(day, looks=looks))
                yield find.entry, replace(log, days=days)
