"""Whether a course works: beside plants without it, or plainly that it cannot be told yet."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.estimates.efficacy import Counts as Four
from rounds.core.estimates.efficacy import henderson_tilton, henderson_tilton_interval
from rounds.core.inference.foretold import days_foretold
from rounds.service.courses.efficacy import Efficacy, efficacy_in_steps
from rounds.service.courses.written import Asked, treat
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import CollectionDay
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon

FIRST = date(2026, 4, 1)
SPRAYED = FIRST + timedelta(3)
ON = SPRAYED + timedelta(7)

Add = Callable[..., object]


def found(logbook: Logbook, code: str, on: date, count: int, seconds: float = 120.0) -> None:
    counts = {"removed": count} if count else {}
    enter_look(logbook, local_noon(on), code, LookEntered(("axils",), seconds, counts))


def efficacy(logbook: Logbook, on: date = ON) -> Efficacy:
    collection = CollectionDay(logbook, on)
    plant = logbook.collection().plant("S01")
    assert plant is not None
    record = collection.record(plant.id)
    worked = finished(efficacy_in_steps(record, plant.courses_on(on)[0]))
    assert worked is not None
    return worked


@pytest.fixture
def sprayed(logbook: Logbook, add: Add) -> Logbook:
    """S01, on which ten were found on each of three days before it was sprayed."""
    for code in ("S01", "S02", "S03"):
        add(code, on=FIRST)
    for days in range(3):
        found(logbook, "S01", FIRST + timedelta(days), 10)
    treat(logbook, local_noon(SPRAYED), ["S01"], Asked("contact-spray", done=True))
    return logbook


def test_it_is_told_beside_plants_without_it(sprayed: Logbook) -> None:
    for code in ("S02", "S03"):
        for days in (0, 1, 2, 4, 5, 6):
            found(sprayed, code, FIRST + timedelta(days), 10)
    for days in (4, 5, 6):
        found(sprayed, "S01", FIRST + timedelta(days), 2)
    told = efficacy(sprayed)
    assert (told.before_treated, told.after_treated) == (30, 6)
    assert (told.before_control, told.after_control, told.controls) == (60, 60, 2)
    # Henderson & Tilton 1955; the seconds of finds leave more time to look where fewer were found
    assert told.henderson_tilton == pytest.approx(0.8, abs=0.12)
    assert told.abbott == pytest.approx(0.8, abs=0.12)
    assert told.low is not None
    assert told.high is not None
    assert 0 < told.low < (told.henderson_tilton or 0) < told.high < 1
    assert told.reason is None
    assert "fewer insects than without it" in told.text
    assert told.found == 6
    assert told.expected is not None
    assert "the sums expected" in told.expected_text


def test_what_was_expected_is_what_the_sums_say_of_each_day_before_it(sprayed: Logbook) -> None:
    for days in (4, 6):
        found(sprayed, "S01", FIRST + timedelta(days), 1)
    told = efficacy(sprayed)
    collection = CollectionDay(sprayed, ON)
    plant = sprayed.collection().plant("S01")
    assert plant is not None
    log = collection.record(plant.id).likely.evidence().log
    foretold = finished(days_foretold(log, 2))
    mean = sum(number * chance for day in foretold for number, chance in enumerate(day.chances))
    assert told.expected == pytest.approx(mean)
    assert told.found == 2


def test_with_nobody_without_it_there_is_no_telling(sprayed: Logbook) -> None:
    found(sprayed, "S01", SPRAYED + timedelta(2), 1)
    told = efficacy(sprayed)
    assert (told.reason, told.henderson_tilton) == ("nobody-without", None)
    assert told.text.startswith("Whether it works cannot be told yet: no other plant")


def test_a_plant_that_was_treated_too_is_none_without_it(sprayed: Logbook) -> None:
    for days in (0, 1, 4):
        found(sprayed, "S02", FIRST + timedelta(days), 5)
    treat(sprayed, local_noon(SPRAYED), ["S02"], Asked("contact-spray", done=True))
    found(sprayed, "S01", SPRAYED + timedelta(2), 1)
    assert efficacy(sprayed).reason == "nobody-without"


def test_few_finds_are_told_as_anything_from_to(sprayed: Logbook) -> None:
    for days in (0, 4):
        found(sprayed, "S02", FIRST + timedelta(days), 1)
    found(sprayed, "S01", SPRAYED + timedelta(2), 8)
    told = efficacy(sprayed)
    assert told.reason == "too-few"
    assert "anything from" in told.text


def test_before_anybody_looked_again_nothing_is_told(sprayed: Logbook) -> None:
    found(sprayed, "S02", FIRST, 5)
    assert efficacy(sprayed).reason == "not-looked"


def test_the_interval_is_that_of_an_odds_ratio_and_narrows_with_more_finds() -> None:
    # Woolf 1955: exp(ln OR -+ 1.96 sqrt(1/a + 1/b + 1/c + 1/d)); by hand, with a half added
    small, large = Four(20, 4, 20, 20), Four(2000, 400, 2000, 2000)
    near = henderson_tilton_interval(small)
    odds, reach = 4.5 * 20.5 / (20.5 * 20.5), 1.959964 * (1 / 4.5 + 3 / 20.5) ** 0.5
    assert near.low == pytest.approx(1 - odds * 2.718281828459045**reach)
    assert near.high == pytest.approx(1 - odds * 2.718281828459045**-reach)
    far = henderson_tilton_interval(large)
    assert near.low < far.low < (henderson_tilton(large) or 0) < far.high < near.high
