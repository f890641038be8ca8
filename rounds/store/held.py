"""What the logbook holds already, taken back or not, to tell known rows of a file from new."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from datetime import date
from itertools import groupby
from operator import itemgetter
from typing import Any, NamedTuple

from rounds.core.log.courses import BEGUN, DONE, NO_LABEL, STOPPED, Label
from rounds.store.connect import LogbookFile


class LookContent(NamedTuple):
    """The fields by which two looks of one person and day are identical."""

    plant_id: int
    zone: str
    began_at: int
    """since 1970, UTC, in seconds"""
    milliseconds: int
    outcome: int
    unpotted: int
    note: str | None
    counts: tuple[tuple[tuple[str, str, str], int], ...]
    """how many of each kind, stage or nothing, and pest, however many presses they took"""


def held_looks(file: LogbookFile, day: date, who: str | None) -> Iterator[LookContent]:
    """Every closed look that somebody made, or entered, for a day."""
    with file.reading() as connection:
        rows = connection.execute(
            "SELECT look.id, look.plant_id, zone.code, look.began_at, milliseconds, outcome, "
            "unpotted, text, kind, stage, pest.code, count "
            "FROM look JOIN round ON round.id = round_id JOIN zone ON zone.id = zone_id "
            "LEFT JOIN entry_note ON entry_id = look.id "
            "LEFT JOIN tally ON tally.day = look.day AND tally.plant_id = look.plant_id "
            "AND look_id = look.id "
            "LEFT JOIN pest ON pest.id = pest_id "
            "WHERE look.day = ? AND round.who IS ? ORDER BY look.plant_id, look.id",
            (day.toordinal(), who),
        )
        for _, of_look in groupby(rows, itemgetter(0)):
            yield look_content(row[1:] for row in of_look)


def look_content(rows: Iterable[tuple[Any, ...]]) -> LookContent:
    """What a look is, from a row for each of its counts, or one row without.

    Args:
        rows: the fields but `counts`; then kind (None without a count), stage, pest and count.
    """
    counts: Counter[tuple[str, str, str]] = Counter()
    for row in rows:
        *look, kind, stage, pest, count = row
        if kind is not None:
            counts[kind, stage or "", pest] += count
    return LookContent._make((*look, tuple(sorted(counts.items()))))


def held_weather(file: LogbookFile) -> dict[tuple[int, date], set[tuple[float, float]]]:
    """Least and greatest temperatures ever entered, degC, by place and day."""
    found: dict[tuple[int, date], set[tuple[float, float]]] = defaultdict(set)
    with file.reading() as connection:
        for place_id, day, min_c, max_c in connection.execute(
            "SELECT place_id, day, min_c, max_c FROM weather"
        ):
            found[place_id, date.fromordinal(day)].add((min_c, max_c))
    return found


class CourseContent(NamedTuple):
    """The fields by which two entries about courses of treatment are identical."""

    plant_id: int
    course: str
    """code of its template"""
    day: date
    what: str
    """BEGUN, DONE or STOPPED"""
    step: int | None
    """number of the step that was done, from 1"""
    label: Label
    """of a course that was begun, as typed in"""


def held_courses(file: LogbookFile) -> Counter[CourseContent]:
    """How often each was entered."""
    found: Counter[CourseContent] = Counter()
    with file.reading() as connection:
        for plant_id, template, day, *label in connection.execute(
            "SELECT plant_id, template, day, product, interval_days, most_uses, reentry_hours, "
            "gear, kills FROM course"
        ):
            on = date.fromordinal(day)
            found[CourseContent(plant_id, template, on, BEGUN, None, Label(*label))] += 1
        for plant_id, template, day, step in connection.execute(
            "SELECT mark.plant_id, template, mark.day, number FROM course_mark AS mark "
            "JOIN course ON course.id = mark.course_id "
            "LEFT JOIN course_step ON course_step.id = mark.step_id"
        ):
            what, on = STOPPED if step is None else DONE, date.fromordinal(day)
            found[CourseContent(plant_id, template, on, what, step, NO_LABEL)] += 1
    return found
