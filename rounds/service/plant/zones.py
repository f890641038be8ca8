"""The zones of one plant: when each was last looked at, and what may be left there."""

from dataclasses import dataclass
from datetime import date

from rounds.core.quarantine.past import ZonePast
from rounds.service.plant.record import PlantRecord


@dataclass(frozen=True, slots=True)
class ZoneSeen:
    """A zone of the plant as it is now, top to bottom."""

    zone: str
    weight: float
    tucked_share: float
    reference_seconds: float
    last_look_on: date | None
    probably_left: float
    """mean number"""


def zones_seen(record: PlantRecord) -> tuple[ZoneSeen, ...]:
    """Every zone of the plant as it is now, when it was last looked at, what may be left there."""
    return tuple(
        ZoneSeen(
            zone.zone,
            zone.weight,
            zone.tucked_share,
            zone.reference_seconds,
            record.known.zones.get(zone.zone, ZonePast()).counted_on,
            record.likely.left_at(zone.zone),
        )
        for zone in record.body.zones
    )
