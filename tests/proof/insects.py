"""Whole insects on many replicate plants, each drawn by chance, day by day: no formulas.

Every insect is one row: its plant and its kind. A kind is numbered as the flattened array of the
shape `Process.shape`, so that the next sub-stage is a stride away and the other reach one bit.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.proof.process import Day, Flags, Process, Values
from tests.proof.records import Start, Treatment, ZoneLook

Numbers = NDArray[np.int64]
Kinds = NDArray[np.int16]
Plants = NDArray[np.int32]


@dataclass
class Colonies:
    """The living insects of `plants` replicates; rows are in no order."""

    process: Process
    rng: np.random.Generator
    plants: int
    plant: Plants
    kind: Kinds

    def __post_init__(self) -> None:
        sub_stages, zones, _ = self.process.shape
        self.stride = 2 * zones
        self.sub_stage: Numbers = np.repeat(np.arange(sub_stages), self.stride)
        self.zone: Numbers = np.tile(np.repeat(np.arange(zones), 2), sub_stages)
        tucked_share = self.process.tucked_share[self.zone]
        tucked = np.arange(len(self.zone)) % 2 == 1
        self.tucking = np.where(tucked, 1 - tucked_share, tucked_share)
        self.laying = self.stride * (sub_stages - 1)
        self.crawling = self.stride * self.process.crawler
        self.left: Plants = np.empty(0, np.int32)
        """the plants that crawlers left on the last day, one of each crawler"""

    def counts(self, rows: Flags | None = None) -> Numbers:
        """Insects of each plant, or of the rows marked."""
        chosen = self.plant if rows is None else self.plant[rows]
        return np.bincount(chosen, minlength=self.plants)

    def live(self, degree_days: float, arrivals: float) -> None:
        """From the end of a day to the next morning, those that arrive included."""
        day = self.process.day(degree_days)
        self.keep(self._chance(day.survive[self.sub_stage][self.kind]))
        began = self.kind
        advanced = self._chance(day.advance[self.sub_stage][began])
        self.kind = (began + self.stride * advanced).astype(np.int16)
        eggs = self._eggs(began >= self.laying, day)
        self._hatch(np.flatnonzero((began < self.crawling) & (self.kind >= self.crawling)))
        self._exchange(day.moving)
        self._add(*eggs)
        self._arrive(arrivals)

    def found(self, look: ZoneLook) -> Flags:
        """Which insects one look finds; nothing is done with them yet."""
        chance = self.process.finding(look).ravel()
        within = np.flatnonzero(self.zone[self.kind] == self.process.zones.index(look.zone))
        found = np.zeros(len(self.kind), np.bool_)
        found[within] = self._chance(chance[self.kind[within]])
        return found

    def lose_sacs(self, look: ZoneLook) -> None:
        """Each egg within reach of the look goes along with a laying adult's sac, by chance."""
        here = self.process.zones.index(look.zone)
        egg_there = (self.kind < self.crawling) & (self.zone[self.kind] == here)
        if not look.unpotted:
            egg_there &= self.kind % 2 == 0
        gone = self._chance(np.full(len(self.kind), self.process.sac_gone))
        self.keep(~(egg_there & gone))

    def treat(self, treatment: Treatment) -> None:
        """A treatment kills by chance."""
        self.keep(~self._chance(self.process.killing(treatment).ravel()[self.kind]))

    def keep(self, rows: Flags) -> None:
        """All other insects are gone."""
        self.plant, self.kind = self.plant[rows], self.kind[rows]

    def keep_plants(self, plants: Flags) -> None:
        """All other replicates are dropped; those left are numbered anew in their order."""
        self.keep(plants[self.plant])
        self.plant = (np.cumsum(plants) - 1).astype(np.int32)[self.plant]
        self.plants = int(plants.sum())

    def branch(self, copies: Numbers) -> None:
        """Each replicate is replaced by so many of itself; copies stand side by side."""
        first = np.cumsum(copies) - copies
        of_row = copies[self.plant]
        row = np.repeat(np.arange(len(self.plant)), of_row)
        copy = np.arange(len(row)) - np.repeat(np.cumsum(of_row) - of_row, of_row)
        self.plant = (first[self.plant[row]] + copy).astype(np.int32)
        self.kind = self.kind[row]
        self.plants = int(copies.sum())

    def sow(self, means: Values, kinds: Values) -> None:
        """Poisson numbers of insects on each plant, spread over the kinds in proportion."""
        number = self.rng.poisson(means)
        self._add(np.repeat(np.arange(self.plants), number), self._drawn(kinds, int(number.sum())))

    def settle(self, plant: Numbers) -> None:
        """Crawlers come from elsewhere, each to one of these plants."""
        self._add(plant, self._drawn(self.process.arrival, len(plant)))

    def _chance(self, chance: Values) -> Flags:
        return self.rng.random(len(chance)) < chance

    def _eggs(self, laying: Flags, day: Day) -> tuple[Numbers, Numbers]:
        number = self.rng.poisson(day.eggs, int(laying.sum()))
        kind = np.repeat(self.kind[laying].astype(np.int64) - self.laying, number)
        return np.repeat(self.plant[laying].astype(np.int64), number), kind

    def _hatch(self, rows: Numbers) -> None:
        """Newly hatched crawlers leave, stay or settle elsewhere on the plant."""
        leaving = self._chance(np.full(len(rows), self.process.leaves))
        staying = self._chance(np.full(len(rows), self.process.stays))
        roaming = rows[~leaving & ~staying]
        self.left = self.plant[rows[leaving]]
        self.kind[roaming] = self.crawling + self._drawn(self.process.landing, len(roaming))
        rest = np.ones(len(self.kind), np.bool_)
        rest[rows[leaving]] = False
        self.keep(rest)

    def _drawn(self, shares: Values, number: int) -> Numbers:
        up_to = np.cumsum(shares.ravel())
        drawn = self.rng.random(number) * up_to[-1]
        return np.asarray(np.searchsorted(up_to, drawn, side="right"), np.int64)

    def _exchange(self, share: float) -> None:
        moving = self.process.exchange[self.sub_stage] * self.tucking * share
        self.kind = self.kind ^ self._chance(moving[self.kind]).astype(np.int16)

    def _arrive(self, mean: float) -> None:
        number = self.rng.poisson(mean * self.plants)
        self.settle(self.rng.integers(0, self.plants, number))

    def _add(self, plant: Numbers, kind: Numbers) -> None:
        self.plant = np.concatenate([self.plant, plant.astype(np.int32)])
        self.kind = np.concatenate([self.kind, kind.astype(np.int16)])


def bare(process: Process, plants: int, rng: np.random.Generator) -> Colonies:
    """Replicates without an insect."""
    return Colonies(process, rng, plants, np.empty(0, np.int32), np.empty(0, np.int16))


def unlooked(process: Process, start: Start, plants: int, rng: np.random.Generator) -> Colonies:
    """Replicates as they are before the first look."""
    colonies = bare(process, plants, rng)
    infested = rng.random(plants) < start.infested
    heaviness = rng.gamma(start.shape, 1 / start.shape, plants)
    colonies.sow(infested * heaviness * start.mean, process.start_means(start))
    return colonies
