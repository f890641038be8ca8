"""The plants that could be looked at, in the shape the split takes them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.call import PlantCall, Shares, Turn
from rounds.core.plan.effort import Places, Values, Zones


@dataclass(frozen=True, eq=False)
class Calls:
    """P plants that could be looked at, in order of need, with N zones in all.

    A plant that is due gets the least seconds of its zones before anything else is weighed; the
    least seconds of the others are 0.
    """

    codes: Sequence[str]
    """(P,): break ties between plants of the same gain"""
    turn: NDArray[np.intp]
    """(P,): when it is given its seconds, a Turn"""
    latest_in: Places
    """(P,): days until it is looked at at the latest"""
    turn_in: Places
    """(P,): days until its turn has come"""
    overhead: Values
    """(P,): seconds it costs besides looking, walking and clean hands; positive"""
    spared: Values
    """(P,): of the overhead, what a round saves once where the plant is in it: no walk leads to the
    first, no clean hands follow the last; the most of those planned is saved"""
    owner: Places
    """(N,): the plant of each zone"""
    zones: Zones
    floors: Values
    """(N,): the least seconds of each zone once its plant is due"""
    counts: Values
    """(N,): the seconds from which a look at each zone counts; no less than the floors"""
    unchecked: Places
    """(P,): days since a look last counted for all of it"""
    probable: NDArray[np.bool_]
    """(P,): insects are taken to live on it by the sums alone"""
    wants_full: NDArray[np.bool_]
    """(P,): it was not fully checked for so long that a look at it shall count"""
    waits: NDArray[np.bool_]
    """(N,): it comes before better zones of its plant, where not all get what they are owed"""
    shares: Shares

    @cached_property
    def rank(self) -> Places:
        """(P,): the order of the codes."""
        return np.argsort(np.argsort(np.array([code.casefold() for code in self.codes], dtype=str)))

    @cached_property
    def owed(self) -> Places:
        """The plants that are due, in the order in which they are given their seconds."""
        due = np.flatnonzero(self.turn < Turn.GAIN)
        return due[np.argsort(self.turn[due], kind="stable")]

    @cached_property
    def needs(self) -> Values:
        """(P,): what each plant takes once it is due, with the handling of what is found."""
        return self.by_plant(self.zones.spent(self.floors))

    @cached_property
    def harm(self) -> Values:
        """(P,): what the insects in reach on each plant would cause."""
        return self.by_plant(self.zones.harm.sum(axis=1))

    @cached_property
    def usual(self) -> Values:
        """(P,): what a look of the reference seconds takes, with the handling of what is found."""
        return self.by_plant(self.zones.spent(self.zones.most / self.shares.credited_at_most))

    @property
    def needed_seconds(self) -> float:
        """The fewest seconds in which each plant that is due gets its least."""
        owed = self.owed
        return float(self.needs[owed].sum()) + self.overhead_of(owed)

    def most_of(self, seconds: float) -> float:
        """Seconds that one plant may take of so many, with handling, while others wait."""
        if len(self.owed) < 2:
            return np.inf
        return self.round_of(seconds) * self.shares.most_of_one

    @property
    def most_of_usual(self) -> float:
        """Seconds that one plant may take of a usual round, with handling, while others wait."""
        if len(self.owed) < 2:
            return np.inf
        return self.shares.later_seconds * self.shares.most_of_one

    def round_of(self, seconds: float) -> float:
        """The seconds of the whole round, where so many are left of it."""
        return max(seconds, self.shares.whole_seconds)

    def by_plant(self, of_zones: Values) -> Values:
        """(P,): the sum over the zones of each plant."""
        return np.asarray(np.bincount(self.owner, of_zones, len(self.turn)))

    def overhead_of(self, plants: Places) -> float:
        """Seconds some plants cost together besides looking."""
        if not len(plants):
            return 0.0
        return float(self.overhead[plants].sum() - self.spared[plants].max())

    def zones_of(self, plants: Places) -> Places:
        """Numbers of the zones of some plants."""
        chosen = np.zeros(len(self.turn), dtype=bool)
        chosen[plants] = True
        return np.flatnonzero(chosen[self.owner])


def calls_of(plants: Sequence[PlantCall], shares: Shares) -> Calls:
    """Plants as the arrays that the split works on.

    Args:
        plants: in order of need.
        shares: how the seconds are shared out.
    """
    zones = [zone for plant in plants for zone in plant.zones]
    reference = np.array([zone.reference_seconds for zone in zones])
    stages = max((len(plant.found_in_reach) for plant in plants), default=0)
    rates = {
        chances: _filled_up(-np.log1p(-np.array(chances)), stages, 1.0)
        for chances in {plant.found_in_reach for plant in plants}
    }
    of_zones = [rates[plant.found_in_reach] for plant in plants for _ in plant.zones]
    harm = np.array([_filled_up(zone.harm, stages, 0.0) for zone in zones])
    harm = harm.reshape(len(zones), stages)
    by_stage = np.array(of_zones).reshape(len(zones), stages)
    found = (harm * -np.expm1(-by_stage)).sum(axis=1)
    handled = np.array([zone.handling_seconds for zone in zones])
    turn = np.array([plant.turn for plant in plants], dtype=np.intp)
    owner = np.repeat(
        np.arange(len(plants)), np.array([len(plant.zones) for plant in plants], dtype=int)
    )
    floors = np.array([zone.least_seconds for zone in zones])
    counts = np.array([zone.counts_seconds for zone in zones])
    return Calls(
        codes=[plant.code for plant in plants],
        turn=turn,
        latest_in=np.array([plant.latest_in_days for plant in plants], dtype=np.intp),
        turn_in=np.array([plant.turn_in_days for plant in plants], dtype=np.intp),
        overhead=np.array([plant.overhead_seconds for plant in plants]),
        spared=np.array([plant.spared_seconds for plant in plants]),
        owner=owner,
        zones=Zones(
            harm=harm,
            rates=by_stage / reference[:, None],
            least=np.where(turn[owner] < Turn.GAIN, floors, 0.0),
            most=shares.credited_at_most * reference,
            handling=np.divide(handled, found, out=np.zeros(len(zones)), where=found > 0),
        ),
        floors=floors,
        counts=np.maximum(floors, counts),
        unchecked=np.array([plant.unchecked_days for plant in plants], dtype=np.intp),
        probable=np.array([plant.is_probable for plant in plants], dtype=bool),
        wants_full=np.array([plant.wants_full for plant in plants], dtype=bool),
        waits=np.array([zone.waits for zone in zones], dtype=bool),
        shares=shares,
    )


def _filled_up(by_stage: Iterable[float], stages: int, rest: float) -> list[float]:
    """Values by stage, padded with `rest` to the number of stages of the pest with most."""
    values = list(by_stage)
    return values + [rest] * (stages - len(values))
