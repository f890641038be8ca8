"""Keep the chance of a log within floating-point range by scaling its variables.

A coefficient of x^k is then scale^k times too great, which cancels in every ratio.
"""

import math
from bisect import bisect_left
from collections.abc import Callable, Generator, Sequence
from dataclasses import replace

import numpy as np

from rounds.core.inference.observed import ImpossibleEntry, Log, Look
from rounds.core.inference.series import Array

LEAST, GREATEST = 1e-250, 1e250
"""range of the chance of a log within which no intermediate sum over- or underflows"""
AIM = 1e-200
"""chance aimed at where a single run gives the scale; low, so that coefficients stay small"""
MOST_POWER = 15.0
"""greatest power of ten of a scale; no find is so rare that it needs more"""
MOST_TRIES = 40

Run = Callable[[float], tuple[Array, float]]
"""from a scale to a result and the chance of the log with any number left"""


class ChanceOutOfRange(ArithmeticError):
    """The log is possible, but no scale brings its chance within floating-point range."""


def scaled(log: Log, run: Run, possible: Callable[[Log], bool]) -> tuple[float, Array]:
    """Find a scale that keeps the chance of the log within range, and run at it.

    Args:
        log: for the message where it is impossible.
        run: from a scale to the result that is wanted.
        possible: whether a beginning of the log has a chance above 0.

    Returns:
        The scale and the result.

    Raises:
        ImpossibleEntry: the log is impossible.
        ChanceOutOfRange: it can, but no scale serves.
    """
    found, _ = search(run)
    if found is not None:
        return found
    raise fault_of(log, possible)


def search(run: Run) -> tuple[tuple[float, Array] | None, bool]:
    """(scale, result), None where no scale serves; and whether any gave a chance above 0."""
    tries = scales()
    scale = next(tries)
    while True:
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            result, chance = run(scale)
        try:
            scale = tries.send(chance)
        except StopIteration as end:
            found, is_possible = end.value
            return (None if found is None else (found, result)), is_possible


def scales(found: int = 0) -> Generator[float, float, tuple[float | None, bool]]:
    """Generate scales to try; after each, the caller sends the chance of the log at it.

    Args:
        found: number of insects whose variables are scaled, by which one chance gives the scale
            that serves; 0 to search by bisection alone.

    Returns:
        The scale that serves, or None; and whether any gave a chance above 0.
    """
    power, low, high, is_possible = 0.0, -math.inf, math.inf, False
    for _ in range(MOST_TRIES):
        chance = yield 10.0**power
        is_possible |= not chance <= 0
        if math.isfinite(chance) and LEAST < chance < GREATEST:
            return 10.0**power, True
        if found and 0 < chance < math.inf:
            power += (math.log10(AIM) - math.log10(chance)) / found
            found = 0
            continue
        # Too great a scale overflows to infinity or NaN.
        if chance <= LEAST:
            low, power = power, 2 * power + 1 if high == math.inf else (power + high) / 2
        else:
            high, power = power, 2 * power - 1 if low == -math.inf else (low + power) / 2
        if abs(power) > MOST_POWER:
            break
    return None, is_possible


def fault_of(log: Log, possible: Callable[[Log], bool]) -> ArithmeticError | ImpossibleEntry:
    """ImpossibleEntry of the first find that makes the log impossible; else ChanceOutOfRange."""
    finds = _finds(log)
    cut = bisect_left(
        range(len(finds)), True, key=lambda n: not possible(_up_to(log, finds[n]))
    )  # fmt: skip
    if cut == len(finds):
        return ChanceOutOfRange("the chance of the log is out of the range of numbers")
    day, look, number = finds[cut]
    return ImpossibleEntry(log.days[day].looks[look].finds[number].entry)


def _finds(log: Log) -> Sequence[tuple[int, int, int]]:
    """Date, look and place of every find."""
    return [
        (at, number, place)
        for at, day in enumerate(log.days)
        for number, look in enumerate(day.looks)
        for place in range(len(look.finds))
    ]


def _up_to(log: Log, find: tuple[int, int, int]) -> Log:
    """The log cut off right after a find."""
    at, number, place = find
    day = log.days[at]
    last = replace(day.looks[number], finds=day.looks[number].finds[: place + 1])
    looks: tuple[Look, ...] = (*day.looks[:number], last)
    return replace(log, days=(*log.days[:at], replace(day, looks=looks)))
