"""What was found on each plant, read from the days with finds alone, however long the log is."""

from collections.abc import Generator, Iterable
from dataclasses import dataclass
from datetime import date

from rounds.core.log.effective import EffectiveLook, effective_log
from rounds.service.plant.record import PlantRecord


@dataclass(frozen=True, slots=True)
class Find:
    """Insects found alive at a zone of a plant on a day."""

    plant_id: int
    day: date
    zone: str
    count: int


def live_at(record: PlantRecord, look: EffectiveLook) -> int:
    """Insects found alive at a look, of any pest the plant is checked for."""
    return sum(look.live(pest) for pest in record.pests)


def finds_in_steps(
    records: Iterable[PlantRecord], first: date
) -> Generator[None, None, list[Find]]:
    """The finds on these very plants from a day on, with a pause after each day of a plant.

    What was found on a plant before it was divided counts for that plant, once.
    """
    found: list[Find] = []
    for record in records:
        for day in record.live_on:
            if day < first:
                continue
            by_zone: dict[str, int] = {}
            for look in effective_log(record.entries_between(day, day), record.on):
                by_zone[look.zone] = by_zone.get(look.zone, 0) + live_at(record, look)
            found += (Find(record.plant.id, day, z, n) for z, n in by_zone.items() if n)
            yield
    return found
