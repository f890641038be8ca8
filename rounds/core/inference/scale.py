"""Keeps the chance of a log within the range of numbers: its variables are counted in a scale.

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
"""chances of a log between which no sum on the way is lost"""
AIM = 1e-200
"""chance a scale is chosen for where one chance tells it: the less room is needed, the better"""
MOST_POWER = 15.0
"""of ten; no find is so rare that its scale would have to be greater"""
MOST_TRIES = 40

Run = Callable[[float], tuple[Array, float]]
"""from a scale to a result and the chance of the log with anything left"""


class ChanceOutOfRange(ArithmeticError):
    """The log is possible, but no scale brings its chance within the range of numbers."""


def scaled(log: Log, run: Run, possible: Callable[[Log], bool]) -> tuple[float, Array]:
    """What a run gives at a scale that keeps the chance of the log within range.

    Args:
        log: for the message where it is impossible.
        run: what is asked.
        possible: whether a part of the log can be.

    Returns:
        The scale and the result.

    Raises:
        ImpossibleEntry: the log cannot be.
        ChanceOutOfRange: it can, but no scale serves.
    """
    found, _ = search(run)
    if found is not None:
        return found
    raise fault_of(log, possible)


def search(run: Run) -> tuple[tuple[float, Array] | None, bool]:
    """Scale and result, if a scale serves; and whether any gave a chance above 0."""
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
    """Scales to try, each to be answered with the chance of the log at it.

    Args:
        found: insects whose variables are scaled, which tells from one chance what scale serves;
            0 where that is not to be used.

    Returns:
        The scale that serves, if any; and whether any gave a chance above 0.
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
        # Too great a scale overflows to infinity, or on to what is no number.
        if chance <= LEAST:
            low, power = power, 2 * power + 1 if high == math.inf else (power + high) / 2
        else:
            high, power = power, 2 * power - 1 if low == -math.inf else (low + power) / 2
        if abs(power) > MOST_POWER:
            break
    return None, is_possible


def fault_of(log: Log, possible: Callable[[Log], bool]) -> ArithmeticError | ImpossibleEntry:
    """The first find with which the log becomes impossible; once it is, it stays so."""
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
    """The log up to a find, that is all there is."""
    at, number, place = find
    day = log.days[at]
    last = replace(day.looks[number], finds=day.looks[number].finds[: place + 1])
    looks: tuple[Look, ...] = (*day.looks[:number], last)
    return replace(log, days=(*log.days[:at], replace(day, looks=looks)))
