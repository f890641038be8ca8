"""What comes next for a plant with finds, told where no sum may run."""

from collections.abc import Callable
from datetime import date, timedelta

from rounds import words
from rounds.core.collection import Plant
from rounds.service.courses.advice import Option, failed_courses, read_options
from rounds.service.courses.next_way import next_told
from rounds.service.courses.written import Asked, treat
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import collection_on, record_of
from rounds.service.inference.why import why_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.record import PlantRecord
from rounds.service.round import RoundWalk

TODAY = date(2026, 5, 4)
DAY_BEFORE = TODAY - timedelta(1)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
Wait = Callable[[float], None]


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
    kept = [{"code": code, "on": None} for code in ("part", "labelled-product")]
    first, second = read_options(record, kept)
    assert first.reason.startswith("a spray and a clean-out were done")
    assert second.text == words.say("courses.next.labelled-product")


SOONER, LATER = "2026-06-20", "2026-07-02"


def found_on(add: Add, look: LookIn, logbook: Logbook, counts: list[int], zone: str) -> PlantRecord:
    """A plant found on every second day up to today."""
    first = TODAY - timedelta(2 * (len(counts) - 1))
    plant = add("G07", on=first, place="stair foot", arrived=first)
    for number, count in enumerate(counts):
        day = first + timedelta(2 * number)
        look("G07", day, zone, seconds=180.0, counts={"removed": count})
    record = record_of(logbook, plant, TODAY)
    assert record.likely.mean.sum() > 0
    return record


def ways(
    record: PlantRecord, first: str, lifting: str | None, of_first: str | None
) -> list[Option]:
    """The ways as they are told where the sums gave these days, in the order they were ranked."""
    kept = [{"code": first, "on": of_first}, {"code": "lifting", "on": lifting}]
    return list(read_options(record, [*kept, {"code": "part", "on": None}]))


def test_a_course_by_which_the_plant_rejoins_later_than_by_lifting_does_not_come_first(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    record = found_on(add, look, logbook, [3, 3, 3], "axils")
    for lifting, spray, first in (
        (SOONER, LATER, "lifting"),
        (SOONER, None, "lifting"),
        (SOONER, SOONER, "contact-spray"),
        (LATER, SOONER, "contact-spray"),
        (None, LATER, "contact-spray"),
        (None, None, "contact-spray"),
    ):
        told = ways(record, "contact-spray", lifting, spray)
        assert told[0].code == first, (lifting, spray)
        assert told[0].alternative == told[1].text
        assert not any("removing alone is sooner" in option.reason for option in told)


def test_where_finds_rise_or_the_roots_ask_a_later_course_comes_first_and_says_why(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    rising = found_on(add, look, logbook, [2, 3, 5, 9, 14], "axils")
    told = ways(rising, "contact-spray", SOONER, LATER)[0]
    assert told.code == "contact-spray"
    assert told.reason == (
        "finds rise beyond chance: removing by hand does not keep up; "
        "removing alone is sooner, but only if looks stay clean"
    )
    sooner = ways(rising, "contact-spray", LATER, SOONER)[0]
    assert "sooner" not in sooner.reason


def test_a_clean_out_that_the_roots_ask_for_comes_first_and_says_why(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    below = found_on(add, look, logbook, [1], "medium")
    told = ways(below, "root-clean-out", SOONER, LATER)[0]
    assert told.code == "root-clean-out"
    assert told.reason.endswith("; removing alone is sooner, but only if looks stay clean")


def test_a_summary_tells_of_a_spray_only_once_its_day_is_known_and_not_later(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    record = found_on(add, look, logbook, [3, 3, 3], "axils")
    assert next_told(record) is None
    why = why_of(record)
    assert why is not None
    assert next_told(record) == why.options[0].code
    days = {option.code: option.expected_on for option in why.options}
    is_later = days["lifting"] and (days["contact-spray"] or date.max) > days["lifting"]
    assert why.options[0].code == ("lifting" if is_later else "contact-spray")


def test_a_summary_says_that_lifting_may_not_keep_up_while_the_ways_have_no_days(
    add: Add, look: LookIn, logbook: Logbook, walk: Callable[[], RoundWalk], wait: Wait
) -> None:
    for code, days in (("G07", (6, 4)), ("G11", (4,))):
        add(code, on=TODAY - timedelta(8), place="stair foot", arrived=TODAY - timedelta(8))
        for number in days:
            day = TODAY - timedelta(number)
            look(code, day, "axils", seconds=180.0, counts={"removed": 3})
    begun = walk()
    view = begun.view()
    while view.stage != "end":
        if view.stage == "hygiene":
            view = begun.go_on()
        wait(60)
        begun.count("removed")
        view = begun.rest()
    assert view.summary is not None
    assert {line.code: line.then for line in view.summary.changed} == {
        "G07": "removing may not keep up",
        "G11": "next: go on by hand",
    }
