"""The whole collection at the end of a day: each plant read once, what is inferred of it kept."""

from datetime import date, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

from rounds.core.inference.facts import PlantFacts
from rounds.core.log.entries import PlantEntries
from rounds.service.inference.facts import facts_of, mates_of
from rounds.service.inference.kept import (
    digest,
    facts_digest,
    kept_or_worked_out,
    parameters_digest,
)
from rounds.service.inference.nearby import shares_by_day
from rounds.service.inference.result import PlantResult
from rounds.service.logbook import Logbook
from rounds.service.temperatures import Temperatures

if TYPE_CHECKING:
    from rounds.service.standing import PlantRecord

LEAST_LEAVING = 1e-6
"""crawlers a day; fewer are not followed"""


class CollectionDay:
    """All plants that are here at the end of `on`."""

    def __init__(self, logbook: Logbook, on: date) -> None:
        self.logbook = logbook
        self.on = on
        self.temperatures: Temperatures = logbook.temperatures()

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
        from rounds.service.standing import PlantRecord

        entries = self.logbook.all_entries(self.on)
        return {
            plant.id: PlantRecord(
                self.logbook, plant, self.on, entries.get(plant.id, PlantEntries()), day=self
            )
            for plant in self.logbook.collection().plants.values()
            if plant.first_day <= self.on
        }

    @cached_property
    def parameters_key(self) -> str:
        """The key of all that the table holds."""
        return parameters_digest(self.logbook.parameters)

    def result(self, record: "PlantRecord", pest: str) -> PlantResult:
        """What the log says of a plant with regard to a pest."""
        facts = facts_of(
            record, pest, mates_of(record, pest, self._came), self.arrivals(record, pest)
        )
        return PlantResult(record, facts, self._key(record, facts))

    def arrivals(self, record: "PlantRecord", pest: str) -> dict[date, float]:
        """Crawlers expected from infested plants near a plant, by day."""
        places = self.logbook.collection().places
        risk = self.logbook.parameters.risk
        found: dict[date, float] = {}
        for source in self._came.values():
            if source.plant.id == record.plant.id or pest not in source.pests:
                continue
            leaving = self._leaving(source, pest)
            if not leaving:
                continue
            share_on = shares_by_day(source.plant, record.plant, places, risk)
            is_gone = source.plant.gone(self.on) is not None
            for day, number in leaving.items():
                if is_gone and source.plant.gone(day) is not None:
                    continue
                share = share_on(day)
                if share > 0 and day >= record.plant.first_day:
                    found[day] = found.get(day, 0.0) + share * number
        return {day: min(number, risk.most_reached) for day, number in found.items()}

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
        kept: dict[str, float] = kept_or_worked_out(
            self.logbook, record.plant.id, f"leaving {pest}", key, lambda: self._leave(facts)
        )
        return {date.fromisoformat(day): number for day, number in kept.items()}

    def _leave(self, facts: PlantFacts) -> dict[str, float]:
        from rounds.core.inference.evidence import gather
        from rounds.core.inference.through import means_through

        evidence = gather(facts, self.on, self.logbook.parameters)
        found = {}
        for number, mean in enumerate(means_through(evidence.log)):
            day = evidence.begins + timedelta(days=number)
            leaving = float(mean @ evidence.process.leaving(*facts.range_c(day)))
            if leaving >= LEAST_LEAVING:
                found[(day + timedelta(days=1)).isoformat()] = leaving
        return found

    def _key(self, record: "PlantRecord", facts: PlantFacts) -> str:
        collection = self.logbook.collection()
        return digest(self.parameters_key, facts_digest(facts, record.plant, self.on, collection))
