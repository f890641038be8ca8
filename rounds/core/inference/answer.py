"""What a log says of a plant: chance clean, how many are left and where."""

import math
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Literal

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.backward import Backward, Course, prepare
from rounds.core.inference.left import (
    LEVEL,
    Interval,
    distribution,
    interval,
    means_of,
)
from rounds.core.inference.moments import Moments, moments_of
from rounds.core.inference.observed import ImpossibleEntry, Log
from rounds.core.inference.scale import Run, scaled, search
from rounds.core.inference.series import Array, size
from rounds.core.inference.wide import wide_interval

BUDGET = 1024
"""most coefficients of a series, when there is time for it: more take long, and tell little more"""
LIVE_BUDGET = 32
"""the same in the frame of a key"""
INTERVAL_BUDGET = 32
"""the same for an interval, which takes many runs"""
MOMENTS_BUDGET = 256
"""the same for the two moments that give it where so few do not keep all finds apart"""
WIDE_FROM = 20.0
"""mean number from which two moments suffice, where the plant is almost surely infested"""
ON_TWO_CORES = 512
"""coefficients from which both terminals are worked out at once, each on a core"""
BEYOND = 0.9 * (1 - LEVEL) / 2
"""chance of numbers beyond those told apart for an interval, whose high end lies among them"""
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


@dataclass(frozen=True, eq=False)
class Joint:
    """A run of a log for both terminals; the chances are joint with it, at the scale."""

    course: Course
    scale: float
    clean: float
    any_: float
    run: Backward

    @property
    def chance_clean(self) -> float:
        """That nothing is left."""
        return self.clean / self.any_

    @property
    def method(self) -> Method:
        """Whether finds were taken together."""
        return "exact" if self.course.pooling.is_exact else "pooled"

    @cached_property
    def mean(self) -> Values:
        """(T,): expected number left of every type."""
        if "moments" in self.__dict__:
            return self.moments.by_type
        mean, _ = means_of(self.run)
        return mean

    @cached_property
    def moments(self) -> Moments:
        """The means again, and the second moment of the number left in all."""
        return moments_of(self.run)

    @property
    def wide(self) -> Interval:
        """The interval of the number left from its first two moments."""
        return wide_interval(self.moments.mean, self.moments.pairs, self.chance_clean)


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
    found = joint(log, budget)
    # first, as its moments bring the means with them
    left = left_interval(log, known=found) if with_interval else None
    return Answer(
        chance_clean=found.chance_clean,
        log_probability=log_probability(found.course, found.scale, found.any_),
        method=found.method,
        mean=found.mean,
        left=left,
    )


def joint(log: Log, budget: int = BUDGET) -> Joint:
    """Run a log for nothing and for any number left, once for all that is asked of it.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    return joint_of(log, prepare(log, budget))


def joint_of(log: Log, course: Course) -> Joint:
    """The same of a log that is prepared."""
    runs: list[Backward] = []

    def run(scale: float) -> tuple[Array, float]:
        # the adjoint sweep goes down the run whose scale served
        runs[:] = [_run(course, scale, keep=ANYTHING)]
        return _chances(runs[0])

    scale, ends = within_range(log, run)
    return Joint(course, scale, float(ends[NOTHING]), float(ends[ANYTHING]), runs[0])


def left_interval(log: Log, budget: int = INTERVAL_BUDGET, known: Joint | None = None) -> Interval:
    """The interval of the number left in all.

    From the whole distribution where the budget keeps all finds apart and the number is not too
    great; else from two moments, which take one run and read what the mean does.

    Args:
        log: of one plant.
        budget: coefficients up to which it is the whole distribution.
        known: a run of the log, used where it took together what is wanted here.
    """
    wanted = prepare(log, budget)
    is_whole = wanted.pooling.is_exact
    if not is_whole:
        wanted = prepare(log, MOMENTS_BUDGET)
        if not (wanted.pooling.counts_all and prepare(log, BUDGET).pooling.is_exact):
            # a number noted in part makes another mean, beside which the interval would stand
            wanted = prepare(log, BUDGET)
    if known is None or known.course.pooling != wanted.pooling:
        known = joint_of(log, wanted)
    if not is_whole:
        return known.wide
    mean = float(known.mean.sum())
    if mean > WIDE_FROM and known.chance_clean < (1 - LEVEL) / 2:
        return known.wide
    everything = np.ones(len(log.landing))
    chances = distribution(known.course, everything, known.any_, known.scale, mean, BEYOND)
    told_apart = interval(chances)
    if told_apart.high == len(chances):
        return Interval(told_apart.low, known.wide.high)
    return told_apart


def left_of_clean(log: Log, chance_clean: float, mean: float) -> Interval:
    """The same of a log without finds whose chance clean and mean are known: it takes one run."""
    if mean > WIDE_FROM and chance_clean < (1 - LEVEL) / 2:
        return left_interval(log)
    chances = distribution(prepare(log, 1), np.ones(len(log.landing)), None, 1.0, mean, BEYOND)
    told_apart = interval(chances)
    return left_interval(log) if told_apart.high == len(chances) else told_apart


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


def _both(log: Log, course: Course) -> tuple[float, float, float]:
    """Scale, and the joint chances of the log with nothing left and with any number left."""
    scale, ends = within_range(log, partial(_ends, course))
    return scale, float(ends[0]), float(ends[1])


def _ends(course: Course, scale: float) -> tuple[Array, float]:
    """Chances (2,) of the log for both terminals, and the second of them again."""
    return _chances(_run(course, scale))


def _run(course: Course, scale: float, keep: int | None = None) -> Backward:
    ends = np.tile([[0.0], [1.0]], (len(course.landing), 1, 1))
    if size(course.pooling.caps) < ON_TWO_CORES:
        return Backward(course, ends, scale, keep=keep)
    return _on_two_cores(course, ends, scale, keep)


def _on_two_cores(course: Course, ends: Array, scale: float, keep: int | None) -> Backward:
    """One terminal beside the other, as numpy lets go of the interpreter while it multiplies."""
    # mostly not needed
    from concurrent.futures import ThreadPoolExecutor

    def of(terminal: int) -> Backward:
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            kept = 0 if keep == terminal else None
            return Backward(course, ends[:, terminal : terminal + 1], scale, keep=kept)

    with ThreadPoolExecutor(1) as other_core:
        nothing = other_core.submit(of, NOTHING)
        anything = of(ANYTHING)
        return anything.after(nothing.result())


def _chances(run: Backward) -> tuple[Array, float]:
    values = run.values()
    return values, float(values[ANYTHING])


def log_probability(course: Course, scale: float, chance: float) -> float:
    """ln P(log) from its chance at a scale, as a run gives it."""
    found = sum(course.pooling.caps)
    return course.known.log_factor + math.log(chance) - found * math.log(scale)
