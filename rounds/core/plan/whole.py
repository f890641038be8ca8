"""Who is looked at whole of those that are due, where the seconds do not hold them all.

Half a look at a plant settles nothing, so a plant gets all that it is owed or waits. Whose turn has
come is first. Of the others each one in its order that fits is taken; of what that comes to in
rounds of fewer seconds too, with the smallest added that fit, the choice that finds most is made.
So more seconds never find less, unless they let in one whose turn has come.

Where one more fits but for a moment, the short looks give it in equal shares: they do not count as
a full check in any case.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import NamedTuple

import numpy as np

from rounds.core.plan.call import Turn
from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import FITS

APART_SECONDS = 15.0
"""between the rounds tried; the same ones whatever the seconds, so that more have all that fewer
have to choose from"""


MOST_LACKING = 1.0
"""seconds that whole looks may lack together"""
LACKING_SHARE = 0.05
"""of its least seconds, that a short look may lack"""


class Room(NamedTuple):
    """Seconds for those that are owed a look and on which no insects are known to live."""

    whole: float
    """of the round"""
    seconds: float
    """of these, theirs"""


class Looks(NamedTuple):
    """Plants that are looked at whole."""

    plants: tuple[int, ...]
    short: frozenset[int]
    """those of them whose looks give what the seconds lack"""
    share: float
    """of the least seconds, that these get"""


NO_LOOKS = Looks((), frozenset(), 1.0)


@dataclass(frozen=True, slots=True)
class _Chosen:
    plants: tuple[int, ...]
    cost: float
    spared: float
    """of the cost, already subtracted"""


class WholeLooks:
    """The plants that are due with no insects known on them, and what each takes whole."""

    def __init__(self, calls: Calls, plants: Sequence[int], spared: float) -> None:
        """
        Args:
            calls: all plants.
            plants: those meant, in their order.
            spared: overhead seconds that the plants planned already save the round.
        """
        self._calls = calls
        self._start = _Chosen((), 0.0, spared)
        self._looks = calls.needs.tolist()
        self._sizes = (calls.needs + calls.overhead).tolist()
        self._spared = calls.spared.tolist()
        self._found: list[float] = calls.by_plant(calls.zones.prevented(calls.floors)).tolist()
        counts = (calls.floors > 0) & (calls.floors >= calls.counts - FITS)
        self._is_short: list[bool] = (calls.by_plant(counts.astype(float)) == 0).tolist()
        """a look of its least seconds does not count, so that a moment less costs nothing"""
        self._looked: list[float] = calls.by_plant(calls.floors).tolist()
        self._turns = [plant for plant in plants if calls.turn[plant] == Turn.FIRST]
        self._others = [plant for plant in plants if calls.turn[plant] != Turn.FIRST]
        self._least = min((self._sizes[p] - self._spared[p] for p in plants), default=0.0)
        """no plant costs less"""
        self._by_size = sorted(
            self._others, key=lambda plant: (self._sizes[plant], not self._is_short[plant])
        )

    def first_turn(self) -> int | None:
        """The plant whose turn came first; None where none has come."""
        return self._turns[0] if self._turns else None

    def smallest(self) -> int:
        """The plant that takes least, the first of these."""
        return min((*self._turns, *self._others), key=lambda plant: self._sizes[plant])

    def cost_of(self, plants: Sequence[int]) -> float:
        """What whole looks at some of them take, with the walks."""
        return reduce(self._with, plants, self._start).cost

    def within(self, seconds: float, rooms: Sequence[Room]) -> Looks:
        """The plants that are looked at whole in so many seconds.

        Args:
            seconds: that are theirs.
            rooms: what rounds of fewer seconds leave them, the fewest first.
        """
        start = self._turns_within(seconds)
        choices: list[_Chosen] = []
        for room in rooms:
            choices += self._filled_up(self._in_order(start, room), seconds)
        found = max(reversed(choices), key=lambda chosen: self._worth(chosen, seconds))
        short = frozenset(plant for plant in found.plants if self._is_short[plant])
        return Looks(found.plants, short, self._share_of(found, seconds))

    def _worth(self, chosen: _Chosen, seconds: float) -> float:
        found = sum(self._found[plant] for plant in sorted(chosen.plants))
        share = self._share_of(chosen, seconds)
        if share == 1:
            return found
        calls = self._calls
        is_short = np.zeros(len(calls.turn), dtype=bool)
        is_short[[plant for plant in chosen.plants if self._is_short[plant]]] = True
        here = np.flatnonzero(is_short[calls.owner])
        zones, floors = calls.zones.take(here), calls.floors[here]
        return found - float((zones.prevented(floors) - zones.prevented(share * floors)).sum())

    def _share_of(self, chosen: _Chosen, seconds: float) -> float:
        """The share of their least seconds that its short looks get, so that all of them fit."""
        lacks = chosen.cost - seconds
        return 1.0 if lacks <= FITS else 1 - lacks / self._looked_short(chosen)

    def _looked_short(self, chosen: _Chosen) -> float:
        """Seconds of looking of its short looks."""
        return sum(self._looked[plant] for plant in sorted(chosen.plants) if self._is_short[plant])

    def _fits(self, chosen: _Chosen, seconds: float) -> bool:
        """Whether all of it fits but for a moment that its short looks can give."""
        most = min(MOST_LACKING, LACKING_SHARE * self._looked_short(chosen))
        return chosen.cost <= seconds + max(most, FITS)

    def _turns_within(self, seconds: float) -> _Chosen:
        """Each whose turn has come that still fits, in their order."""
        chosen = self._start
        for plant in self._turns:
            with_it = self._with(chosen, plant)
            if self._fits(with_it, seconds):
                chosen = with_it
        return chosen

    def _in_order(self, start: _Chosen, room: Room) -> _Chosen:
        """Each that still fits, in their order; last who takes more than one plant may."""
        most = self._calls.most_of(room.whole) + FITS
        usual = (plant for plant in self._others if self._looks[plant] <= most)
        large = (plant for plant in self._others if self._looks[plant] > most)
        return self._added(self._added(start, usual, room.seconds), large, room.seconds)

    def _added(self, chosen: _Chosen, plants: Iterable[int], seconds: float) -> _Chosen:
        for plant in plants:
            if chosen.cost + self._least > seconds + FITS:
                break
            with_it = self._with(chosen, plant)
            if with_it.cost <= seconds + FITS:
                chosen = with_it
        return chosen

    def _filled_up(self, chosen: _Chosen, seconds: float) -> Iterator[_Chosen]:
        """The smallest of the others added as far as they fit; one more that nearly does."""
        taken = set(chosen.plants)
        for plant in self._by_size:
            if plant not in taken:
                with_it = self._with(chosen, plant)
                if with_it.cost > seconds + FITS:
                    yield chosen
                    if self._fits(with_it, seconds):
                        yield with_it
                    return
                chosen = with_it
        yield chosen

    def _with(self, chosen: _Chosen, plant: int) -> _Chosen:
        more_spared = max(0.0, self._spared[plant] - chosen.spared)
        cost = chosen.cost + self._sizes[plant] - more_spared
        return _Chosen((*chosen.plants, plant), cost, chosen.spared + more_spared)
