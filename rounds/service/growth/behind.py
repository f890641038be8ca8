"""Whether lifting by hand may not keep up: finds go on, and nothing else is done about them."""

from datetime import date, timedelta
from itertools import pairwise

from rounds.service.courses.standing import courses_of
from rounds.service.plant.record import PlantRecord


def days_with_finds(record: PlantRecord) -> int:
    """Of the last few days."""
    of = record.table.advice.often_of
    return sum((record.on - day).days < of for day in record.live_on)


def is_found_often(record: PlantRecord) -> bool:
    """Whether finds were made on so many of the last days that lifting alone may not keep up."""
    return days_with_finds(record) >= record.table.advice.often_days


def is_answered(record: PlantRecord, from_day: date) -> bool:
    """Whether a course begun on a day or later answers the finds.

    It does while it runs, and after its last step as long as it is given to work; one that was
    stopped does not.
    """
    works = timedelta(record.table.advice.works_days)
    for course in courses_of(record):
        if course.begun.began_on < from_day or course.stopped_on is not None:
            continue
        ended = course.last_done_on
        if course.is_running or (ended is not None and record.on <= ended + works):
            return True
    return False


def behind_since(record: PlantRecord) -> date | None:
    """Since when lifting may not keep up while no course answers; None where it may.

    Any course answers while it runs, and for as long as it is given to work.
    """
    if not is_found_often(record) or is_answered(record, date.min):
        return None
    rules = record.table.advice
    # each find that is one too many holds as long as the first of those it is counted with
    starts = record.live_on[rules.often_days - 1 :]
    held = [
        (first, start)
        for first, start in zip(record.live_on, starts, strict=False)
        if (start - first).days < rules.often_of
    ]
    since = held[-1][1]
    for later, before in pairwise(reversed(held)):
        if later[1] > before[0] + timedelta(rules.often_of):
            break
        since = before[1]
    return since
