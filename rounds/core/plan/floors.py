"""What is owed is given first, in its order, before any second goes where it gains most.

Those with insects come first, and leave the others what these need a day so that nobody starves.
Each of the others gets a whole look or waits. Where all that is due is held, looks that nearly
count are made to count; then plants that would come due on the days ahead, more than these hold,
are looked at before.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.call import Turn
from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import FITS, HALVINGS, Places, Values, partly
from rounds.core.plan.wave import each_day, of_today
from rounds.core.plan.whole import APART_SECONDS, NO_LOOKS, Room, WholeLooks


@dataclass(frozen=True, slots=True, eq=False)
class Floors:
    """The seconds that plants get at the least."""

    seconds: Values
    """(N,): of looking at each zone"""
    planned: NDArray[np.bool_]
    """(P,): it is looked at"""
    owed_is_met: bool
    """each plant that is due gets what it is owed"""
    are_met: bool
    """looks that nearly count do, and each plant that is brought forward gets its own"""


def floors_within(calls: Calls, seconds: float) -> Floors:
    """What so many seconds hold of what is owed, and of what is brought forward.

    Each plant with insects gets a look, and where they do not all fit they get equal shares. Who is
    owed more than one plant may take gets the rest of it when nobody else waits.
    """
    filling = _Filling(calls, seconds)
    owed_is_met = filling.give_owed()
    are_met = owed_is_met and filling.look_ahead()
    return Floors(filling.seconds, filling.planned, owed_is_met, are_met)


class _Filling:
    """The seconds of a round while they are given out."""

    def __init__(self, calls: Calls, seconds: float) -> None:
        self._calls = calls
        self._whole = seconds
        self._left = seconds
        self._spared = 0.0
        is_alive = calls.turn[calls.owed] == Turn.ALIVE
        self._alive = calls.owed[is_alive]
        self._waiting: list[int] = calls.owed[~is_alive].tolist()
        self._early: list[int] = []
        """brought forward"""
        self._is_used_up = False
        """short looks gave a moment, so that one more fitted"""
        self._least = np.array([self._shortest(plant) for plant in self._alive.tolist()])
        others, sizes = calls.turn != Turn.ALIVE, calls.needs + calls.overhead
        a_day = min(
            each_day(sizes[others], calls.turn_in[others]), float(sizes[self._waiting].sum())
        )
        self._walks = calls.overhead_of(self._alive)
        looks = WholeLooks(calls, self._waiting, calls.spared[self._alive].max(initial=0.0))
        self._looks = looks
        turn = looks.first_turn()
        self._turn_asks = 0.0 if turn is None else looks.cost_of((turn,))
        self._kept = max(a_day, self._turn_asks)
        """kept for those on which no insects are known to live"""
        self.seconds = np.zeros(len(calls.owner))
        self.planned = np.zeros(len(calls.turn), dtype=bool)

    def give_owed(self) -> bool:
        """Give what is due its seconds; whether all of it got them."""
        turn = self._looks.first_turn()
        room = self._room_of(self._whole)
        is_too_long = turn is not None and self._turn_asks > room + FITS
        chosen = NO_LOOKS if is_too_long else self._looks.within(room, self._rooms())
        wanted = self._wanted(self._whole)
        alive_met = self._share(wanted, self._room_for_alive(self._looks.cost_of(chosen.plants)))
        for plant in chosen.plants:
            self._look(plant, chosen.share if plant in chosen.short else 1.0)
        if turn is not None and is_too_long:
            self._give_part(turn)
        elif self._waiting and not self.planned.any():
            self._give_part(self._looks.smallest())
        self._is_used_up = chosen.share < 1
        if not alive_met or len(chosen.plants) < len(self._waiting):
            return False
        pairs = zip(self._alive.tolist(), wanted, strict=True)
        rests = [self._give_rest(plant, float(most)) for plant, most in pairs]
        return all(rests)

    def look_ahead(self) -> bool:
        """Once all that is owed is given: have looks count, bring others forward; is all done?"""
        if self._is_used_up or not self._have_count(self._waiting):
            return False
        is_done = self._bring_forward()
        return is_done and self._have_count(self._early)

    def _have_count(self, plants: Sequence[int]) -> bool:
        """Lengthen looks over whole plants that nearly count, so that they do; whether all do.

        The shortest looks come first; of equal ones who was never fully checked, then who was not
        for longest. None gets more by it than one plant may take of a usual round: who may is the
        same whatever the seconds, as one more would take what others gain by.
        """
        calls, most = self._calls, self._calls.most_of_usual
        looks = np.round(calls.by_plant(calls.counts), 1)
        short = [plant for plant in plants if self._nearly_counts(plant)]
        for plant in sorted(short, key=lambda plant: (looks[plant], -calls.unchecked[plant])):
            here, needs = self._zones(plant), float(calls.needs[plant])
            zones, counts = calls.zones.take(here), calls.counts[here]
            looked = float(zones.spent(counts).sum())
            asked = looked - needs
            if looked > most + FITS:
                continue
            if asked > self._left + FITS:
                # zone after zone, so that what is lengthened counts there
                self.seconds[here] = partly(zones, calls.floors[here], counts, needs + self._left)
                return False
            self.seconds[here] = counts
            self._left -= asked
        return True

    def _nearly_counts(self, plant: int) -> bool:
        """Whether a look at it shall count, and all of it is looked at, but too briefly."""
        zones = self._zones(plant)
        floors, counts = self._calls.floors[zones], self._calls.counts[zones]
        is_near = bool((floors > 0).all() and (floors < counts - FITS).any())
        return is_near and bool(self._calls.wants_full[plant])

    def _bring_forward(self) -> bool:
        """Look at who comes due on the days ahead, as far as these do not hold it; is that done?

        Those come first whose latest day does; the first that does not fit gets its best zones.
        """
        calls = self._calls
        sizes = calls.needs + calls.overhead
        others = np.flatnonzero(calls.turn != Turn.ALIVE)
        of_alive = float(calls.needs[self._alive].sum()) + self._walks
        # the same whatever the seconds of this round, so that more of them bring no fewer forward
        later = max(0.0, calls.shares.later_seconds - of_alive) * calls.shares.ahead
        asked = of_today(sizes[others], calls.latest_in[others], later)
        asked -= float(sizes[self._waiting].sum())
        early = others[calls.turn[others] == Turn.GAIN]
        for plant in early[np.argsort(calls.latest_in[early], kind="stable")].tolist():
            if asked <= FITS:
                break
            if self._cost(plant) > self._left + FITS:
                self._give_part(plant)
                return False
            self._take(plant, float(calls.needs[plant]))
            self._early.append(plant)
            asked -= float(sizes[plant])
        return True

    # those with insects

    def _wanted(self, seconds: float) -> Values:
        """(A,): what each is owed, as far as one plant may take it; no less than a look takes."""
        needs = self._calls.needs[self._alive]
        return np.asarray(np.maximum(np.minimum(needs, self._calls.most_of(seconds)), self._least))

    def _for_alive(self, seconds: float) -> float:
        """Of so many seconds, those that plants with insects may take.

        The others keep what they need a day so that nobody starves, and a whole look at the one
        whose turn came first, as long as that leaves those with insects their share, and each of
        them a short look. What is kept is the same whatever the seconds, so that more of them give
        nobody less.
        """
        shortest = min(seconds, float(self._least.sum()) + self._walks)
        return max(seconds * self._calls.shares.most_of_alive, seconds - self._kept, shortest)

    def _room_for_alive(self, others: float) -> float:
        """Seconds for those with insects, where the looks at the others take so many.

        What these leave of what is kept for them comes back, where more minutes would not have
        them keep more: else more minutes could give those with insects less.
        """
        seconds = self._for_alive(self._whole)
        kept = self._whole - seconds
        is_fixed = abs(kept - self._kept) <= FITS
        return max(seconds, self._whole - others) if is_fixed else seconds

    def _share(self, wanted: Values, room: float) -> bool:
        """Give each of those with insects what it wants, or equal shares; whether all got it.

        Where that is known they come first; the others, where the sums alone say so, then share
        what these leave, each a short look at the least.
        """
        chosen: list[int] = []
        for plant, shortest in zip(self._alive.tolist(), self._least, strict=True):
            asked = self._walk(plant) + shortest + float(self._least[: len(chosen)].sum())
            if asked > room + FITS:
                break
            room -= self._walk(plant)
            self._visit(plant)
            chosen.append(plant)
        number = len(chosen)
        given = self._shared(wanted[:number], self._least[:number], room)
        for plant, most in zip(chosen, given, strict=True):
            self._left -= float(most)
            self._put(plant, float(most))
        return number == len(self._alive) and bool(np.all(given >= wanted - FITS))

    def _shared(self, wanted: Values, least: Values, room: float) -> Values:
        """What each of those with insects that are looked at gets of `room` seconds."""
        probable = self._calls.probable[self._alive[: len(wanted)]]
        given = np.zeros(len(wanted))
        for of in (~probable, probable):
            kept = float(least[probable & ~of].sum())
            given[of] = _equal(wanted[of], least[of], room - kept)
            room -= float(given[of].sum())
        return given

    def _give_rest(self, plant: int, had: float) -> bool:
        """Give one with insects what it is owed beyond what it could want; whether it got it."""
        rest = float(self._calls.needs[plant]) - had
        given = min(rest, self._left)
        if given > FITS:
            self._left -= given
            self._put(plant, had + given)
        return given >= rest - FITS

    # the others

    def _give_part(self, plant: int) -> None:
        """Give its best zones to one that does not fit whole: that is better than no look at all.

        What was seen of it lately need not be seen again the next time.
        """
        given = self._left - self._walk(plant)
        if given >= self._shortest(plant):
            self._take(plant, given)

    def _rooms(self) -> list[Room]:
        """What those with insects leave of these seconds and of fewer, each time it is more."""
        rooms: list[Room] = []
        for whole in np.arange(0.0, self._whole + FITS, APART_SECONDS).tolist():
            room = Room(whole, self._room_of(whole))
            if not rooms or room.seconds > rooms[-1].seconds + FITS:
                rooms.append(room)
        return rooms

    def _room_of(self, seconds: float) -> float:
        wanted = float(self._wanted(seconds).sum()) + self._walks
        return max(0.0, seconds - min(wanted, self._for_alive(seconds)))

    # giving

    def _walk(self, plant: int) -> float:
        spared = max(0.0, float(self._calls.spared[plant]) - self._spared)
        return float(self._calls.overhead[plant]) - spared

    def _cost(self, plant: int) -> float:
        return self._walk(plant) + float(self._calls.needs[plant])

    def _visit(self, plant: int) -> None:
        self._left -= self._walk(plant)
        self._spared = max(self._spared, float(self._calls.spared[plant]))
        self.planned[plant] = True

    def _look(self, plant: int, share: float) -> None:
        """A look at all its zones, for so much of their least seconds."""
        here = self._zones(plant)
        seconds = share * self._calls.floors[here]
        self._visit(plant)
        self.seconds[here] = seconds
        self._left -= float(self._calls.zones.take(here).spent(seconds).sum())

    def _take(self, plant: int, given: float) -> None:
        self._visit(plant)
        self._left -= given
        self._put(plant, given)

    def _put(self, plant: int, given: float) -> None:
        zones, calls = self._zones(plant), self._calls
        if given >= calls.needs[plant] - FITS:
            self.seconds[zones] = calls.floors[zones]
        else:
            self.seconds[zones] = self._cut(plant, given)

    def _zones(self, plant: int) -> Places:
        return np.flatnonzero(self._calls.owner == plant)

    def _shortest(self, plant: int) -> float:
        """What the shortest look at a plant takes."""
        here = self._zones(plant)[self._order(plant)]
        least = self._calls.floors[here]
        before = np.cumsum(least) - least
        looked = np.clip(self._calls.shares.least_seconds - before, 0.0, least)
        return float(self._calls.zones.take(here).spent(looked).sum())

    def _cut(self, plant: int, given: float) -> Values:
        """Seconds at the zones of a plant, fewer than the least, that take so many together."""
        order = self._order(plant)
        here = self._zones(plant)[order]
        least = self._calls.floors[here]
        seconds = np.zeros(len(here))
        seconds[order] = partly(self._calls.zones.take(here), np.zeros(len(here)), least, given)
        return seconds

    def _order(self, plant: int) -> Places:
        """In which order a plant's zones are looked at: those that wait, then the best first."""
        here = self._zones(plant)
        zones, least = self._calls.zones.take(here), self._calls.floors[here]
        spent = zones.spent(least)
        gain = np.divide(zones.prevented(least), spent, out=np.zeros(len(spent)),
                         where=spent > 0)  # fmt: skip
        return np.lexsort((-gain, ~self._calls.waits[here]))


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
