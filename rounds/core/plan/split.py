"""Which plants get seconds of a round, and how many at each zone."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.call import Turn
from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import FITS, Places, Values, Zones, fill, partly
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
    the others come in by gain per second, as many as find most together: each gets a look that
    counts and takes its overhead from the seconds of all, and what is left goes to all of them.

    With a fixed number of them more seconds never find less, so that the best number never does.
    """
    floors = floors_within(calls, seconds)
    if not floors.are_met or not len(calls.turn):
        return _as_owed(calls, floors)
    owed = np.flatnonzero(floors.planned)
    others = calls.others[~floors.planned[calls.others]]
    least = np.where(floors.planned[calls.owner], floors.seconds, calls.counts)
    held = replace(calls, zones=replace(calls.zones, least=least))
    found = _as_owed(calls, floors)
    for number in range(len(others) + 1):
        plants = np.concatenate([owed, others[:number]])
        if held.least_of(plants) > seconds + FITS:
            break
        filled = _filled(held, plants, seconds, is_all=number == len(others))
        if filled.prevented >= found.prevented:
            found = filled
    return found if found.planned.any() or not len(others) else _in_part(held, others[0], seconds)


def _as_owed(calls: Calls, floors: Floors) -> Split:
    """No more than what is owed or brought forward."""
    found = float(calls.zones.prevented(floors.seconds).sum())
    return Split(floors.planned, floors.seconds, found, floors.owed_is_met)


def _in_part(calls: Calls, plant: int, seconds: float) -> Split:
    """As much of a look that counts as the seconds hold, where they hold none."""
    here = np.flatnonzero(calls.owner == plant)
    zones = calls.zones.take(here)
    given = partly(
        zones, np.zeros(len(here)), zones.least, seconds - calls.overhead_of(np.array([plant]))
    )
    looked = np.zeros(len(calls.owner))
    if given.sum() >= calls.shares.least_seconds:
        looked[here] = given
    found = float(calls.zones.prevented(looked).sum())
    return Split(calls.by_plant(looked) > 0, looked, found, owed_is_met=True)


def _filled(calls: Calls, plants: Places, seconds: float, *, is_all: bool) -> Split:
    """The best split among these plants.

    Where others are left out no look at a plant without known insects is longer than usual.
    """
    here = calls.zones_of(plants)
    zones, owner = calls.zones.take(here), calls.owner[here]
    room = seconds - calls.overhead_of(plants)
    limits = np.full(len(calls.turn), calls.most_of(seconds))
    calm = calls.turn != Turn.ALIVE
    if not is_all:
        limits[calm] = np.minimum(limits, calls.usual)[calm]
    limits = np.maximum(limits, np.bincount(owner, zones.spent(zones.least), len(limits)))
    found = _filled_up_to(zones, owner, room, limits)
    taken = float(zones.spent(found).sum())
    if taken < room - FITS:
        may_grow = np.ones(len(here), dtype=bool) if is_all else ~calm[owner]
        most = np.where(may_grow, zones.most, found)
        found = fill(replace(zones, least=found, most=most), room)
    spent = np.zeros(len(calls.owner))
    spent[here] = found
    planned = np.zeros(len(calls.turn), dtype=bool)
    planned[plants] = calls.by_plant(spent)[plants] > 0
    return Split(planned, spent, float(zones.prevented(found).sum()), owed_is_met=True)


def _filled_up_to(zones: Zones, owner: Places, seconds: float, limits: Values) -> Values:
    """(N,): the seconds that find most, no plant taking more than its limit (P,).

    A plant that would take more gets its limit, and the others share the rest: on that lower level
    of gain it would take more still.
    """
    given = np.zeros(len(owner))
    free = np.arange(len(owner))
    left = seconds
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
            break
    return given
