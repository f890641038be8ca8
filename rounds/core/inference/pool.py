"""Which finds share a variable, so that what a log costs stays within a budget.

A little beyond it, a few finds near each other are known by their sum: `pairing`. Far beyond it,
the newest days with finds keep a variable for each find, and days before them are
known by two sums: that of one day, and that of all before it. Such a sum is over every look of its
span, clean ones too, so that the figures are those of a coarser log: what a grower would have
written who noted only the sum. (The sum of the looks with finds alone is no such log: that each of
them found something would be forgotten, and with it how lately there was something.) How far a span
reaches therefore depends on the days after it and on sums, not on what each of its looks found.

The older days come last: where even their sum is too great, their looks count as looked, and what
they found as taken away, its number unread. That leaves out what would be known, and leans to
neither side. The sum of one day too great for the budget is counted in part, as if one insect in so
many had been noted.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from math import log2

from rounds.core.inference.pairing import Placed, paired
from rounds.core.inference.series import Caps, pairs, size

CHEAP = 3**10
"""products of coefficients that cost little beside the rest of a day: measured"""
PAIRED = 64
"""times the budget that all finds by themselves may need where only a few of them share a variable:
with a small budget more of them made the figure too great (heavy logs, budget 32: .03)"""
MOST_IN_A_SUM = 127
"""greatest cap of a sum, as its cost grows with the square; a greater sum is counted in part"""
APART = 8
"""part of the budget for finds with variables of their own: the rest is for sums"""


@dataclass(frozen=True, slots=True)
class Span:
    """Days whose looks share one variable, the finds of which are known by their sum alone."""

    first: int
    last: int
    variable: int
    counted: float
    """share of the insects shown that is counted; the cap of the variable is that of their sum"""

    def holds(self, day: int) -> bool:
        """Whether a day is within it."""
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class Pooling:
    """The cap of each variable: first those of finds by themselves, in order of time."""

    caps: Caps
    spans: tuple[Span, ...] = ()
    """where all looks share a variable"""
    shared: tuple[int, ...] = ()
    """the variable of each find, in order of time, where a few share one; else empty"""

    @property
    def is_exact(self) -> bool:
        """Every find has a variable of its own."""
        return not (self.spans or self.shared)

    @property
    def counts_all(self) -> bool:
        """Every find is counted, by itself or in a sum."""
        return all(span.counted == 1 for span in self.spans)

    def span_of(self, day: int) -> Span | None:
        """The span a day belongs to; None where its finds have variables of their own."""
        return next((span for span in self.spans if span.holds(day)), None)


def fits(caps: Caps, budget: int) -> bool:
    """Whether a series keeps within the budget, in its coefficients and in their products.

    The most products are those of a series of `budget` coefficients whose caps are all 1.
    """
    most = max(CHEAP, budget ** log2(3) * (1 + 1e-9))
    return size(caps) <= budget and pairs(caps) <= most


def pool(finds: Sequence[Placed], budget: int, today: int) -> Pooling:
    """A pooling within the budget.

    Args:
        finds: in order of time.
        budget: the most coefficients of a series; at least 2.
        today: the last day of the log.
    """
    return _pool(tuple(finds), budget, today)


@lru_cache(maxsize=256)
def _pool(finds: tuple[Placed, ...], budget: int, today: int) -> Pooling:
    caps = tuple(find.count for find in finds)
    if fits(caps, budget):
        return Pooling(caps)
    if size(caps) <= PAIRED * budget:
        found = paired(finds, today, lambda caps: fits(caps, budget))
        if found is not None:
            return Pooling(found[0], shared=found[1])
    return summed(finds, budget)


def summed(finds: Sequence[Placed], budget: int) -> Pooling:
    """The newest finds apart, all before them in two sums over every look."""
    days = [(day, tuple(find.count for find in of_day))
            for day, of_day in groupby(finds, lambda find: find.day)]  # fmt: skip
    apart: Caps = ()
    while size((*days[-1][1], *apart)) <= max(1, budget // APART):
        apart = (*days.pop()[1], *apart)
    day, counts = days.pop()
    return _with_sums(apart, day, sum(counts), sum(sum(counts) for _, counts in days), budget)


def _with_sums(apart: Caps, day: int, of_day: int, older: int, budget: int) -> Pooling:
    """The sum of a day, counted in part where it is too great, and that of all days before it."""
    most = min(of_day, MOST_IN_A_SUM)
    cap = _greatest(most, lambda cap: fits((*apart, cap), budget))
    caps = (*apart, cap)
    spans = [Span(day, day, len(apart), cap / of_day)]
    if older:
        is_read = older <= MOST_IN_A_SUM and fits((*caps, older), budget)
        spans.append(Span(0, day - 1, len(caps), float(is_read)))
        caps = (*caps, older if is_read else 0)
    return Pooling(caps, tuple(spans))


def _greatest(most: int, serves: Callable[[int], bool]) -> int:
    """The greatest cap up to `most` that serves, of those that serve up to some; 0 if none."""
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if serves(middle) else (low, middle - 1)
    return low
