"""Whole insects on whole plants, day by day: the truth a season of looks sees a part of.

Every chance is decided by plain uniform draws, which numpy gives alike in all its versions, so
that a season comes out the same wherever it is made.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rounds.core.body import MEDIUM, ROOTS, Body
from rounds.core.parameters import Kills, Parameters

REFERENCE_DAY = 14.0
"""degree-days of the day survival is given for"""
EGGS_A_DAY = 11.0
"""female eggs of one laying adult on a warm day: an assumption, no source"""
WARM_DAY = 15.0
"""degree-days from which laying goes no faster: an assumption, no source"""
LEAVES = 0.02
"""share of the crawlers that leave the plant they hatched on: an assumption, no source"""
STAYS = 0.5
"""share of the others that stay where they hatched: an assumption, no source"""
SAC_GONE = 0.7
"""chance that an egg in reach goes along with a laying adult and her sac: an assumption"""

Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]
Values = NDArray[np.float64]


class Biology:
    """The parameter table by type, that is by sub-stage: egg 0, 1, 2, first nymph 3, ..."""

    def __init__(self, parameters: Parameters) -> None:
        pest = parameters.pests[parameters.default_pest]
        self.warmth, self.rules, stages = pest.warmth, pest.rules["default"], pest.stages
        self.codes = tuple(stage.code for stage in stages)
        self.stage: Numbers = np.repeat(np.arange(len(stages)), [s.sub_stages for s in stages])
        self.survival = self._by_type([s.daily_survival for s in stages])
        self.exchange = self._by_type([s.daily_exchange for s in stages])
        self.found_in_reach = self._by_type([s.found_in_reach for s in stages])
        self.found_out_of_pot = self._by_type([s.found_out_of_pot for s in stages])
        self.make_up = self._by_type([s.make_up / s.sub_stages for s in stages])
        self.length = self._by_type(
            [math.inf if s.degree_days is None else s.degree_days / s.sub_stages for s in stages]
        )
        self.eggs = stages[0].sub_stages
        self.laying = len(self.stage) - 1

    def _by_type(self, values: list[float]) -> Values:
        return np.asarray(values, dtype=float)[self.stage]


@dataclass(frozen=True, slots=True)
class Found:
    """Insects one look found: their places in the plant's list, and the stage of each."""

    where: Numbers
    stages: tuple[str, ...]


@dataclass
class Colony:
    """The living insects of one plant: type, zone and reach of each, in lists of one length."""

    biology: Biology
    body: Body
    rng: np.random.Generator
    types: Numbers = field(default_factory=lambda: np.empty(0, np.int64))
    zones: Numbers = field(default_factory=lambda: np.empty(0, np.int64))
    tucked: Flags = field(default_factory=lambda: np.empty(0, np.bool_))

    def __post_init__(self) -> None:
        zones = self.body.zones
        self._codes = [zone.zone for zone in zones]
        self._weights = np.cumsum([zone.weight for zone in zones])
        self._tucked_share = np.asarray([zone.tucked_share for zone in zones])

    def begin(self, mean: float) -> None:
        """The infestation a plant starts with: Poisson(`mean`) insects of every stage."""
        count = _poisson(mean, self.rng.random(1))[0]
        self._settle(_draw(self.biology.make_up, self.rng.random(count)))

    def arrive(self, crawlers: int) -> None:
        """Crawlers come from elsewhere and settle."""
        self._settle(np.full(crawlers, self.biology.eggs))

    def day(self, degree_days: float) -> int:
        """One day of life; the number of crawlers that left the plant."""
        biology = self.biology
        lived = biology.survival[self.types] ** (degree_days / REFERENCE_DAY)
        self._keep(self.rng.random(len(self.types)) < lived)
        began_as = self.types
        further = np.minimum(1.0, degree_days / biology.length[began_as])
        self.types = began_as + (self.rng.random(len(began_as)) < further)
        eggs = self._eggs_laid(began_as == biology.laying, degree_days)
        left = self._hatch((began_as < biology.eggs) & (self.types == biology.eggs))
        self._exchange(min(1.0, degree_days / REFERENCE_DAY))
        self._add(*eggs)
        return left

    def look(self, zone: str, seconds: float, *, unpotted: bool) -> Found:
        """What `seconds` of searching find: exponential search (Koopman 1946)."""
        reference = self.body.zone(zone).reference_seconds
        once = self.biology.found_out_of_pot if unpotted else self.biology.found_in_reach
        within = self.zones == self._codes.index(zone)
        if not (unpotted and zone == ROOTS):
            within &= ~self.tucked
        found = 1 - (1 - once[self.types]) ** (seconds / reference)
        where = np.flatnonzero(within & (self.rng.random(len(self.types)) < found))
        stages = self.biology.stage[self.types[where]]
        return Found(where, tuple(self.biology.codes[stage] for stage in stages))

    def remove(self, where: Numbers) -> None:
        """Some insects are gone."""
        keep = np.ones(len(self.types), np.bool_)
        keep[where] = False
        self._keep(keep)

    def treat(self, kills: Kills) -> None:
        """A treatment is used, after the looks of the day."""
        below = np.isin(self.zones, [self._codes.index(zone) for zone in (MEDIUM, ROOTS)])
        above = np.where(self.types < self.biology.eggs, kills.eggs, kills.in_reach)
        dead = np.where(below, kills.below, np.where(self.tucked, kills.tucked, above))
        self._keep(self.rng.random(len(self.types)) >= dead)

    def eggs_in_reach(self, zone: str) -> Numbers:
        """Where the eggs lie that can be seen in a zone."""
        there = (self.zones == self._codes.index(zone)) & ~self.tucked
        return np.flatnonzero(there & (self.types < self.biology.eggs))

    def lose_sac(self, zone: str) -> None:
        """The eggs in reach of a zone, after a laying adult was taken off with her sac."""
        eggs = self.eggs_in_reach(zone)
        self.remove(eggs[self.rng.random(len(eggs)) < SAC_GONE])

    def _eggs_laid(self, laying: Flags, degree_days: float) -> tuple[Numbers, Numbers, Flags]:
        mean = EGGS_A_DAY * min(1.0, degree_days / WARM_DAY)
        eggs = _poisson(mean, self.rng.random(int(laying.sum())))
        zones, tucked = self.zones[laying], self.tucked[laying]
        return np.zeros(eggs.sum(), np.int64), np.repeat(zones, eggs), np.repeat(tucked, eggs)

    def _hatch(self, hatched: Flags) -> int:
        """Newly hatched crawlers leave, stay or settle elsewhere on the plant."""
        where = np.flatnonzero(hatched)
        drawn = self.rng.random(len(where))
        wander = where[drawn >= LEAVES + (1 - LEAVES) * STAYS]
        self.zones[wander], self.tucked[wander] = self._places(len(wander))
        leaving = where[drawn < LEAVES]
        self.remove(leaving)
        return len(leaving)

    def _exchange(self, moving: float) -> None:
        share = self._tucked_share[self.zones]
        other_side = np.where(self.tucked, 1 - share, share)
        exchange = self.biology.exchange[self.types] * moving
        moves = self.rng.random(len(self.types)) < exchange * other_side
        self.tucked = self.tucked ^ moves

    def _places(self, count: int) -> tuple[Numbers, Flags]:
        zones = np.searchsorted(self._weights / self._weights[-1], self.rng.random(count))
        return zones, self.rng.random(count) < self._tucked_share[zones]

    def _settle(self, types: Numbers) -> None:
        self._add(types, *self._places(len(types)))

    def _add(self, types: Numbers, zones: Numbers, tucked: Flags) -> None:
        self.types = np.concatenate([self.types, types])
        self.zones = np.concatenate([self.zones, zones])
        self.tucked = np.concatenate([self.tucked, tucked])

    def _keep(self, keep: Flags) -> None:
        self.types, self.zones = self.types[keep], self.zones[keep]
        self.tucked = self.tucked[keep]


def _draw(shares: Values, uniform: Values) -> Numbers:
    cumulative = np.cumsum(shares)
    return np.searchsorted(cumulative / cumulative[-1], uniform)


def _poisson(mean: float, uniform: Values) -> Numbers:
    """Poisson numbers by inversion of uniform ones."""
    if mean == 0:
        return np.zeros(len(uniform), np.int64)
    most = int(mean + 12 * math.sqrt(mean) + 20)
    log_chance = [n * math.log(mean) - mean - math.lgamma(n + 1) for n in range(most)]
    return np.searchsorted(np.cumsum(np.exp(log_chance)), uniform)
