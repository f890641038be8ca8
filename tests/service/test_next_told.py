"""What comes next for a plant with finds, told where no sum may run."""

from collections.abc import Callable
from datetime import date, timedelta

from rounds import words
from rounds.core.collection import Plant
from rounds.service.courses.advice import failed_courses, next_told, read_options
from rounds.service.courses.written import Asked, treat
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import collection_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon

TODAY = date(2026, 5, 4)
DAY_BEFORE = TODAY - timedelta(1)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def test_the_sums_before_the_last_find_stand_for_those_not_run_yet(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    plant = add("G07", on=DAY_BEFORE, place="stair foot", arrived=DAY_BEFORE)
    look("G07", DAY_BEFORE, "axils", counts={"left": 300})
    collection = collection_on(logbook, TODAY)
    assert next_told(collection.records[plant.id]) is None, "no sum was run yet"
    assert collection.records[plant.id].likely.mean.sum() > 200
    look("G07", TODAY, "medium", counts={"removed": 1})
    assert next_told(collection.read_anew(plant)) == "part"


def test_nothing_comes_next_for_a_plant_without_finds(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    plant = add("G07", on=DAY_BEFORE, place="stair foot", arrived=DAY_BEFORE)
    look("G07", DAY_BEFORE)
    record = collection_on(logbook, TODAY).records[plant.id]
    assert record.likely.mean.sum() < 1
    assert next_told(record) is None


def test_what_was_done_in_vain_is_not_said_again_and_then_the_plant_is_parted_with(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    came = TODAY - timedelta(70)
    plant = add("G07", on=came, place="stair foot", arrived=came)
    for days in (0, 2, 4):
        look("G07", came + timedelta(days), "axils", counts={"removed": 2})
    day = came + timedelta(5)
    treat(logbook, local_noon(day), ["G07"], Asked("root-clean-out", done=True))
    treat(logbook, local_noon(day), ["G07"], Asked("contact-spray", done=True))
    while logbook.collection().plants[plant.id].courses_on(day)[1].is_running:
        day += timedelta(7)
        treat(logbook, local_noon(day), ["G07"], Asked("contact-spray", done=True))
    assert not failed_courses(collection_on(logbook, day).records[plant.id]) & {"contact-spray"}
    for days in range(1, 5):
        look("G07", day + timedelta(days), "axils", counts={"removed": 2})
    record = collection_on(logbook, day + timedelta(5)).records[plant.id]
    assert record.likely.mean.sum() > 0
    assert failed_courses(record) == {"root-clean-out", "contact-spray"}
    assert next_told(record) == "part"
    ways = [{"code": code, "on": None} for code in ("part", "labelled-product")]
    first, second = read_options(record, ways)
    assert first.reason.startswith("a spray and a clean-out were done")
    assert second.text == words.say("courses.next.labelled-product")
