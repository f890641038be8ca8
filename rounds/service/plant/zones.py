"""The zones of one plant: what is left to look at today, what was seen, what may be left there."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from rounds.core.quarantine.days import SECONDS_LOST, credited_seconds
from rounds.core.quarantine.past import ZonePast
from rounds.service.plant.record import PlantRecord


@dataclass(frozen=True, slots=True)
class PlannedZone:
    """One zone of the plan, and how long to look at it."""

    zone: str
    planned_seconds: float


@dataclass(frozen=True, slots=True)
class ZoneSeen:
    """A zone of the plant as it is now, top to bottom."""

    zone: str
    weight: float
    tucked_share: float
    reference_seconds: float
    last_look_on: date | None
    probably_left: float | None
    """mean number; None while it is not worked out"""


def zones_to_do(record: PlantRecord) -> tuple[PlannedZone, ...]:
    """The outside zones not yet seen for half their reference time today, top to bottom."""
    inspection = record.table.inspection
    today = record.today
    hidden = {look.zone for look in today if look.outcome == "cannot-see"}
    zones = []
    for zone in record.body.outside:
        credited = sum(
            credited_seconds(look, zone.reference_seconds, inspection)
            for look in today
            if look.zone == zone.zone
        )
        needed = zone.reference_seconds * inspection.seen_from
        if credited < needed - SECONDS_LOST and zone.zone not in hidden:
            zones.append(PlannedZone(zone.zone, needed))
    return tuple(zones)


def zones_seen(record: PlantRecord, left: Mapping[str, float]) -> tuple[ZoneSeen, ...]:
    """Every zone of the plant as it is now, when it was last looked at, what is `left` there."""
    return tuple(
        ZoneSeen(
            zone.zone,
            zone.weight,
            zone.tucked_share,
            zone.reference_seconds,
            record.known.zones.get(zone.zone, ZonePast()).counted_on,
            left.get(zone.zone),
        )
        for zone in record.body.zones
    )
