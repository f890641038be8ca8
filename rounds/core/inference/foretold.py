"""How many finds a day with looks was to bring, given the log up to the day before.

The looks of the day are read with one variable x for whatever they find, so that the coefficient
of x^k, over the chance of the log before, is the chance of k finds in all.
"""

from collections.abc import Generator
from dataclasses import dataclass, replace

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.answer import is_possible
from rounds.core.inference.backward import Arrived, Backward, Course, Event, Seen, prepare
from rounds.core.inference.observed import Find, Log, LoggedDay, Look
from rounds.core.inference.pool import Pooling
from rounds.core.inference.scale import fault_of, scales
from rounds.core.inference.series import Array

FORETOLD_BUDGET = 32
"""coefficients of the finds before the day"""
TOLD_APART = 6
"""finds of a day from which on numbers are not told apart"""


@dataclass(frozen=True, slots=True)
class DayForetold:
    """A day with looks: what was found, and what was to be expected."""

    number: int
    """of the day in the log, from 0"""
    found: int
    """insects, at most `TOLD_APART`"""
    chances: tuple[float, ...]
    """of 0, 1, ... finds; the last of `TOLD_APART` or more"""


def days_foretold(log: Log, most: int) -> Generator[None, None, list[DayForetold]]:
    """The last days with looks, at most so many, each foretold from the log before it.

    It pauses often enough that no key press waits.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    looked = [number for number, day in enumerate(log.days) if shows_anything(day)]
    found = []
    for number in looked[-most:]:
        chances = yield from _chances(log, number)
        count = sum(find.count for look in log.days[number].looks for find in look.finds)
        found.append(DayForetold(number, min(count, TOLD_APART), chances))
    return found


def shows_anything(day: LoggedDay) -> bool:
    """Whether a day has a look; what was used that day alone shows nothing."""
    return any(bool((look.unseen < 1).any()) for look in day.looks)


def _chances(log: Log, number: int) -> Generator[None, None, tuple[float, ...]]:
    before = replace(log, days=log.days[:number] or (LoggedDay(None),))
    course = prepare(before, FORETOLD_BUDGET)
    day = _day_alone(course, log.days[number], is_first=number == 0)
    anything = np.ones((len(log.landing), 1, 1))
    tries = scales()
    scale = next(tries)
    while True:
        run = Backward(course, anything, scale, in_parts=True)
        yield from run.quiet_parts()
        whole = _total(run)[0]
        try:
            scale = tries.send(whole)
        except StopIteration as end:
            if end.value[0] is None:
                raise fault_of(before, is_possible) from None
            break
    last = Backward(day, anything, scale)
    run = Backward(
        course, last.state, scale, frame=last.frame, exponent=last.exponent, in_parts=True
    )
    yield from run.quiet_parts()
    return _told(_total(run, len(course.pooling.caps)) / whole, scale)


def _told(coefficients: Values, scale: float) -> tuple[float, ...]:
    """Chances of each number below `TOLD_APART`, and what is left of 1 for all above."""
    apart = coefficients[:TOLD_APART] / scale ** np.arange(TOLD_APART)
    return (*(float(chance) for chance in apart), max(0.0, 1.0 - float(apart.sum())))


def _day_alone(course: Course, day: LoggedDay, *, is_first: bool) -> Course:
    """The day as a course of its own, whose looks give one variable to whatever they find."""
    caps = course.pooling.caps
    events: list[Event] = []
    if day.step is not None and not is_first:
        events.append(day.step)
    if day.arrivals:
        events.append(Arrived(day.arrivals))
    for look in day.looks:
        shown = Find(1 - look.unseen, TOLD_APART)
        events.append(Seen(Look(look.unseen, kills=look.kills), ((shown, len(caps)),)))
    pooling = Pooling((*caps, TOLD_APART))
    return Course(course.known, course.landing, tuple(events), pooling)


def _total(run: Backward, variable: int | None = None) -> Values:
    """The chance of the finds before, as a series in a variable of the day."""
    total: Array = run.total()[0]
    if variable is None or variable not in run.frame.variables:
        return total[-1:]
    slower, own, quicker = run.frame.place(variable)
    return np.asarray(total.reshape(slower, own, quicker)[-1, :, -1], dtype=float)
