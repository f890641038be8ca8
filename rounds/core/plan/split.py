"""Which plants get seconds of a round, and how many at each zone."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import FITS, Places, Values, Zones, fill
from rounds.core.plan.floors import Floors, floors_within


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """The seconds of a round, split."""

    planned: NDArray[np.bool_]
    """(P,): it is looked at"""
    seconds: Values
    """(N,): of looking at each zone; 0 where it is not looked at"""
    prevented: float
    """harm found"""
    owed_is_met: bool
    """each plant that is due gets what it is owed"""

    def by_plant(self, calls: Calls) -> list[list[float]]:
        """The seconds at each plant's zones; an empty list where it is not looked at."""
        found: list[list[float]] = [[] for _ in calls.codes]
        for plant, seconds in zip(calls.owner.tolist(), self.seconds.tolist(), strict=True):
            if self.planned[plant]:
                found[plant].append(seconds)
        return found

    def handling(self, calls: Calls) -> list[float]:
        """What is expected to be found on each plant takes so many seconds to handle."""
        found: list[float] = calls.by_plant(calls.zones.spent(self.seconds) - self.seconds).tolist()
        return found

    def plants(self) -> set[int]:
        """The numbers of the plants that are looked at."""
        return set(np.flatnonzero(self.planned).tolist())


def split(calls: Calls, seconds: float) -> Split:
    """Split the seconds of a round over plants and zones so that most harm is found.

    First what is owed, in its order, and what is brought forward. Where all of that has its least,
    the others come in by gain per second, as many as find most together; each takes its overhead
    from the seconds of all.

    Adding a plant pays from some number of seconds on, which grows from one plant to the next, as
    one more plant never lowers the common marginal gain at the same seconds. So the best number of
    plants is found by bisection, and more seconds never find less.
    """
    floors = floors_within(calls, seconds)
    if not floors.are_met or not len(calls.turn):
        return _as_owed(calls, floors)
    held = replace(calls, zones=replace(calls.zones, least=floors.seconds))
    owed = np.flatnonzero(floors.planned)
    others = calls.others[~floors.planned[calls.others]]
    # upper bound: as many as their overhead alone lets in
    taken = float(calls.zones.spent(floors.seconds).sum() + calls.overhead[owed].sum())
    left = seconds - taken + calls.spared.max()
    low, high = 0, int(np.searchsorted(np.cumsum(calls.overhead[others]), left + FITS, "right"))
    known: dict[int, Split] = {}

    def with_others(number: int) -> Split:
        if number not in known:
            known[number] = _long_enough(held, owed, others[:number], seconds)
        return known[number]

    while low < high:
        middle = (low + high + 1) // 2
        if with_others(middle).prevented >= with_others(middle - 1).prevented:
            low = middle
        else:
            high = middle - 1
    return with_others(low)


def _as_owed(calls: Calls, floors: Floors) -> Split:
    """No more than what is owed or brought forward."""
    found = float(calls.zones.prevented(floors.seconds).sum())
    return Split(floors.planned, floors.seconds, found, floors.owed_is_met)


def _long_enough(calls: Calls, owed: Places, others: Places, seconds: float) -> Split:
    """The best split among these plants, without those whose look would be too short."""
    found = _filled(calls, np.concatenate([owed, others]), seconds)
    looked = calls.by_plant(found.seconds)
    short = others[looked[others] < calls.shares.least_seconds]
    if not len(short):
        return found
    return _long_enough(calls, owed, others[~np.isin(others, short)], seconds)


def _filled(calls: Calls, plants: Places, seconds: float) -> Split:
    """The best split among these plants; one that gets no second is not looked at."""
    here = calls.zones_of(plants)
    zones = calls.zones.take(here)
    room = seconds - calls.overhead_of(plants)
    found = _filled_up_to(zones, calls.owner[here], room, calls.most_of(seconds))
    spent = np.zeros(len(calls.owner))
    spent[here] = found
    planned = np.zeros(len(calls.turn), dtype=bool)
    planned[plants] = calls.by_plant(spent)[plants] > 0
    return Split(planned, spent, float(zones.prevented(found).sum()), owed_is_met=True)


def _filled_up_to(zones: Zones, owner: Places, seconds: float, most: float) -> Values:
    """(N,): the seconds that find most, no plant taking more than `most` that others could use.

    What a plant gets at the least it gets all the same. A plant that would take more gets `most`,
    and the others share the rest: on that lower level of gain it would take more still. What then
    is left over, nobody else could use.
    """
    given = np.zeros(len(owner))
    free = np.arange(len(owner))
    left = seconds
    limits = np.maximum(most, np.bincount(owner, zones.spent(zones.least)))
    while len(free):
        given[free] = fill(zones.take(free), left)
        taken = np.bincount(owner[free], zones.take(free).spent(given[free]), len(limits))
        over = np.flatnonzero(taken > limits + FITS)
        for plant in over:
            own = free[owner[free] == plant]
            given[own] = fill(zones.take(own), float(limits[plant]))
            left -= float(zones.take(own).spent(given[own]).sum())
        free = free[~np.isin(owner[free], over)]
        if not len(over):
            return given
    return fill(replace(zones, least=given), seconds)
