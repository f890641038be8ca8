"""The log of one plant itself, read only where single entries are wanted."""

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from typing import Protocol

from rounds.core.collection import Plant
from rounds.core.lineage import lived
from rounds.core.log.effective import EffectiveLook, effective_log
from rounds.core.log.entries import PlantEntries
from rounds.core.log.lived import ancestors, lived_log, looks_before
from rounds.service.logbook.book import Logbook


class HasPlants(Protocol):
    """All plants there are."""

    @property
    def plants(self) -> Mapping[int, Plant]:
        """All plants, by id."""


class EnteredOfPlant:
    """All that was entered about a plant up to the end of `on`."""

    def __init__(self, logbook: Logbook, of: HasPlants, plant: Plant, on: date) -> None:
        """
        Args:
            logbook: the opened one.
            of: the plants that it may come of.
            plant: which.
            on: the day.
        """
        self.logbook = logbook
        self.plant = plant
        self.on = on
        self.lived = lived(plant, of.plants)
        """the plant with what was said of those it was divided from, as long as it was theirs"""
        self._of = of

    @cached_property
    def entries(self) -> PlantEntries:
        """Everything entered about this very plant up to the day."""
        return self.entries_between(date.min, self.on)

    def entries_between(self, first: date, last: date) -> PlantEntries:
        """Everything entered about this very plant on some days, none after that of the record."""
        return self.logbook.entries(
            self.plant, max(first, self.plant.first_day), min(last, self.on)
        )

    @cached_property
    def log(self) -> tuple[EffectiveLook, ...]:
        """The looks that stand, oldest first; those at the plant it was divided from among them."""
        return self.looks_from(self.lived.first_day)

    def looks_from(self, first: date) -> tuple[EffectiveLook, ...]:
        """As `log`, for the days from `first` on."""
        return lived_log(self.plant, self._of.plants, self._family_from(first), self.on)

    @cached_property
    def own_log(self) -> tuple[EffectiveLook, ...]:
        """The looks at this very plant that stand, oldest first."""
        return effective_log(self.entries, self.on)

    @cached_property
    def inherited(self) -> tuple[EffectiveLook, ...]:
        """The looks at the plant it was divided from, up to the division."""
        own = {look.id for look in self.own_log}
        return tuple(look for look in self.log if look.id not in own)

    def looks_before(self, day: date, entry: int, first: date) -> tuple[EffectiveLook, ...]:
        """The looks that stand of the days from `first` on, made before an entry of a day."""
        entries = self._family_from(first)
        return looks_before(self.plant, self._of.plants, entries, self.on, (day, entry))

    def _family_from(self, first: date) -> dict[int, PlantEntries]:
        family = (self.plant, *ancestors(self.plant, self._of.plants))
        return {plant.id: self.logbook.entries(plant, first, self.on) for plant in family}
