"""A plant apart, and a round in which every zone is planned in whole seconds."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from rounds.core.collection import Plant
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import PlannedPlant
from rounds.service.plant.zones import PlannedZone
from rounds.service.round import RoundWalk, begin
from tests.days import plan_by_zone

from .asking import TODAY, Add, LookIn, before, found_three


def whole_half(plant: PlannedPlant, zone: PlannedZone) -> float:
    """Half the reference seconds of a zone, as seconds are kept."""
    needed = next(found for found in plant.status.to_do if found.zone == zone.zone)
    return float(round(needed.planned_seconds) or 1)


@pytest.fixture
def walk(logbook: Logbook) -> Callable[[], RoundWalk]:
    """Begin the round of today; each zone is planned in whole seconds, too few for a pause."""

    def begin_today() -> RoundWalk:
        day = plan_by_zone(logbook, TODAY, 3.0)
        plan = tuple(
            replace(plant, zones=tuple(
                replace(zone, planned_seconds=whole_half(plant, zone))
                for zone in plant.zones
            ))
            for plant in day.plan
        )  # fmt: skip
        return begin(logbook, replace(day, plan=plan))

    return begin_today


@pytest.fixture
def apart(add: Add, look: LookIn, logbook: Logbook) -> Plant:
    """S03 of the stair foot: three were found when it came, later looks were clean."""
    plant = add("S03", place="stair foot", arrived=before(9), on=before(9))
    found_three(logbook, "S03", before(9))
    for days in (6, 3):
        look("S03", before(days))
    return plant
