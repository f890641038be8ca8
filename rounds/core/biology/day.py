"""One day of a branching process, as data: who survives into what, who is born where.

An insect has one of T types. Types are numbered group by group, G groups of M = T / G types; within
a day an insect stays in its group, unless it wanders.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isclose

import numpy as np
from numpy.typing import NDArray

TILE = 12
"""types along a diagonal tile: six sub-stages in two reaches; measured as quickest"""
LINKED = 2

Values = NDArray[np.float64]
Places = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Day:
    """Transition chances of one insect of each type from one date to the next."""

    tiles: Values
    """(G, K, M / K, M / K): chance to pass from a type (row) to a type (column) of the same tile, a
    part of a group; K is 1 where a group cannot be cut up"""
    links: Values
    """(G, K - 1, 2, 2): chances from the last two types of a tile to the first two of the next"""
    wander: Values
    """(T,): chance to wander, and so to end in any group"""
    wandering: Places
    """(W,): types for which that chance is above 0"""
    landing: Values
    """(T,): distribution over types of those that wander; sums to 1"""
    landed: Places
    """types for which that is above 0"""
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

    @property
    def blocks(self) -> Values:
        """(G, M, M): chance to pass from a type (row) to a type (column) of the same group."""
        groups, count, of_tile, _ = self.tiles.shape
        cut, at = np.zeros((groups, count, of_tile, count, of_tile)), np.arange(count)
        cut[:, at, :, at] = self.tiles.swapaxes(0, 1)
        cut[:, at[:-1], -LINKED:, at[1:], :LINKED] = self.links.swapaxes(0, 1)
        return cut.reshape(groups, count * of_tile, count * of_tile)


def values_of(numbers: Sequence[float]) -> Values:
    """An array (T,) of one number for each type."""
    return np.array(numbers, dtype=np.float64)


def make_day(
    blocks: Values,
    wander: Values,
    landing: Values,
    laying: Places,
    eggs: Places,
    eggs_laid: float,
) -> Day:
    """Make a day of its chances; what a type lacks to 1 is its chance to die."""
    tiles, links = _tiled(blocks)
    gone = np.maximum(0.0, 1.0 - blocks.sum(axis=2).reshape(-1) - wander)
    return Day(
        tiles, links, wander, np.flatnonzero(wander), landing, np.flatnonzero(landing), gone,
        laying, eggs, eggs_laid,
    )  # fmt: skip


def values_before(day: Day, after: Values, out: Values | None = None) -> Values:
    """Multiply values (T, N) at the end of the day by its transition matrix: those at its start.

    Deaths and eggs are left out.

    Args:
        day: its chances.
        after: the values.
        out: where to put the result, if memory for it is at hand; not `after`.
    """
    groups, tiles, of_tile, _ = day.tiles.shape
    before = np.empty_like(after) if out is None else out
    cut = after.reshape(groups, tiles, of_tile, -1)
    result = before.reshape(cut.shape)
    np.matmul(day.tiles, cut, out=result)
    if tiles > 1:
        result[:, :-1, -LINKED:] += np.matmul(day.links, cut[:, 1:, :LINKED])
    if len(day.wandering):
        landing = day.landing[day.landed] @ after[day.landed]
        before[day.wandering] += day.wander[day.wandering, None] * landing
    return before


def numbers_after(day: Day, before: Values, out: Values | None = None) -> Values:
    """Multiply mean numbers (T, N) at the start of the day by its transposed transition matrix.

    The result (T, N) is for the end of the day. Eggs are left out.

    Args:
        day: its chances.
        before: the numbers.
        out: where to put the result, if memory for it is at hand; not `before`.
    """
    groups, tiles, of_tile, _ = day.tiles.shape
    after = np.empty_like(before) if out is None else out
    cut = before.reshape(groups, tiles, of_tile, -1)
    result = after.reshape(cut.shape)
    np.matmul(day.tiles.transpose(0, 1, 3, 2), cut, out=result)
    if tiles > 1:
        links = day.links.transpose(0, 1, 3, 2)
        result[:, 1:, :LINKED] += np.matmul(links, cut[:, :-1, -LINKED:])
    if len(day.wandering):
        wandered = day.wander[day.wandering] @ before[day.wandering]
        after[day.landed] += np.outer(day.landing[day.landed], wandered)
    return after


def _tiled(blocks: Values) -> tuple[Values, Values]:
    groups, within, _ = blocks.shape
    count, rest = divmod(within, TILE)
    if not rest and count > 1:
        cut = blocks.reshape(groups, count, TILE, count, TILE)
        at = np.arange(count)
        tiles = cut[:, at, :, at].swapaxes(0, 1)
        links = cut[:, at[:-1], -LINKED:, at[1:], :LINKED].swapaxes(0, 1)
        if isclose(tiles.sum() + links.sum(), blocks.sum(), rel_tol=1e-14):
            return np.ascontiguousarray(tiles), np.ascontiguousarray(links)
    return blocks[:, None], np.zeros((groups, 0, LINKED, LINKED))


def mean_matrix(day: Day) -> Values:
    """(T, T): mean number of insects of each type (column) that one insect (row) turns into."""
    blocks = day.blocks
    groups, within, _ = blocks.shape
    means = np.outer(day.wander, day.landing)
    for group in range(groups):
        here = slice(group * within, (group + 1) * within)
        means[here, here] += blocks[group]
    lived = means[day.laying].sum(axis=1)
    means[day.laying, day.eggs] += day.eggs_laid * lived
    return means
