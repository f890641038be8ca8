"""Which plants get seconds of a round, and how many at each zone."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import Places, Values, fill

FITS = 1e-9
"""rounding tolerance of a sum of seconds"""


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """The seconds of a round, split."""

    planned: NDArray[np.bool_]
    """(P,): it is looked at"""
    seconds: Values
    """(N,): at each zone; 0 where it is not"""
    prevented: float
    """harm found"""

    def by_plant(self, calls: Calls) -> list[list[float]]:
        """The seconds at each plant's zones; an empty list where it is not looked at."""
        found: list[list[float]] = [[] for _ in calls.codes]
        for plant, seconds in zip(calls.owner.tolist(), self.seconds.tolist(), strict=True):
            if self.planned[plant]:
                found[plant].append(seconds)
        return found

    def plants(self) -> set[int]:
        """The numbers of the plants that are looked at."""
        return set(np.flatnonzero(self.planned).tolist())


def split(calls: Calls, seconds: float) -> Split:
    """Split the seconds of a round over plants and zones so that most harm is found.

    First the plants that must be looked at, in their order: one that does not fit is passed over,
    and a smaller one after it may still find room. The others are added in the order of
    `Calls.others`, as many as find most together; each takes its overhead from the seconds of all.

    Adding a plant pays from some number of seconds on, which grows from one plant to the next, as
    one more plant never lowers the common marginal gain at the same seconds. So the best number of
    plants is found by bisection; more seconds never drop a plant that need not be looked at and,
    with the same plants that must be, never find less.
    """
    if not len(calls.must):
        return Split(calls.must, np.zeros(0), 0.0)
    must = _that_fit(calls, seconds)
    others = calls.others
    # upper bound: as many as their overhead alone lets in
    left = seconds - _least(calls, must) - float(calls.overhead[must].sum()) + calls.spared.max()
    spent = np.cumsum(calls.overhead[others])
    low, high = 0, int(np.searchsorted(spent, left + FITS, "right"))
    known: dict[int, Split] = {}

    def with_others(number: int) -> Split:
        if number not in known:
            known[number] = _filled(calls, np.concatenate([must, others[:number]]), seconds)
        return known[number]

    while low < high:
        middle = (low + high + 1) // 2
        if with_others(middle).prevented >= with_others(middle - 1).prevented:
            low = middle
        else:
            high = middle - 1
    return with_others(low)


def _least(calls: Calls, plants: Places) -> float:
    return float(calls.zones.least[calls.zones_of(plants)].sum())


def _that_fit(calls: Calls, seconds: float) -> Places:
    """Numbers of the plants that must be looked at and fit, taken greedily in their order."""
    least = np.bincount(calls.owner, calls.zones.least, len(calls.must)) + calls.overhead
    spent, spared = -FITS, 0.0
    chosen = []
    for plant in np.flatnonzero(calls.must):
        would_spare = max(spared, float(calls.spared[plant]))
        if spent + least[plant] - would_spare <= seconds:
            chosen.append(plant)
            spent, spared = spent + least[plant], would_spare
    return np.array(chosen, dtype=np.intp)


def _filled(calls: Calls, plants: Places, seconds: float) -> Split:
    """The best split among these plants; one that gets no second is not looked at."""
    here = calls.zones_of(plants)
    zones = calls.zones.take(here)
    found = fill(zones, seconds - calls.overhead_of(plants))
    spent = np.zeros(len(calls.owner))
    spent[here] = found
    planned = np.zeros(len(calls.must), dtype=bool)
    planned[plants] = np.bincount(calls.owner, spent, len(calls.must))[plants] > 0
    return Split(planned, spent, float(zones.prevented(found).sum()))
