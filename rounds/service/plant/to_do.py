"""What is left to look at on a plant today."""

from dataclasses import dataclass

from rounds.core.quarantine.days import SECONDS_LOST, credited_seconds
from rounds.service.plant.record import PlantRecord


@dataclass(frozen=True, slots=True)
class PlannedZone:
    """One zone of the plan, and how long to look at it."""

    zone: str
    planned_seconds: float


def zones_to_do(record: PlantRecord) -> tuple[PlannedZone, ...]:
    """The outside zones not yet seen for half their reference time today, top to bottom."""
    inspection = record.logbook.parameters.inspection
    today = [look for look in record.log if look.day == record.on]
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
