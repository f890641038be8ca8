"""A date rests on the eye as it is known that day: what is learned of it later moves the date."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds import words
from rounds.core.collection import Plant
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.ahead import forecast_in_steps, moved
from rounds.service.inference.day import CollectionDay
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.record import PlantRecord

TODAY = date(2026, 5, 4)
TOMORROW = TODAY + timedelta(1)
OTHERS = ("G03", "G04", "G05", "G06")
Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def before(days: int) -> date:
    return TODAY - timedelta(days)


def record_on(logbook: Logbook, on: date, kept_as: str = "") -> PlantRecord:
    day = CollectionDay(logbook, on, kept_as)
    return next(r for r in day.records.values() if r.plant.code == "G02")


def ready_on(logbook: Logbook, on: date) -> date:
    found = finished(forecast_in_steps(record_on(logbook, on)))
    assert found is not None
    assert found.ready_on is not None
    return found.ready_on


@pytest.fixture
def waiting(add: Add, look: LookIn, logbook: Logbook) -> None:
    """One plant whose date hangs on its chance clean, and others in another room."""
    choose(logbook, "own-eye", "on")
    put_place(logbook, local_noon(before(50)), "cellar", PlaceDetails(apart=True, room="cellar"))
    add("G02", place="stair foot", arrived=before(45), on=before(45))
    for code in OTHERS:
        add(code, place="cellar", arrived=before(45), on=before(45))
    look("G02", before(30), "axils", seconds=30.0, counts={"removed": 3})
    for days in range(42, 0, -3):
        look("G02", before(days))


def poorly_seen(look: LookIn) -> None:
    """Pass after pass brings one more adult: each found but a few of those in reach."""
    for code in OTHERS:
        for _ in range(6):
            look(code, TODAY, "axils", seconds=60.0, counts={"removed": 1}, stage="adult")


def test_the_date_moves_with_what_is_learned_of_the_eye(
    waiting: None, look: LookIn, logbook: Logbook
) -> None:
    supposed = record_on(logbook, TODAY).parameters.detection_times
    told = ready_on(logbook, TODAY)
    poorly_seen(look)
    # of today what was told in the morning stands
    assert ready_on(logbook, TODAY) == told
    learned = record_on(logbook, TOMORROW).parameters.detection_times
    assert learned < 0.8 * supposed
    later = ready_on(logbook, TOMORROW)
    assert later > told + timedelta(3)
    # as assumed it would be no later: the eye alone moved it
    choose(logbook, "own-eye", "off")
    assert ready_on(logbook, TOMORROW) <= later - timedelta(3)


def test_the_page_names_the_eye_as_what_moved_it(
    waiting: None, look: LookIn, logbook: Logbook
) -> None:
    _ = ready_on(logbook, TODAY)
    poorly_seen(look)
    look("G02", TOMORROW)
    _ = ready_on(logbook, TOMORROW)
    found = moved(record_on(logbook, TOMORROW))
    assert found is not None
    assert words.say("why.moved.eye-poorer") in found.text
