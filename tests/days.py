"""A day with all of it worked out, as the screens come to show it."""

from dataclasses import replace
from datetime import date

from rounds.service.day.day import Day
from rounds.service.day.work import DayWork
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import DayPlan, PlannedPlant, plan_day
from rounds.service.plant.detail import PlantDetail, plant_detail
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import status_of, with_zones


def whole_day(logbook: Logbook, on: date, minutes: float | None = None) -> Day:
    """The last of the days that are made of one."""
    *_, last = (day for day in DayWork(logbook, on, minutes).pieces() if day is not None)
    assert last.is_whole
    return last


def whole_morning(logbook: Logbook, on: date) -> None:
    """Work out a day and all that the pages of its plants say besides, so that it is kept."""
    work = DayWork(logbook, on)
    list(work.pieces())
    for plant_id in tuple(work.day.statuses or ()):
        list(work.why(plant_id))
        list(work.course(plant_id))


def detail_of(record: PlantRecord) -> PlantDetail:
    """The page of a plant, all worked out."""
    return plant_detail(record, with_zones(record, status_of(record)))


def plan_by_zone(logbook: Logbook, on: date, minutes: float | None = None) -> DayPlan:
    """The plan of a day with every zone a step of its own, however short, from top to bottom."""
    plan = plan_day(logbook, on, minutes)
    return replace(plan, plan=tuple(_by_zone(planned) for planned in plan.plan))


def _by_zone(planned: PlannedPlant) -> PlannedPlant:
    steps = tuple((zone.zone,) for zone in planned.zones)
    return replace(planned, steps=steps, whole_plant=False)
