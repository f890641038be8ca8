"""The plan of a day as it goes on paper: for a stand-in who has never done it."""

from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import PlannedPlant, plan_day
from rounds.service.plant.status import PlantStatus


@dataclass(frozen=True, slots=True)
class SheetZone:
    """One line to fill in."""

    zone: str
    name: str
    advice: str
    planned_seconds: float


@dataclass(frozen=True, slots=True)
class SheetPlant:
    """One plant in walking order. `stop_after` is the code of the plant hands are cleaned after."""

    planned: PlannedPlant
    stop_after: str | None
    zones: tuple[SheetZone, ...]

    @property
    def status(self) -> PlantStatus:
        """The plant."""
        return self.planned.status

    @property
    def whole_plant(self) -> bool:
        """Looked at in one go: one line, and its zones only where something is found."""
        return self.planned.whole_plant


@dataclass(frozen=True, slots=True)
class Sheet:
    """A day on paper."""

    on: date
    minutes: float
    planned_seconds: float
    plants: tuple[SheetPlant, ...]


def sheet_of(logbook: Logbook, on: date, minutes: float | None = None) -> Sheet:
    """The plan of a day as a sheet; the minutes as in `plan_day`."""
    plan = plan_day(logbook, on, minutes)
    plants = []
    before: str | None = None
    for planned in plan.plan:
        plants.append(_plant(planned, before if planned.hygiene_stop_before else None))
        before = planned.status.code
    return Sheet(on, plan.minutes, plan.planned_seconds, tuple(plants))


def _plant(planned: PlannedPlant, stop_after: str | None) -> SheetPlant:
    zones = tuple(
        SheetZone(
            zone.zone,
            words.say(f"zones.{zone.zone}.name"),
            words.say(f"zones.{zone.zone}.advice"),
            zone.planned_seconds,
        )
        for zone in planned.zones
    )
    return SheetPlant(planned, stop_after, zones)
