"""A house full of plants with the insects on them, one by one. Only looking tells of them.

What happens on a plant on a day is drawn by season, plant and day alone: two habits meet the same
insects until one of them takes some off.
"""

from collections import Counter
from dataclasses import dataclass

import numpy as np

from rounds.core.parameters import Parameters
from tests.bench.evidence.records import APART, ROOTS, SHELVES, Look, Pot, Stand
from tests.bench.evidence.truths import Truth
from tests.proof.insects import Colonies, unlooked
from tests.proof.process import Process
from tests.proof.records import Start, ZoneLook
from tests.proof.values import ASSUMED, ESTABLISHED, NEW_ARRIVAL

SIZES = ("small", "medium", "medium", "small", "medium", "large")
"""in turn: of 24 plants 8, 12 and 4"""
BUY_EVERY = 15
"""days for each plant that is bought"""
SWING_C, SWING_DAYS = 3.0, 7
OUTBREAK = (1.0, 25.0, 5.0)
"""chance, mean number and shape on the plants of an outbreak"""
LOST_FROM = 2000
"""more insects than this, and the plant is dead"""
OF_COLLECTION, OF_START, OF_DAY, OF_LOOK, OF_LEAVING = range(5)
"""what chance is drawn for"""


@dataclass(frozen=True, slots=True)
class House:
    """How many plants there are at first, and for how long they are followed."""

    plants: int = 24
    days: int = 120
    infested: float = ESTABLISHED.infested
    """chance of each plant that was always there"""
    outbreak: frozenset[int] = frozenset()
    """numbers of plants on which many insects sit from the start, whatever chance says"""
    shelves: int = len(SHELVES)


class World:
    """One season of one house."""

    def __init__(self, parameters: Parameters, truth: Truth, house: House, seed: int) -> None:
        self.truth = truth
        self.pots: dict[str, Pot] = {}
        """those that are here, by code"""
        self.stands: dict[str, Stand] = {}
        self._parameters = parameters
        self._house = house
        self._seed = seed
        self._colonies: dict[str, Colonies] = {}
        self._numbers: dict[str, int] = {}
        sizes = {size: truth.process(parameters, size) for size in set(SIZES)}
        self._process: dict[str, Process] = sizes
        self._sizes = [SIZES[n % len(SIZES)] for n in range(house.plants)]
        self._rng(OF_COLLECTION).shuffle(self._sizes)

    def begins(self) -> list[Pot]:
        """The plants that were always there."""
        spots = -(-self._house.plants // self._house.shelves)
        return [
            self._comes(n, size, Stand(SHELVES[n // spots], n % spots + 1), day=0, q=None)
            for n, size in enumerate(self._sizes)
        ]

    def bought(self, day: int) -> list[Pot]:
        """The plants that come on a day."""
        together = self.truth.delivery
        if day < BUY_EVERY or (day - BUY_EVERY) % (BUY_EVERY * together):
            return []
        q = NEW_ARRIVAL.infested
        if together > 1:
            q = float(self._rng(OF_COLLECTION, day).beta(1, 3))
        first = len(self._numbers)
        return [
            self._comes(n, SIZES[n % len(SIZES)], self._free_spot(), day, q)
            for n in range(first, first + together)
        ]

    def _comes(self, number: int, size: str, home: Stand, day: int, q: float | None) -> Pot:
        source = f"delivery of day {day}" if q is not None and self.truth.delivery > 1 else None
        pot = Pot(f"P{number + 1:02}", size, home, day, q is not None, source)
        start = ESTABLISHED if q is None else NEW_ARRIVAL
        infested = self._house.infested if q is None else q
        mean, shape = start.mean, start.shape
        if number in self._house.outbreak:
            infested, mean, shape = OUTBREAK
        self.pots[pot.code], self._numbers[pot.code] = pot, number
        self.stands[pot.code] = home if q is None else Stand(APART, 0)
        self._colonies[pot.code] = unlooked(
            self._process[size],
            Start(infested, mean, shape),
            1,
            self._rng(OF_START, day, number),
        )
        return pot

    def _free_spot(self) -> Stand:
        """At the end of the emptiest shelf."""
        taken = Counter(pot.home.place for pot in self.pots.values())
        shelf = min(SHELVES[: self._house.shelves], key=lambda name: taken[name])
        last = max((p.home.spot for p in self.pots.values() if p.home.place == shelf), default=0)
        return Stand(shelf, last + 1)

    # the insects

    def temperature(self, day: int) -> float:
        """Of a whole day, degC; the same in every place."""
        return self.truth.mean_c + SWING_C * float(np.sin(2 * np.pi * day / SWING_DAYS))

    def live(self, day: int) -> None:
        """From the evening before to the morning of a day."""
        degree_days = self._process["small"].degree_days(*2 * (self.temperature(day - 1),))
        left = {}
        for code, colony in self._colonies.items():
            colony.rng = self._rng(OF_DAY, day, self._numbers[code])
            colony.live(degree_days, self._arriving(code))
            if len(colony.left):
                left[code] = len(colony.left)
        for code, number in left.items():
            self._land(code, number, self._rng(OF_LEAVING, day, self._numbers[code]))

    def _arriving(self, code: str) -> float:
        apart = self.stands[code].place == APART
        return ASSUMED.arrivals_apart if apart else ASSUMED.arrivals_in_collection

    def _land(self, source: str, number: int, rng: np.random.Generator) -> None:
        """Each crawler that left reaches one other plant, or none."""
        others = [code for code in self.pots if code != source]
        shares = np.array([self._share(source, other) for other in others])
        # shares may add up to more than one, a crawler lands but once
        shares /= max(1.0, shares.sum())
        landed = rng.multinomial(number, [*shares, max(0.0, 1 - shares.sum())])[:-1]
        for other, count in zip(others, landed, strict=True):
            if count:
                self._colonies[other].settle(np.zeros(count, np.int64))

    def _share(self, source: str, other: str) -> float:
        """No plant touches another, and nobody carries crawlers from the place apart."""
        here, there = self.stands[source].place, self.stands[other].place
        if here == there:
            return self._parameters.risk.same_bench
        return 0.0 if APART in (here, there) else self._parameters.risk.same_room

    def insects(self, code: str) -> int:
        """How many there are on a plant."""
        return len(self._colonies[code].kind)

    def reference_seconds(self, code: str) -> dict[str, float]:
        """Of each zone of a plant."""
        process = self._colonies[code].process
        return dict(zip(process.zones, process.reference_seconds.tolist(), strict=True))

    # what is done

    def look(self, day: int, number: int, code: str, zone: str, seconds: float) -> Look:
        """Look at a zone, and take off what is found; roots are seen out of the pot.

        `number` is the how-manieth look at the plant on the day.
        """
        colony = self._colonies[code]
        colony.rng = self._rng(OF_LOOK, day, self._numbers[code], number)
        if not len(colony.kind):
            return Look(code, zone, seconds)
        found = colony.found(ZoneLook(zone, seconds, unpotted=zone == ROOTS))
        groups = [colony.process.groups[at] for at in colony.sub_stage[colony.kind[found]]]
        colony.keep(~found)
        return Look(code, zone, seconds, dict(sorted(Counter(groups).items())))

    def put(self, code: str, *, apart: bool) -> None:
        """Carry a plant to the place apart, or home."""
        self.stands[code] = Stand(APART, 0) if apart else self.pots[code].home

    def lost(self) -> list[str]:
        """The plants that the insects kill; they are taken away."""
        dead = [code for code in self.pots if self.insects(code) > LOST_FROM]
        for code in dead:
            del self.pots[code], self.stands[code], self._colonies[code]
        return dead

    def _rng(
        self, drawn_for: int, day: int = 0, plant: int = 0, look: int = 0
    ) -> np.random.Generator:
        return np.random.default_rng([self._seed, drawn_for, day, plant, look])
