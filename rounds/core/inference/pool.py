"""Which finds share a variable, so that what a log costs stays within a budget.

Finds that share one are known by their sum alone: exact, for a slightly coarser log. The cost is
counted before anything is allocated.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from math import log2

from rounds.core.inference.series import Caps, pairs, size

UNREAD = -1
"""Taken note of as handled, its number not: the last resort for the oldest of very many finds."""

WINDOWS = (1, 3, 5, 7, 10, 14)
"""Days that are taken together, zone by zone, in turn: measured on trial logs."""
MERGED = (7, 14)
"""Days of the windows in which zones are merged, in turn: measured on trial logs."""


CHEAP = 3**10
"""products of coefficients that cost little beside the rest of a day: measured"""


@dataclass(frozen=True, slots=True)
class Placed:
    """Where and when something was found, and how many."""

    day: int
    zone: int
    count: int


@dataclass(frozen=True, slots=True)
class Pooling:
    """The variable of each find, `UNREAD` for none, and the cap of each variable."""

    variable_of: tuple[int, ...]
    caps: Caps
    is_exact: bool
    """every find has a variable of its own"""


def fits(caps: Caps, budget: int) -> bool:
    """Whether a series is within the budget, told as coefficients of finds of one each."""
    most = max(CHEAP, budget ** log2(3) * (1 + 1e-9))
    return size(caps) <= budget and pairs(caps) <= most


def pool(finds: Sequence[Placed], budget: int) -> Pooling:
    """The finest pooling within the budget.

    Args:
        finds: in order of time.
        budget: the most coefficients of a series; at least 2.
    """
    keys: list[Hashable] = list(range(len(finds)))
    pooling = _pooling(finds, keys)
    if fits(pooling.caps, budget):
        return pooling
    for key in _ladder(finds[-1].day, finds[0].day):
        pooling = _pooling(finds, [key(find) for find in finds])
        if fits(pooling.caps, budget):
            return pooling
    return _newest(finds, budget)


def _ladder(last: int, first: int) -> Iterator[Callable[[Placed], Hashable]]:
    """Ways to tell finds apart, ever coarser. Windows are counted back from the last find.

    Where something was found matters more than on which day of a week, so that zones are merged
    last, and those of the oldest windows first.
    """
    for days in WINDOWS:
        yield partial(_by_zone, last, days, 1 + last - first)
    for days in MERGED:
        for kept in range((last - first) // days, -1, -1):
            yield partial(_by_zone, last, days, kept)
    for kept in range((last - first) // MERGED[-1], -1, -1):
        yield partial(_by_window, last, MERGED[-1], kept)


def _by_zone(last: int, days: int, kept: int, find: Placed) -> Hashable:
    """Zone and window; the window alone where it is older than the kept ones."""
    window = (last - find.day) // days
    return (find.zone if window < kept else None, window)


def _by_window(last: int, days: int, kept: int, find: Placed) -> Hashable:
    """The window; all that are older than the kept ones are one."""
    return min((last - find.day) // days, kept)


def _newest(finds: Sequence[Placed], budget: int) -> Pooling:
    """All in one variable; the oldest are not read where even that is too much."""
    total, variable_of = 0, []
    for find in reversed(finds):
        total += find.count
        fit = fits((total,), budget)
        variable_of.append(0 if fit else UNREAD)
    read = sum(f.count for f, v in zip(reversed(finds), variable_of, strict=True) if v == 0)
    return Pooling(tuple(reversed(variable_of)), (read,) if read else (), is_exact=False)


def _pooling(finds: Sequence[Placed], keys: Sequence[Hashable]) -> Pooling:
    number: dict[Hashable, int] = {}
    total: dict[int, int] = defaultdict(int)
    variable_of = []
    for find, key in zip(finds, keys, strict=True):
        variable = number.setdefault(key, len(number))
        variable_of.append(variable)
        total[variable] += find.count
    caps = tuple(total[variable] for variable in range(len(number)))
    return Pooling(tuple(variable_of), caps, is_exact=len(number) == len(finds))
