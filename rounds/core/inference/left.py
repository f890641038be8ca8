"""How many are left: the mean of every type, and the distribution of their number."""

from dataclasses import dataclass

import numpy as np

from rounds.core.biology.day import Day, Values, numbers_after
from rounds.core.inference import series
from rounds.core.inference.backward import (
    Arrived,
    Backward,
    Course,
    DayPassed,
    Event,
    Frame,
    Seen,
    add_found,
)
from rounds.core.inference.prior import start_slope
from rounds.core.inference.series import Array

SHARP = 1e-11
"""chance of numbers beyond a distribution, where all its chances are wanted"""
DAMPED = 1e-3
"""what is left of a number beyond the points where it is taken for one of them: on a circle of
radius below 1 it hardly counts, so that the points need not reach as far as the numbers do"""
FIRST_POINTS = 32
MOST_POINTS = 256
AT_ONCE = 4096
"""most coefficients times terminals run together, to bound memory"""
LEVEL = 0.90


@dataclass(frozen=True, slots=True)
class Interval:
    """Central interval of whole numbers, both ends counted, with a chance of at least `LEVEL`."""

    low: int
    high: int


def means(course: Course, scale: float) -> tuple[Values, float]:
    """(T,) mean number left of every type; and the chance of the log as in `Backward.values`."""
    return means_of(Backward(course, np.ones((len(course.landing), 1, 1)), scale, keep=0))


def means_of(run: Backward) -> tuple[Values, float]:
    """The same as `means`, from a run that kept the terminal of any number left.

    One adjoint sweep. Its series stand in reversed order of coefficients, in which the adjoint of
    a product of series is a product again.
    """
    down = Down(run)
    chance = float(down.total[-1])
    for event, passed in zip(run.course.events, reversed(run.passed or []), strict=True):
        down.pass_event(event, passed)
    return down.slope[:, 0] / chance, chance


class Down:
    """Adjoint sweep of a run, first event first, for the terminal that the run kept.

    `slope` (T, C) is the derivative by the values, `total` (C,) that by the exponent of arrivals;
    both in reversed order of coefficients.
    """

    def __init__(self, run: Backward) -> None:
        course, caps, of = run.course, run.frame.caps, run.keep or 0
        self.scale, self.frame = run.scale, run.frame
        self._landed = np.flatnonzero(course.landing)
        self._landing = course.landing[self._landed]
        arrived = series.exp(run.exponent[of], caps)
        self.slope = series.product(
            start_slope(course.known, run.state[:, of], caps), arrived, caps
        )
        self.total: Array = run.total()[of]
        self._spare: Array | None = None

    def pass_event(self, event: Event, passed: DayPassed) -> None:
        """Carry the adjoint from before an event to after it."""
        if isinstance(event, Day):
            self._day(event, passed)
        elif isinstance(event, Arrived):
            self.slope[self._landed] += event.mean * np.outer(self._landing, self.total)
        else:
            self._look(event, passed.frame)

    def _day(self, day: Day, passed: DayPassed) -> None:
        slope, spare = self.slope, self._spare
        eggs = None
        if passed.exp is not None and passed.laid is not None:
            both = np.stack([passed.laid, passed.exp])
            laid, kept = series.products(both, slope[day.laying], self.frame.caps)
            eggs = day.eggs_laid * laid
            slope[day.laying] = kept
        # asking for as much memory each day takes as long as the product itself
        out = spare if spare is not None and spare.shape == slope.shape else None
        self.slope, self._spare = numbers_after(day, slope, out), slope
        if eggs is not None:
            self.slope[day.eggs] += eggs

    def _look(self, seen: Seen, after: Frame) -> None:
        shown, look = self.slope, seen.look
        if not seen.finds:
            self.slope *= look.unseen[:, None]
        else:
            self.slope = shown * look.unseen[:, None]
        for find, variable in seen.finds:
            add_found(self.slope, shown, find, self.frame.place(variable), self.scale)
        while self.frame != after:
            self._narrow(after)
        if look.kills is not None:
            self.slope *= (1 - look.kills)[:, None]

    def _narrow(self, after: Frame) -> None:
        """Drop a find's variable after its look: keep power 0, which is last in reversed order."""
        variable = next(v for v in self.frame.variables if v not in after.variables)
        slower, own, quicker = self.frame.place(variable)
        self.slope = self.slope.reshape(-1, slower, own, quicker)[:, :, -1].reshape(
            len(self.slope), -1
        )
        self.total = self.total.reshape(slower, own, quicker)[:, -1].reshape(-1)
        self.frame = self.frame.without(variable)


def distribution(
    course: Course,
    which: Values,
    chance: float | None,
    scale: float,
    mean: float,
    missing: float = SHARP,
    most: int = MOST_POINTS,
) -> Values:
    """(N,): chances of 0, 1, ... insects left, from the p.g.f. on a circle within the unit one.

    Abate & Whitt 1992 (Operations Research Letters 12:245-251; from memory).

    Args:
        course: the log.
        which: (T,) 1 for the types counted, else 0.
        chance: of the log, from `means`; None where it is told beside the circle.
        scale: of the finds.
        mean: of the number, from `means`: N begins above twice as many.
        missing: N is doubled until the numbers beyond have this chance at most.
        most: greatest N.
    """
    points = FIRST_POINTS
    while points < min(2 * mean, most):
        points *= 2
    while True:
        radius = DAMPED ** (1 / points)
        on_circle = radius * np.exp(2j * np.pi * (np.arange(points // 2 + 1) / points))
        if chance is None:
            *values, anything = _at(course, which, np.append(on_circle, 1.0), scale)
            chance = float(anything.real)
        else:
            values = list(_at(course, which, on_circle, scale))
        damped = np.fft.irfft(np.conj(values), points) / chance
        chances: Values = np.maximum(0.0, damped / radius ** np.arange(points))
        if chances.sum() >= 1 - missing or 2 * points > most:
            return chances
        points *= 2


def interval(chances: Values) -> Interval:
    """Central interval of a distribution (N,) over 0, 1, ...: from its 5 % to its 95 % quantile.

    Its high end is N where that quantile lies beyond.
    """
    below = np.cumsum(chances)
    tail = (1 - LEVEL) / 2
    low, high = (int(np.searchsorted(below, level)) for level in (tail, 1 - tail))
    return Interval(low, high)


def _at(course: Course, which: Values, marked: Array, scale: float) -> Array:
    """The chances of the log with each insect of some types marked by a number at its end."""
    at_once = max(1, AT_ONCE // series.size(course.pooling.caps))
    parts = []
    for first in range(0, len(marked), at_once):
        some = marked[first : first + at_once]
        terminals = np.where(which[:, None, None] > 0, some[:, None], 1.0)
        parts.append(Backward(course, terminals, scale).values())
    return np.concatenate(parts)
