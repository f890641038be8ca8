"""Which finds share a variable where all of them need but little more than the budget.

A few finds near each other, in days, zone and stage, are known by their sum alone; all other looks
keep what they found, and clean ones that they were clean. Only which of the few was where is lost,
and the figure stays within about a hundredth of that of every find by itself. (For a plant with
very many finds it would not do: that each of these looks found something would be forgotten, and so
the sums of `pool` are over all looks of a span.)
"""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import log

from rounds.core.inference.series import Caps

FRESH_DAYS = 10.0
"""days added to how long ago a find was, before which a gap between finds is held against it"""
OTHER_ZONE, OTHER_STAGE, NEWEST = 0.3, 1.0, 1.0
"""what is lost with each more zone or stage in a sum, and where the newest day with finds is summed
with an earlier one; in gaps as long as their finds are old. All chosen on simulated logs"""
LEAST_LOST = 0.02
"""what any sum loses, so that of equal ones the one that saves most is chosen"""


@dataclass(frozen=True, slots=True)
class Placed:
    """When and where something was found, and how many."""

    day: int
    count: int
    zone: Hashable = None
    stage: Hashable = None


@dataclass(frozen=True, slots=True)
class _Group:
    """Finds that share a variable."""

    first: int
    last: int
    count: int
    zones: frozenset[Hashable]
    stages: frozenset[Hashable]
    members: tuple[int, ...]

    def lost(self, today: int) -> float:
        """How much its sum leaves untold."""
        apart = (self.last - self.first) / (today - self.last + FRESH_DAYS)
        apart += OTHER_ZONE * (len(self.zones) - 1) + OTHER_STAGE * (len(self.stages) - 1)
        return (self.count - 1) * apart

    def with_other(self, other: "_Group") -> "_Group":
        """Both as one."""
        return _Group(
            min(self.first, other.first),
            max(self.last, other.last),
            self.count + other.count,
            self.zones | other.zones,
            self.stages | other.stages,
            tuple(sorted((*self.members, *other.members))),
        )


def paired(
    finds: Sequence[Placed], today: int, fits: Callable[[Caps], bool]
) -> tuple[Caps, tuple[int, ...]] | None:
    """The caps of the variables, and the variable of each find; None where no sum of some fits.

    Two groups at a time become one: those that lose least for what they save.

    Args:
        finds: in order of time.
        today: the last day of the log.
        fits: whether a series of such caps keeps within the budget.
    """
    newest = finds[-1].day
    groups = [
        _Group(f.day, f.day, f.count, frozenset([f.zone]), frozenset([f.stage]), (number,))
        for number, f in enumerate(finds)
    ]
    while not fits(tuple(group.count for group in groups)):
        if len(groups) == 1:
            return None
        one, other = min(
            combinations(groups, 2), key=lambda two: _price(two[0], two[1], today, newest)
        )
        at = groups.index(one)
        groups[at] = one.with_other(other)
        groups.remove(other)
    variable = {number: at for at, group in enumerate(groups) for number in group.members}
    return tuple(group.count for group in groups), tuple(variable[n] for n in range(len(finds)))


def _price(one: _Group, other: _Group, today: int, newest: int) -> float:
    """What is lost by their sum, for each step by which it makes a series smaller."""
    both = one.with_other(other)
    lost = both.lost(today) - one.lost(today) - other.lost(today) + LEAST_LOST
    if (one.last == newest) != (other.last == newest):
        lost += NEWEST
    return lost / log((one.count + 1) * (other.count + 1) / (both.count + 1))
