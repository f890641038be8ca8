"""One day of a branching process, as data: who survives into what, who is born where.

An insect has one of T types. Types are numbered group by group, G groups of M = T / G types; within
a day an insect stays in its group, unless it wanders.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Places = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Day:
    """From one date to the next, forwards: chances of what one insect of each type becomes."""

    blocks: Values
    """(G, M, M): of a type (row) to be of a type (column) of the same group"""
    wander: Values
    """(T,): chance to end anywhere on the plant"""
    wandering: Places
    """(W,): types for which that chance is above 0"""
    landing: Values
    """(T,): where those end that wander; sums to 1"""
    gone: Values
    """(T,): chance to be dead, or off the plant"""
    laying: Places
    """(L,): types whose survivors lay"""
    eggs: Places
    """(L,): the type each of them lays"""
    eggs_laid: float
    """mean number of eggs of each survivor; Poisson"""

    @property
    def size(self) -> int:
        """T, the number of types."""
        return len(self.gone)


def make_day(
    blocks: Values,
    wander: Values,
    landing: Values,
    laying: Places,
    eggs: Places,
    eggs_laid: float,
) -> Day:
    """A day from its chances; what is missing to 1 dies."""
    stays = blocks.sum(axis=2).reshape(-1)
    gone = np.maximum(0.0, 1.0 - stays - wander)
    return Day(blocks, wander, np.flatnonzero(wander), landing, gone, laying, eggs, eggs_laid)


def mean_matrix(day: Day) -> Values:
    """(T, T): mean number of insects of each type (column) that one insect (row) turns into."""
    groups, within, _ = day.blocks.shape
    means = np.outer(day.wander, day.landing)
    for group in range(groups):
        here = slice(group * within, (group + 1) * within)
        means[here, here] += day.blocks[group]
    lived = means[day.laying].sum(axis=1)
    means[day.laying, day.eggs] += day.eggs_laid * lived
    return means
