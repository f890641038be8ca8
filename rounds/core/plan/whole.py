"""Who is looked at whole of those that are due, where the seconds do not hold them all.

Half a look at a plant settles nothing, so a plant gets all that it is owed or waits. Whose turn has
come is first. Of the others each one in its order that fits is taken; of what that comes to in
rounds of fewer seconds too, with the smallest added that fit, the choice that finds most is made.
So more seconds never find less, unless they let in one whose turn has come.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import NamedTuple

from rounds.core.plan.call import Turn
from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import FITS

APART_SECONDS = 15.0
"""between the rounds tried; the same ones whatever the seconds, so that more have all that fewer
have to choose from"""


class Room(NamedTuple):
    """Seconds for those that are owed a look and on which no insects are known to live."""

    whole: float
    """of the round"""
    seconds: float
    """of these, theirs"""


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
        self._turns = [plant for plant in plants if calls.turn[plant] == Turn.FIRST]
        self._others = [plant for plant in plants if calls.turn[plant] != Turn.FIRST]
        self._least = min((self._sizes[p] - self._spared[p] for p in plants), default=0.0)
        """no plant costs less"""
        self._by_size = sorted(self._others, key=lambda plant: self._sizes[plant])

    def first_turn(self) -> int | None:
        """The plant whose turn came first; None where none has come."""
        return self._turns[0] if self._turns else None

    def smallest(self) -> int:
        """The plant that takes least, the first of these."""
        return min((*self._turns, *self._others), key=lambda plant: self._sizes[plant])

    def cost_of(self, plants: Sequence[int]) -> float:
        """What whole looks at some of them take, with the walks."""
        return reduce(self._with, plants, self._start).cost

    def within(self, seconds: float, rooms: Sequence[Room]) -> tuple[int, ...]:
        """The plants that are looked at whole in so many seconds.

        Args:
            seconds: that are theirs.
            rooms: what rounds of fewer seconds leave them, the fewest first.
        """
        start = self._added(self._start, self._turns, seconds)
        choices = [self._filled_up(self._in_order(start, room), seconds) for room in rooms]
        return max(reversed(choices), key=self._worth).plants

    def _worth(self, chosen: _Chosen) -> float:
        return sum(self._found[plant] for plant in sorted(chosen.plants))

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

    def _filled_up(self, chosen: _Chosen, seconds: float) -> _Chosen:
        """The smallest of the others added, as far as they fit."""
        taken = set(chosen.plants)
        for plant in self._by_size:
            if plant not in taken:
                with_it = self._with(chosen, plant)
                if with_it.cost > seconds + FITS:
                    break
                chosen = with_it
        return chosen

    def _with(self, chosen: _Chosen, plant: int) -> _Chosen:
        more_spared = max(0.0, self._spared[plant] - chosen.spared)
        cost = chosen.cost + self._sizes[plant] - more_spared
        return _Chosen((*chosen.plants, plant), cost, chosen.spared + more_spared)
