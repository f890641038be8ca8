"""Asking a logbook what it makes of a plant, for the tests of what is inferred."""

from collections.abc import Callable
from datetime import date, timedelta

from rounds.core.collection import Plant
from rounds.core.inference.answer import chance_clean
from rounds.core.inference.evidence import gather
from rounds.service.entries.looks import LookEntered, LookWritten, enter_look
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.record import PlantRecord

TODAY = date(2026, 5, 4)
SMALL = 60.0
"""seconds that see a small plant whole"""
SECONDS_PER_FIND = 8.0

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def before(days: int) -> date:
    return TODAY - timedelta(days)


def record(logbook: Logbook, code: str, on: date = TODAY) -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, on)


def chance(logbook: Logbook, code: str, on: date = TODAY) -> float:
    """That nothing is left, as the service says it."""
    return record(logbook, code, on).likely.chance_clean


def exact(logbook: Logbook, code: str, on: date = TODAY) -> float:
    """The same from the log alone, with the grower's own eye as the log tells it."""
    found = record(logbook, code, on)
    return chance_clean(gather(found.likely.facts, on, found.parameters).log)


def found_three(logbook: Logbook, code: str, day: date) -> None:
    """A look at all of a small plant on which three were found in the axils and taken off."""
    zones = record(logbook, code, day).body.outside
    whole = sum(zone.reference_seconds for zone in zones)
    for zone in zones:
        seconds = SMALL * zone.reference_seconds / whole
        counts = {"removed": 3} if zone.zone == "axils" else {}
        seconds += SECONDS_PER_FIND * sum(counts.values())
        entered = LookEntered(zones=(zone.zone,), seconds=seconds, counts=counts)
        enter_look(logbook, local_noon(day), code, entered)
