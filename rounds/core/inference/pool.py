"""Which finds share a variable, so that what a log costs stays within a budget.

Finds that share one are known by their sum alone: exact, for a slightly coarser log. Those nearest
in zone, recorded stage and time are taken together first (hierarchical clustering in the manner of
Ward 1963, J Am Stat Assoc 58:236-244). The cost is counted before anything is allocated.
"""

from bisect import bisect_right
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from math import log2

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.series import Caps, pairs, size

UNREAD = -1
"""In place of a variable: the find is handled, its number unread; last resort for the oldest."""

NEAR_DAYS = 7.0
"""days that make one unit of distance between finds; measured on trial logs"""
ZONES_APART = 6.0
"""squared distance between two zones, in those units; measured on trial logs"""
GROUPS_APART = 12.0
"""squared distance between two recorded stages; measured on random logs"""
MOST_APART = 80
"""most pools compared pairwise; with more, finds of a zone, stage and few days start as one"""
WINDOWS = (1, 3, 5, 7, 10, 14)
"""numbers of those few days, tried in turn; counted back from the last find"""
CHEAP = 3**10
"""products of coefficients that cost little beside the rest of a day: measured"""


@dataclass(frozen=True, slots=True)
class Placed:
    """Where and when something was found, and how many."""

    day: int
    zone: int
    count: int
    group: int = 0
    """the stage it was recorded as"""


@dataclass(frozen=True, slots=True)
class Pooling:
    """The variable of each find, `UNREAD` for none, and the cap of each variable."""

    variable_of: tuple[int, ...]
    caps: Caps
    is_exact: bool
    """every find has a variable of its own"""
    reads_all: bool = True
    """no find is left unread, in whole or in part"""


def fits(caps: Caps, budget: int) -> bool:
    """Whether a series keeps within the budget, in its coefficients and in their products.

    The most products are those of a series of `budget` coefficients whose caps are all 1.
    """
    most = max(CHEAP, budget ** log2(3) * (1 + 1e-9))
    return size(caps) <= budget and pairs(caps) <= most


def pool(finds: Sequence[Placed], budget: int) -> Pooling:
    """A pooling within the budget that merges as few finds as it can.

    Args:
        finds: in order of time.
        budget: the most coefficients of a series; at least 2.
    """
    caps = tuple(find.count for find in finds)
    if fits(caps, budget):
        return Pooling(tuple(range(len(finds))), caps, is_exact=True)
    pools = _Pools(finds, _to_begin_with(finds))
    while not fits(pools.caps, budget):
        if len(pools.caps) == 1:
            return _newest(finds, budget)
        pools.merge_nearest()
    return Pooling(pools.variable_of, pools.caps, is_exact=False)


class _Pools:
    """Finds in P pools: of each its count, mean day, and shares by zone and recorded stage."""

    def __init__(self, finds: Sequence[Placed], keys: Sequence[Hashable]) -> None:
        numbers = {key: number for number, key in enumerate(dict.fromkeys(keys))}
        self._of = np.array([numbers[key] for key in keys])
        counts = np.array([find.count for find in finds], dtype=float)
        self._count = np.bincount(self._of, counts)
        self._day = np.bincount(self._of, counts * [find.day for find in finds]) / self._count
        self._zones = self._shares([find.zone for find in finds], counts)
        self._groups = self._shares([find.group for find in finds], counts)
        self._lost = np.stack([self._lost_with(number) for number in range(len(numbers))])

    def _shares(self, of_finds: Sequence[int], counts: Values) -> Values:
        """(P, K): of each pool, the shares of its insects over the K distinct values of finds."""
        known = np.unique(of_finds, return_inverse=True)[1]
        shares = np.zeros((len(self._count), known.max() + 1))
        np.add.at(shares, (self._of, known), counts)
        return np.asarray(shares / self._count[:, None])

    @property
    def caps(self) -> Caps:
        """The number of insects found in each pool."""
        return tuple(int(count) for count in self._count)

    @property
    def variable_of(self) -> tuple[int, ...]:
        """The pool of each find."""
        return tuple(int(number) for number in self._of)

    def merge_nearest(self) -> None:
        """Merge the two pools that lose least information for each halving of coefficients."""
        one, other = sorted(divmod(int(self._lost.argmin()), len(self._count)))
        both = self._count[one] + self._count[other]
        for means in (self._day, self._zones, self._groups):
            whole = means[one] * self._count[one] + means[other] * self._count[other]
            means[one] = whole / both
        self._count[one] = both
        self._of[self._of == other] = one
        self._of[self._of > other] -= 1
        self._count, self._day = np.delete(self._count, other), np.delete(self._day, other)
        self._zones = np.delete(self._zones, other, axis=0)
        self._groups = np.delete(self._groups, other, axis=0)
        self._lost = np.delete(np.delete(self._lost, other, axis=0), other, axis=1)
        self._lost[one] = self._lost[:, one] = self._lost_with(one)

    def _lost_with(self, one: int) -> Values:
        """(P,): loss of merging a pool with each, by halving of coefficients; inf with itself."""
        mine, theirs = self._count[one], self._count
        apart = ((self._day - self._day[one]) / NEAR_DAYS) ** 2
        apart += ZONES_APART * ((self._zones - self._zones[one]) ** 2).sum(axis=1) / 2
        apart += GROUPS_APART * ((self._groups - self._groups[one]) ** 2).sum(axis=1) / 2
        saved = np.log2((mine + 1) * (theirs + 1) / (mine + theirs + 1))
        lost: Values = (mine * theirs / (mine + theirs)) ** 2 * apart / saved
        lost[one] = np.inf
        return lost


def _to_begin_with(finds: Sequence[Placed]) -> Sequence[Hashable]:
    keys: Sequence[Hashable] = range(len(finds))
    for days in WINDOWS:
        if len(set(keys)) <= MOST_APART:
            break
        keys = [(find.zone, find.group, (finds[-1].day - find.day) // days) for find in finds]
    return keys


def _newest(finds: Sequence[Placed], budget: int) -> Pooling:
    """One variable for as many of the newest finds as the budget holds; the oldest are unread.

    The find that exceeds the budget is read in part: left out whole, its plant would look clean.
    """
    total = sum(find.count for find in finds)
    most = bisect_right(range(total), 0, key=lambda count: not fits((count + 1,), budget))
    read, variable_of = 0, []
    for find in reversed(finds):
        variable_of.append(0 if read < most else UNREAD)
        read += find.count
    return Pooling(
        tuple(reversed(variable_of)), (min(read, most),), is_exact=False, reads_all=read <= most
    )
