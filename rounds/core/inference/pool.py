"""Which finds share a variable, so that what a log costs stays within a budget.

Finds that share one are known by their sum alone: exact, for a slightly coarser log. The cost is
counted before anything is allocated.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from math import log2

from rounds.core.inference.series import Caps, pairs, size

UNREAD = -1
"""Taken note of as handled, its number not: the last resort for the oldest of very many finds."""

WINDOWS = (1, 3, 5, 7, 10, 14)
"""Days that are taken together, zone by zone, in turn: an assumption, measured on trial logs."""


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
    return size(caps) <= budget and pairs(caps) <= budget ** log2(3) * (1 + 1e-9)


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
    last = finds[-1].day
    for key in _ladder(last, (last - finds[0].day) // WINDOWS[-1]):
        pooling = _pooling(finds, [key(find) for find in finds])
        if fits(pooling.caps, budget):
            return pooling
    return _newest(finds, budget)


def _ladder(last: int, oldest: int) -> Iterator[Callable[[Placed], Hashable]]:
    """Ways to tell finds apart, ever coarser. Windows are counted back from the last find."""
    for days in WINDOWS:
        yield lambda find, days=days: (find.zone, (last - find.day) // days)  # type: ignore[misc]
    longest = WINDOWS[-1]
    for kept in range(oldest, -1, -1):
        yield lambda find, kept=kept: _merged(find, (last - find.day) // longest, kept)  # type: ignore[misc]
    for kept in range(oldest, -1, -1):
        yield lambda find, kept=kept: min((last - find.day) // longest, kept)  # type: ignore[misc]


def _merged(find: Placed, window: int, kept: int) -> Hashable:
    """Zone and window; the window alone where it is older than the kept ones."""
    return (find.zone if window < kept else None, window)


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
