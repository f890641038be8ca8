"""The whole collection at the end of a day: each plant read once, what is inferred of it kept."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

from rounds.core.collection import Plant
from rounds.core.inference.facts import Mates, PlantFacts
from rounds.core.lineage import origin_of
from rounds.core.log.entries import PlantEntries
from rounds.core.parameters import Parameters
from rounds.service.inference.facts import came_with, facts_of, mates_of
from rounds.service.inference.kept import (
    dated,
    digest,
    facts_digest,
    kept_or_worked_out,
    parameters_digest,
    place_digest,
)
from rounds.service.inference.nearby import share_reached, shares_by_day
from rounds.service.inference.own_detection import OwnDetection, learned
from rounds.service.inference.result import PlantResult
from rounds.service.logbook.book import Collection, Logbook
from rounds.service.logbook.temperatures import Temperatures

if TYPE_CHECKING:
    from rounds.service.plant.record import PlantRecord

ONE_DAY = timedelta(days=1)
LEAST_LEAVING = 1e-6
"""crawlers a day; fewer are not followed"""


class CollectionDay:
    """All plants that are here at the end of `on`."""

    def __init__(
        self,
        logbook: Logbook,
        on: date,
        entries: Mapping[int, PlantEntries] | None = None,
        kept_as: str = "",
    ) -> None:
        """
        Args:
            logbook: the opened one.
            on: the day.
            entries: of every plant up to that day at least; read from the file where not given.
            kept_as: begins the names of what is kept of it.
        """
        self.logbook = logbook
        self.on = on
        self.kept_as = kept_as
        self._entries = entries
        self.temperatures: Temperatures = logbook.temperatures()
        self._place_keys: tuple[Collection, dict[int, str]] = logbook.collection(), {}

    @cached_property
    def plants(self) -> Mapping[int, Plant]:
        """All plants, by id, those gone and those to come among them."""
        return self.logbook.collection().plants

    @cached_property
    def records(self) -> dict[int, "PlantRecord"]:
        """Every plant that is here, by id, read in one pass."""
        return {
            plant_id: record
            for plant_id, record in self._came.items()
            if record.plant.gone(self.on) is None
        }

    @cached_property
    def _came(self) -> dict[int, "PlantRecord"]:
        """The same with those that are gone: what they told and what they gave off remain."""
        from rounds.service.plant.record import PlantRecord

        entries = self._entries
        if entries is None:
            entries = self.logbook.all_entries(self.on)
        return {
            plant.id: PlantRecord(
                self.logbook, plant, self.on, entries.get(plant.id, PlantEntries()), day=self
            )
            for plant in self.plants.values()
            if plant.first_day <= self.on
        }

    def record(self, plant_id: int) -> "PlantRecord":
        """One plant, gone or not; read alone while the others are not needed."""
        from rounds.service.plant.record import PlantRecord

        if "_came" in self.__dict__ and plant_id in self._came:
            return self._came[plant_id]
        if plant_id not in self._read_alone:
            plant = self.plants[plant_id]
            self._read_alone[plant_id] = PlantRecord(self.logbook, plant, self.on, day=self)
        return self._read_alone[plant_id]

    @cached_property
    def _read_alone(self) -> dict[int, "PlantRecord"]:
        return {}

    @cached_property
    def parameters_key(self) -> str:
        """The key of all that the table holds."""
        return parameters_digest(self.parameters)

    def place_key(self, place_id: int) -> str:
        """The key of a place and its weather up to the day; many plants stand there."""
        found = self.logbook.collection()
        if self._place_keys[0] is not found:
            # something was said since: of a place, it may be
            self._place_keys = found, {}
        known = self._place_keys[1]
        if place_id not in known:
            weather = found.weather.get(place_id, {}).values()
            known[place_id] = place_digest(found.places[place_id], weather, self.on)
        return known[place_id]

    @cached_property
    def own_detection(self) -> OwnDetection:
        """What the grower finds, as far as it is known in the morning of the day."""
        return learned(self._came.values(), self.on, self.logbook.parameters)

    @cached_property
    def parameters(self) -> Parameters:
        """The table, with the grower's own detection in it."""
        return replace(self.logbook.parameters, detection_times=self.own_detection.theta)

    def result(self, record: "PlantRecord", pest: str) -> PlantResult:
        """What the log says of a plant with regard to a pest."""
        facts = facts_of(
            record, pest, mates_of(record, pest, self._came), self.arrivals(record, pest)
        )
        return PlantResult(record, facts, self._key(record, facts))

    def came_with(self, record: "PlantRecord") -> list["PlantRecord"]:
        """Those that came on the same day from the same source, gone or not."""
        return list(came_with(record, self._came))

    def mates(self, record: "PlantRecord", pest: str) -> Mates | None:
        """What these tell of a pest; None where they tell nothing."""
        return mates_of(record, pest, self._came)

    def entries(self) -> dict[int, PlantEntries]:
        """All that was read of every plant, by id, those gone among them."""
        return {plant_id: record.entries for plant_id, record in self._came.items()}

    def sources(self) -> Iterator[None]:
        """Work out, one infested plant after the other, what left it: arrivals rest on that."""
        for record in self._came.values():
            for pest in record.pests:
                if self._leaving(record, pest):
                    yield

    def found_nearby(self, record: "PlantRecord", since: date) -> list["PlantRecord"]:
        """Other plants on which insects were found after a day, and from which they may come."""
        risk = self.logbook.parameters.risk
        places = self.logbook.collection().places
        return [
            other
            for other in self.records.values()
            if other.plant.id != record.plant.id
            and other.last_find_on is not None
            and other.last_find_on > since
            and share_reached(other.plant, record.plant, self.on, places, risk) > 0
        ]

    def arrivals(self, record: "PlantRecord", pest: str) -> dict[date, float]:
        """Crawlers expected from infested plants near a plant, by day.

        Before it was divided from another, those that came to that one.
        """
        origin = origin_of(record.plant)
        if origin is None or record.parent is None:
            return self._arrivals_after(record, pest, record.plant.first_day - ONE_DAY)
        before = self.arrivals(record.parent, pest)
        return {
            **{day: number for day, number in before.items() if day <= origin.day},
            **self._arrivals_after(record, pest, origin.day),
        }

    def _arrivals_after(self, record: "PlantRecord", pest: str, last: date) -> dict[date, float]:
        places = self.logbook.collection().places
        risk = self.logbook.parameters.risk
        found: dict[date, float] = {}
        for source, leaving in self._sources(pest):
            if source.plant.id == record.plant.id:
                continue
            share_on = shares_by_day(source.plant, record.plant, places, risk)
            is_gone = source.plant.gone(self.on) is not None
            since = _told_by_its_parent(source.plant, last)
            for day, number in leaving.items():
                if day <= since or (is_gone and source.plant.gone(day) is not None):
                    continue
                share = share_on(day)
                if share > 0:
                    found[day] = found.get(day, 0.0) + share * number
        return {day: min(number, risk.most_reached) for day, number in found.items()}

    def _sources(self, pest: str) -> list[tuple["PlantRecord", dict[date, float]]]:
        """The infested plants of a pest, each with what left it: few, and asked for by each."""
        if pest not in self._known_sources:
            self._known_sources[pest] = [
                (source, leaving)
                for source in self._came.values()
                if pest in source.pests and (leaving := self._leaving(source, pest))
            ]
        return self._known_sources[pest]

    @cached_property
    def _known_sources(self) -> dict[str, list[tuple["PlantRecord", dict[date, float]]]]:
        return {}

    def _leaving(self, record: "PlantRecord", pest: str) -> dict[date, float]:
        """Crawlers expected to have left an infested plant, by the day they would arrive."""
        if (record.plant.id, pest) not in self._known_leaving:
            self._known_leaving[record.plant.id, pest] = self._leaving_now(record, pest)
        return self._known_leaving[record.plant.id, pest]

    @cached_property
    def _known_leaving(self) -> dict[tuple[int, str], dict[date, float]]:
        return {}

    def _leaving_now(self, record: "PlantRecord", pest: str) -> dict[date, float]:
        if not any(day.live for day in record.days_by_pest[pest]):
            return {}
        # what came to it from others is left out: who infested whom would go round in a circle
        facts = facts_of(record, pest, mates_of(record, pest, self._came), {})
        key = self._key(record, facts)
        what = f"{self.kept_as}leaving {pest}"
        kept: dict[str, float] = kept_or_worked_out(
            self.logbook, record.plant.id, what, key, lambda: self._leave(facts)
        )
        return {date.fromisoformat(day): number for day, number in kept.items()}

    def _leave(self, facts: PlantFacts) -> dict[str, float]:
        from rounds.core.inference.evidence import gather
        from rounds.core.inference.through import means_through

        evidence = gather(facts, self.on, self.parameters)
        found = {}
        for number, mean in enumerate(means_through(evidence.log)):
            day = evidence.begins + timedelta(days=number)
            leaving = float(mean @ evidence.process.leaving(*facts.range_c(day)))
            if leaving >= LEAST_LEAVING:
                found[(day + timedelta(days=1)).isoformat()] = leaving
        return found

    def _key(self, record: "PlantRecord", facts: PlantFacts) -> str:
        facts_key = facts_digest(facts, record.lived, self.on, self.place_key)
        return dated(self.on, digest(self.parameters_key, facts_key))


def collection_on(logbook: Logbook, on: date) -> CollectionDay:
    """All plants at the end of a day, read once until something is written."""
    return logbook.made_once(("collection", on), lambda: CollectionDay(logbook, on))


def own_detection(logbook: Logbook, on: date) -> OwnDetection:
    """What the grower finds, from the pairs of looks before a day, and how many these are."""
    return CollectionDay(logbook, on).own_detection


def _told_by_its_parent(source: Plant, last: date) -> date:
    """What left before a division is counted at the plant that was divided, and there alone."""
    origin = origin_of(source)
    return last if origin is None else max(last, origin.day)
