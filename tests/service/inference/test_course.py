"""The chance clean by day: as the looks up to a day say it, and as the forecast supposes it."""

from datetime import date

import pytest

from rounds.core.quarantine.course import days_before
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.inference.course import course_in_steps, kept_course
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon

from .asking import TODAY, Add, LookIn, before, exact, found_three, record

ARRIVED = before(14)
NEAR = 0.02
"""between sums with few coefficients and with many"""


@pytest.mark.parametrize(
    ("days", "most", "count"), [(0, 9, 0), (1, 10, 1), (10, 10, 10), (37, 10, 10)]
)
def test_days_before_begin_at_the_first_and_are_few(days: int, most: int, count: int) -> None:
    begin = date.fromordinal(TODAY.toordinal() - days)
    found = days_before(begin, TODAY, most)
    assert len(found) == count
    assert all(begin <= day < TODAY for day in found)
    assert found[:1] == [begin][:count]


def test_the_course_goes_through_what_was_said_what_is_and_what_is_expected(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    put_place(logbook, local_noon(before(40)), "stair", PlaceDetails(apart=True, usual_c=26))
    add("S03", place="stair", arrived=ARRIVED, on=ARRIVED, source="S03")
    found_three(logbook, "S03", ARRIVED)
    for days in range(12, -1, -2):
        look("S03", before(days))
    of = record(logbook, "S03")
    assert kept_course(of) is None
    course = finished(course_in_steps(of))
    assert course is not None
    assert kept_course(record(logbook, "S03")) == course
    assert (course.first, course.on) == (ARRIVED, TODAY)
    assert course.chance_on(TODAY) == of.likely.chance_clean
    for day in (before(10), before(4)):
        assert course.chance_on(day) == pytest.approx(exact(logbook, "S03", day), abs=NEAR)
    # the chance is what comes last, and reaches what is asked on the day that is named
    assert of.forecast is not None
    chance = next(c for c in of.forecast.criteria if c.code == "chance_clean")
    assert chance.expected_on is not None
    assert course.chance_on(chance.expected_on) == pytest.approx(course.asked, abs=NEAR)
    assert course.chance_on(course.last) >= course.asked


def test_outside_quarantine_there_is_none(add: Add, logbook: Logbook) -> None:
    add("G02", on=before(20))
    assert finished(course_in_steps(record(logbook, "G02"))) is None
