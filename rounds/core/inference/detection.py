"""How likely a log is under a better or a poorer eye: what a grower finds is learned from it.

A look under a factor theta of the detection rates misses an insect with chance unseen ** theta, so
that a log is gathered once for all of them. Only plants on which something was found are asked, and
so each chance is that of the log given that something was found.
"""

import math
from collections.abc import Generator, Iterator, Sequence
from dataclasses import replace
from math import prod

import numpy as np

from rounds.core.inference.abreast import run_abreast
from rounds.core.inference.answer import BUDGET, log_probability, within_range
from rounds.core.inference.backward import Backward, prepare
from rounds.core.inference.observed import Find, Log, LoggedDay, Look
from rounds.core.inference.prior import absorb
from rounds.core.inference.scale import GREATEST, LEAST
from rounds.core.inference.series import Array

READ_BUDGET = 64
"""coefficients from which on a log is read no further: 1024 told hardly more, measured"""
DAY_BUDGET = 256
"""the same with a day of which only the sum of all finds is read"""


def read_until_full(log: Log, budget: int = READ_BUDGET, of_sums: int = DAY_BUDGET) -> Log:
    """The beginning of a log, up to the day on which its finds fill the budget.

    Where to stop is decided by what was read so far, and so moves no chance one way or the other
    (a rule that dropped days for what was found on them would). Of a day that asks for too much,
    the sum of each pass is read, or the sum of the day.

    Args:
        log: of one plant.
        budget: coefficients, every find that is read having a variable of its own.
        of_sums: the same where a day is read as one sum.
    """
    first, later = log.days[0], log.days[1:]
    _, rest = absorb(log.start, first.looks)
    coefficients, days = _coefficients(rest), [first]
    for day in later:
        if 2 * coefficients > budget:
            break
        fits = [
            looks
            for looks, most in _readings(day, budget, of_sums)
            if coefficients * _coefficients(looks) <= most
        ]
        if not fits:
            break
        coefficients *= _coefficients(fits[0])
        days.append(replace(day, looks=fits[0]))
    return replace(log, days=tuple(days))


def log_chances(log: Log, times: Sequence[float], whole: Log) -> Generator[None, None, list[float]]:
    """ln P(log | theta, something was found) for each factor theta of the detection rates.

    It yields some 15 ms apart.

    Args:
        log: what is read of it.
        times: the factors.
        whole: the log to its end: something may have been found at any of its looks.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    told = yield from _log_chances_abreast([with_detection(log, theta) for theta in times])
    if log.start.infested > 1:
        return told
    clean = _without_finds(whole)
    nothing = yield from _log_chances_abreast([with_detection(clean, theta) for theta in times])
    return [
        of_log - math.log(-math.expm1(none)) for of_log, none in zip(told, nothing, strict=True)
    ]


def _log_chances_abreast(logs: Sequence[Log]) -> Generator[None, None, list[float]]:
    """ln P of logs that differ in their detection alone; any out of range is run by itself."""
    courses = [prepare(log, BUDGET) for log in logs]
    run = yield from run_abreast(courses, (1.0,))
    found = []
    for number, (log, course) in enumerate(zip(logs, courses, strict=True)):
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            chance = float(run.chances_of(number)[0])
        if LEAST < chance < GREATEST:
            found.append(log_probability(course, run.scale, chance))
        else:
            found.append(log_chance(log))
            yield
    return found


def log_chance(log: Log, budget: int = BUDGET) -> float:
    """ln P(log), without anything that is left at its end: one run for one terminal.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    course = prepare(log, budget)

    def run(scale: float) -> tuple[Array, float]:
        ends = Backward(course, np.ones((len(log.landing), 1, 1)), scale).values()
        return ends, float(ends[0])

    scale, ends = within_range(log, run)
    return log_probability(course, scale, float(ends[0]))


def with_detection(log: Log, theta: float) -> Log:
    """The log with the detection rates -ln(1 - p) of its looks times theta."""
    days = (replace(day, looks=tuple(_seen_with(k, theta) for k in day.looks)) for day in log.days)
    return replace(log, days=tuple(days))


def _seen_with(look: Look, theta: float) -> Look:
    finds = (replace(find, found=1 - (1 - find.found) ** theta) for find in look.finds)
    return replace(look, unseen=look.unseen**theta, finds=tuple(finds))


def _without_finds(log: Log) -> Log:
    """The log as it were had each of its looks found nothing."""
    days = (
        replace(day, looks=tuple(Look(k.unseen) if k.finds else k for k in day.looks))
        for day in log.days
    )
    return replace(log, days=tuple(days))


def _coefficients(looks: Sequence[Look]) -> int:
    return prod(find.count + 1 for look in looks for find in look.finds)


def _readings(day: LoggedDay, budget: int, of_sums: int) -> Iterator[tuple[tuple[Look, ...], int]]:
    """The looks of a day ever coarser, each with the most coefficients it may come to."""
    yield day.looks, budget
    seen = list(day.looks)
    while seen and seen[-1].kills is not None and not (seen[-1].unseen < 1).any():
        # what was used after the looks shows nothing, and stays as it is
        seen.pop()
    used = day.looks[len(seen) :]
    if seen and not any(k.kills is not None or any(f.stays for f in k.finds) for k in seen):
        yield (*(_summed([look]) for look in seen), *used), budget
        yield (_summed(seen), *used), of_sums


def _summed(looks: Sequence[Look]) -> Look:
    """Passes of which only the sum of all that was found is known, all of it removed."""
    unseen = np.prod([look.unseen for look in looks], axis=0)
    count = sum(find.count for look in looks for find in look.finds)
    return Look(unseen, (Find(1 - unseen, count),) if count else ())
