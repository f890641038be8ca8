"""What is owed is given first, in its order, before any second goes where it gains most.

Nobody is passed over for one that comes later. So with more seconds every plant that is due gets as
much of what it is owed as with fewer, or more; only one more with insects, that could not be looked
at before, takes from the others with insects.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.call import Turn
from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import Places, Values

FITS = 1e-9
"""seconds by which a sum of floats may pass what there is"""
HALVINGS = 60


@dataclass(frozen=True, slots=True, eq=False)
class Floors:
    """The seconds that the plants that are due get at the least."""

    seconds: Values
    """(N,): of looking at each zone"""
    planned: NDArray[np.bool_]
    """(P,): it is looked at"""
    are_met: bool
    """each plant that is due gets what it is owed"""


def floors_within(calls: Calls, seconds: float) -> Floors:
    """What so many seconds hold of what is owed.

    Those with insects come first: each of them gets a look, and where they do not all fit they get
    equal shares. While others starve they leave them a part. Then come the others in their order.
    The one that does not fit whole gets what is left. Who is owed more than one plant may take
    gets the rest of it when nobody else waits.
    """
    filling = _Filling(calls, seconds)
    is_alive = calls.turn[calls.owed] == Turn.ALIVE
    alive, others = calls.owed[is_alive], calls.owed[~is_alive]
    alive_met = filling.share(alive, filling.left_by_starving())
    others_met = all(filling.give(plant) for plant in others.tolist())
    are_met = alive_met and others_met and all(filling.give_rest(p) for p in calls.owed.tolist())
    return Floors(filling.seconds, filling.planned, are_met)


class _Filling:
    """The seconds of a round while they are given out."""

    def __init__(self, calls: Calls, seconds: float) -> None:
        self._calls = calls
        self._whole = seconds
        self._left = seconds + FITS
        self._spared = 0.0
        self._least = {plant: self._shortest(plant) for plant in calls.owed.tolist()}
        self._wanted = self._wanted_of(calls.most_of(seconds))
        self.seconds = np.zeros(len(calls.owner))
        self.planned = np.zeros(len(calls.turn), dtype=bool)

    def _wanted_of(self, most: float) -> Values:
        """(P,): what each is owed, as far as one plant may take it; no less than a look takes."""
        most_of = np.full(len(self._calls.turn), most)
        for plant, shortest in self._least.items():
            most_of[plant] = max(most, shortest)
        return np.asarray(np.minimum(self._calls.needs, most_of))

    def left_by_starving(self) -> float:
        """Seconds that those with insects may take."""
        starving = np.flatnonzero(self._calls.turn == Turn.STARVING)
        if not len(starving):
            return self._left
        asked = float((self._wanted + self._calls.overhead)[starving].sum())
        return max(self._left * self._calls.shares.most_of_alive, self._left - asked)

    def share(self, plants: Places, budget: float) -> bool:
        """Give each of some plants what it wants, or equal shares; whether all got it."""
        room, spared = budget, self._spared
        chosen: list[int] = []
        least: list[float] = []
        for plant in plants.tolist():
            walk = self._calls.overhead[plant] - max(0.0, self._calls.spared[plant] - spared)
            shortest = self._least[plant]
            if walk + shortest + sum(least) > room:
                break
            room -= walk
            spared = max(spared, float(self._calls.spared[plant]))
            chosen.append(plant)
            least.append(shortest)
        given = _equal(self._wanted[chosen], np.array(least), room)
        for plant, most in zip(chosen, given, strict=True):
            self._take(plant, float(most))
        return len(chosen) == len(plants) and bool(np.all(given >= self._wanted[chosen] - FITS))

    def give(self, plant: int) -> bool:
        """Give one plant what it wants, or what is left; whether it got it."""
        calls = self._calls
        walk = calls.overhead[plant] - max(0.0, calls.spared[plant] - self._spared)
        given = min(float(self._wanted[plant]), self._left - float(walk))
        if given < self._least[plant] - FITS:
            return False
        self._take(plant, given)
        return bool(given >= self._wanted[plant] - FITS)

    def give_rest(self, plant: int) -> bool:
        """Give one plant what it is owed beyond what it could want; whether it got it."""
        rest = float(self._calls.needs[plant] - self._wanted[plant])
        given = min(rest, self._left)
        if given > FITS:
            self._left -= given
            self._put(plant, float(self._wanted[plant]) + given)
        return given >= rest - FITS

    def _take(self, plant: int, given: float) -> None:
        calls = self._calls
        walk = calls.overhead[plant] - max(0.0, calls.spared[plant] - self._spared)
        self._spared = max(self._spared, float(calls.spared[plant]))
        self._left -= given + float(walk)
        self.planned[plant] = True
        self._put(plant, given)

    def _put(self, plant: int, given: float) -> None:
        zones, calls = self._zones(plant), self._calls
        if given >= calls.needs[plant] - FITS:
            self.seconds[zones] = calls.zones.least[zones]
        else:
            self.seconds[zones] = self._cut(plant, given)

    def _zones(self, plant: int) -> Places:
        return np.flatnonzero(self._calls.owner == plant)

    def _shortest(self, plant: int) -> float:
        """What the shortest look at a plant takes."""
        looked = float(self._calls.zones.least[self._zones(plant)].sum())
        shortest = min(looked, self._calls.shares.least_seconds)
        return float(self._spent(plant, self._first(plant, shortest)))

    def _cut(self, plant: int, given: float) -> Values:
        """Seconds at the zones of a plant, fewer than the least, that take so many together."""
        low, high = 0.0, float(self._calls.zones.least[self._zones(plant)].sum())
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            if self._spent(plant, self._first(plant, middle)) <= given:
                low = middle
            else:
                high = middle
        return self._first(plant, low)

    def _spent(self, plant: int, seconds: Values) -> float:
        return float(self._calls.zones.take(self._zones(plant)).spent(seconds).sum())

    def _first(self, plant: int, looked: float) -> Values:
        """So many seconds of looking, of the least: shared over all zones, or at the best first."""
        zones = self._calls.zones.take(self._zones(plant))
        whole = float(zones.least.sum())
        if self._calls.in_one_go[plant] and whole > 0:
            return np.asarray(zones.least * (looked / whole))
        spent = zones.spent(zones.least)
        gain = np.divide(zones.prevented(zones.least), spent, out=np.zeros(len(spent)),
                         where=spent > 0)  # fmt: skip
        seconds, left = np.zeros(len(spent)), looked
        for zone in np.argsort(-gain, kind="stable"):
            seconds[zone] = min(float(zones.least[zone]), left)
            left -= seconds[zone]
        return seconds


def _equal(wanted: Values, least: Values, room: float) -> Values:
    """What each gets of `room` seconds: what it wants, at most as much as any other gets."""
    if float(wanted.sum()) <= room:
        return wanted
    low, high = 0.0, float(wanted.max(initial=0.0))
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if np.maximum(least, np.minimum(wanted, middle)).sum() <= room:
            low = middle
        else:
            high = middle
    return np.asarray(np.maximum(least, np.minimum(wanted, low)))
