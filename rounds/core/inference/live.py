"""Table of the chance clean, and of sums over what is left, for every count at the next looks.

There is no state to carry forward: the end value changes with every look and the backward run is
not linear. But the coefficients of the current look's variable are the answers to all its counts,
and a variable that marks each insect left with a weight gives the expected sum of the weights.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import prod

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.answer import Method, within_range
from rounds.core.inference.backward import Backward, Course, Frame, prepare
from rounds.core.inference.observed import Log, Look
from rounds.core.inference.series import Array

MOST_FOUND = 4
"""counts in a table: 0 to this, unless more are asked for"""
LIVE_BUDGET = 32
"""most coefficients of the finds up to now: the table must be ready between two key presses"""
MOST_AHEAD = 28
"""most looks times coefficients of a usual table; a costlier log gets fewer looks"""


@dataclass(frozen=True, slots=True)
class LiveFigures:
    """What the log says once the look at hand has ended."""

    chance_clean: float
    sums: tuple[float, ...]
    """expected sum over the insects left of each row of weights"""
    method: Method


@dataclass(frozen=True, slots=True, eq=False)
class LiveTable:
    """Figures after each number of clean looks, with 0 to K found at the next and taken off."""

    chances: Values
    """(Z, K + 1)"""
    sums: Values
    """(Z, W, K + 1)"""
    method: Method

    @property
    def most_found(self) -> int:
        """K, the greatest count."""
        return int(self.chances.shape[1]) - 1

    def figures(self, clean: int, found: int) -> LiveFigures | None:
        """After `clean` clean looks and `found` at the next; None beyond the table."""
        if clean >= len(self.chances) or found > self.most_found:
            return None
        sums = tuple(float(each) for each in self.sums[clean, :, found])
        return LiveFigures(float(self.chances[clean, found]), sums, self.method)


def live_table(
    log: Log,
    looks: Sequence[Look],
    weights: Values,
    budget: int = LIVE_BUDGET,
    most_ahead: int = MOST_AHEAD,
    most_found: int = MOST_FOUND,
) -> LiveTable:
    """The table for the looks that are to follow on the last date of a log, in their order.

    Args:
        log: up to now.
        looks: as they will be if nothing is found; at least one. On a costly log the table holds
            the first of them only.
        weights: (W, T) of one insect of every type; at least one row.
        budget: coefficients of the finds up to now.
        most_ahead: looks times those coefficients, for the usual counts.
        most_found: K.

    Raises:
        ImpossibleEntry: something in the log cannot happen.
    """
    course = prepare(log, budget)
    caps = course.pooling.caps
    method: Method = "exact" if course.pooling.is_exact else "pooled"
    size = prod(cap + 1 for cap in caps) * (most_found + 1) / (MOST_FOUND + 1)
    held = looks[: max(1, int(most_ahead / size))]
    live, mark = len(caps), len(caps) + 1
    course = replace(course, pooling=replace(course.pooling, caps=(*caps, most_found, 1)))

    def run(scale: float) -> tuple[Array, float]:
        ends = _ends(held, weights, scale, most_found)
        found = _of_live(course, ends, live, mark, scale)
        by_look = found.reshape(len(held), 1 + len(weights), most_found + 1, 2)
        return by_look, float(by_look[0, 1, 0, 0])

    _, found = within_range(log, run)
    nothing, anything, marked = found[:, 0, :, 0], found[:, 1, :, 0], found[:, 1:, :, 1]
    with np.errstate(invalid="ignore", divide="ignore"):
        chances = np.nan_to_num(nothing / anything).real
        sums = np.nan_to_num(marked / anything[:, None]).real
    return LiveTable(chances, sums, method)


def _ends(looks: Sequence[Look], weights: Values, scale: float, most_found: int) -> Values:
    """Terminals (T, Z (1 + W), 2 K + 2) before each look: nothing left, then any number marked.

    The last axis holds the counts of the look, each without and with one mark.
    """
    types = len(looks[0].unseen)
    ends = np.zeros((types, len(looks), 1 + len(weights), most_found + 1, 2))
    earlier = np.ones(types)
    for at, look in enumerate(looks):
        unseen = look.unseen * earlier
        ends[:, at, 1:, 0, 0] = unseen[:, None]
        ends[:, at, 1:, 0, 1] = unseen[:, None] * weights.T
        ends[:, at, :, 1, 0] = ((1 - look.unseen) * scale * earlier)[:, None]
        earlier = unseen
    return ends.reshape(types, -1, 2 * (most_found + 1))


def _of_live(course: Course, ends: Values, live: int, mark: int, scale: float) -> Array:
    """(V, K + 1, 2): coefficients of all finds, by count of the live look and power of the mark."""
    back = Backward(course, ends, scale, frame=Frame((live, mark), course.pooling.caps[live:]))
    kept, caps = back.frame.variables, back.frame.caps
    total = back.total().reshape(-1, *(cap + 1 for cap in caps))
    here = tuple(slice(None) if variable in (live, mark) else -1 for variable in kept)
    of_two = total[(slice(None), *here)]
    return of_two if kept.index(live) < kept.index(mark) else of_two.swapaxes(1, 2)
