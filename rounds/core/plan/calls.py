"""The plants that could be looked at, in the shape the split takes them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.call import PlantCall
from rounds.core.plan.effort import Places, Values, Zones, seconds_at

SAME = 9
"""decimals to which the logarithm of a gain is rounded; ties are ordered by code"""
MOST_TRIES = 50


@dataclass(frozen=True, eq=False)
class Calls:
    """P plants that could be looked at, in order of need, with N zones in all.

    A plant that must be looked at gets the least seconds of its zones or is left out; the least
    seconds of the others are 0.
    """

    codes: Sequence[str]
    """(P,): break ties between plants of the same gain"""
    must: NDArray[np.bool_]
    """(P,): it is looked at before anything else is weighed"""
    overhead: Values
    """(P,): seconds it costs besides looking, walking and clean hands; positive"""
    spared: Values
    """(P,): of the overhead, what a round saves once where the plant is in it: no walk leads to the
    first, no clean hands follow the last; the most of those planned is saved"""
    owner: Places
    """(N,): the plant of each zone"""
    zones: Zones

    @cached_property
    def entry(self) -> Values:
        """(P,): the most harm found per second that a plant allows, its overhead counted in.

        The greatest ratio of harm found to seconds spent, as a fixed point (Dinkelbach 1967): the
        ratio grows with each step until it stays.
        """
        level = self._ratio(np.minimum(self.zones.most, 60.0))
        for _ in range(MOST_TRIES):
            useful = np.maximum(level, np.finfo(float).tiny)
            better = np.maximum(level, self._ratio(seconds_at(self.zones, useful[self.owner])))
            if np.all(better <= level * (1 + 1e-12)):
                break
            level = better
        return level

    @cached_property
    def others(self) -> Places:
        """Numbers of the plants that need not be looked at, highest `entry` first, none of 0."""
        rank = np.argsort(np.argsort(np.array([code.casefold() for code in self.codes], dtype=str)))
        gain = np.round(np.log(np.maximum(self.entry, np.finfo(float).tiny)), SAME)
        ordered = np.lexsort((rank, -gain))
        return np.asarray(ordered[~self.must[ordered] & (self.entry[ordered] > 0)])

    def _ratio(self, seconds: Values) -> Values:
        found = np.bincount(self.owner, self.zones.prevented(seconds), len(self.must))
        spent = np.bincount(self.owner, seconds, len(self.must)) + self.overhead
        return np.asarray(found / spent)

    @property
    def least_seconds(self) -> float:
        """Least seconds of the plants that must be looked at, their overhead counted in."""
        must = np.flatnonzero(self.must)
        return float(self.zones.least[self.zones_of(must)].sum()) + self.overhead_of(must)

    def overhead_of(self, plants: Places) -> float:
        """Seconds some plants cost together besides looking."""
        if not len(plants):
            return 0.0
        return float(self.overhead[plants].sum() - self.spared[plants].max())

    def zones_of(self, plants: Places) -> Places:
        """Numbers of the zones of some plants."""
        chosen = np.zeros(len(self.must), dtype=bool)
        chosen[plants] = True
        return np.flatnonzero(chosen[self.owner])


def calls_of(plants: Sequence[PlantCall], credited_at_most: float) -> Calls:
    """Plants as the arrays that the split works on.

    Args:
        plants: in order of need.
        credited_at_most: times the reference seconds beyond which none are credited.
    """
    zones = [zone for plant in plants for zone in plant.zones]
    reference = np.array([zone.reference_seconds for zone in zones])
    stages = max((len(plant.found_in_reach) for plant in plants), default=0)
    rates = {
        found: _filled_up(-np.log1p(-np.array(found)), stages, 1.0)
        for found in {plant.found_in_reach for plant in plants}
    }
    of_zones = [rates[plant.found_in_reach] for plant in plants for _ in plant.zones]
    harm = [_filled_up(zone.harm, stages, 0.0) for zone in zones]
    return Calls(
        codes=[plant.code for plant in plants],
        must=np.array([plant.must for plant in plants], dtype=bool),
        overhead=np.array([plant.overhead_seconds for plant in plants]),
        spared=np.array([plant.spared_seconds for plant in plants]),
        owner=np.repeat(
            np.arange(len(plants)), np.array([len(plant.zones) for plant in plants], dtype=int)
        ),
        zones=Zones(
            harm=np.array(harm).reshape(len(zones), stages),
            rates=np.array(of_zones).reshape(len(zones), stages) / reference[:, None],
            least=np.array([zone.least_seconds for zone in zones]),
            most=credited_at_most * reference,
        ),
    )


def _filled_up(by_stage: Iterable[float], stages: int, rest: float) -> list[float]:
    """Values by stage, padded with `rest` to the number of stages of the pest with most."""
    values = list(by_stage)
    return values + [rest] * (stages - len(values))
