"""Courses of treatment: begun, their steps done, stopped; appended, never changed."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from sqlite3 import Connection

from rounds.core.log.courses import CourseBegun, CourseMark, Label, StepPlanned
from rounds.core.log.effective import Corrections
from rounds.store.connect import LogbookFile
from rounds.store.ids import NEXT_ID


@dataclass(frozen=True, slots=True)
class StepToWrite:
    """A step of a course that is begun."""

    kind: str
    after_days: int
    due_on: date


@dataclass(frozen=True, slots=True)
class Written:
    """Who wrote about which day, and when: milliseconds since 1970, UTC."""

    day: date
    at_ms: int
    who: str | None


def append_course(
    file: LogbookFile,
    plant_id: int,
    written: Written,
    course: str,
    steps: Sequence[StepToWrite],
    label: Label,
) -> int:
    """Write that a course was begun; the entry's id."""
    with file.writing_records() as connection:
        course_id = file.next_id()
        connection.execute(
            "INSERT INTO course VALUES (?,?,?,?,?,?,?,?,?,?,?,?)",
            (
                course_id, plant_id, written.day.toordinal(), written.at_ms, course,
                label.product, label.interval_days, label.most_uses, label.reentry_hours,
                label.gear, label.kills, written.who,
            ),
        )  # fmt: skip
        for number, step in enumerate(steps, 1):
            connection.execute(
                "INSERT INTO course_step VALUES (?,?,?,?,?,?)",
                (
                    file.next_id(), course_id, number, step.kind, step.after_days,
                    step.due_on.toordinal(),
                ),
            )  # fmt: skip
        return course_id


def append_mark(
    file: LogbookFile, plant_id: int, written: Written, course_id: int, step_id: int | None
) -> int:
    """Write that a step was done, or without one that the course was stopped; the entry's id."""
    with file.writing_records() as connection:
        entry_id = file.next_id()
        connection.execute(
            "INSERT INTO course_mark VALUES (?,?,?,?,?,?,?)",
            (
                entry_id, plant_id, written.day.toordinal(), written.at_ms, course_id, step_id,
                written.who,
            ),
        )  # fmt: skip
        return entry_id


def written_with(file: LogbookFile, entry_id: int) -> list[tuple[int, int, date]]:
    """The plant, id and day of every course, or mark, entered in one go with one, which is first.

    One go: numbers without a gap, those of steps counted, of one instant.
    """
    with file.reading() as connection:
        rows = connection.execute(_OF_INSTANT, {"entry": entry_id}).fetchall()
    runs: list[list[tuple[int, str, int, int]]] = []
    for row in rows:
        if not runs or row[0] - runs[-1][-1][0] != NEXT_ID:
            runs.append([])
        runs[-1].append(row)
    run = next((run for run in runs if any(entry == entry_id for entry, *_ in run)), [])
    table = next((of for entry, of, *_ in run if entry == entry_id), "")
    return [
        (plant_id, entry, date.fromordinal(day))
        for entry, of, plant_id, day in sorted(run, key=lambda row: (row[0] != entry_id, row[0]))
        if of == table
    ]


_OF_INSTANT = """
WITH instant AS (
    SELECT at_ms FROM course WHERE id = :entry
    UNION ALL SELECT at_ms FROM course_mark WHERE id = :entry
)
SELECT id, 'course', plant_id, day FROM course WHERE at_ms IN instant
UNION ALL
SELECT course_step.id, 'step', plant_id, day FROM course_step
JOIN course ON course.id = course_id WHERE at_ms IN instant
UNION ALL
SELECT id, 'mark', plant_id, day FROM course_mark WHERE at_ms IN instant
ORDER BY 1
"""
"""Every entry about courses of the instant of one."""


def courses_by_plant(
    connection: Connection, where: str, values: tuple[int, ...], corrections: Corrections
) -> dict[int, list[CourseBegun]]:
    """By plant, the courses that stand, in the order they were entered.

    Args:
        connection: of the file.
        where: condition on the plant, or empty.
        values: of the condition.
        corrections: of what was said of plants.
    """
    rows = connection.execute(
        "SELECT id, plant_id, day, template, product, interval_days, most_uses, reentry_hours, "
        f"gear, kills FROM course {where} ORDER BY id",
        values,
    ).fetchall()
    found: dict[int, list[CourseBegun]] = defaultdict(list)
    steps = _steps(connection) if rows else {}
    for entry_id, plant_id, day, template, *label in rows:
        if corrections.stands(entry_id):
            found[plant_id].append(
                CourseBegun(
                    id=entry_id,
                    plant_id=plant_id,
                    began_on=date.fromordinal(day),
                    course=template,
                    steps=tuple(steps.get(entry_id, ())),
                    label=Label(*label),
                )
            )
    return found


def marks_by_plant(
    connection: Connection, where: str, values: tuple[int, ...], corrections: Corrections
) -> dict[int, list[CourseMark]]:
    """By plant, the entries that stand about courses begun; arguments as above."""
    rows = connection.execute(
        f"SELECT id, plant_id, day, course_id, step_id FROM course_mark {where} ORDER BY id",
        values,
    ).fetchall()
    found: dict[int, list[CourseMark]] = defaultdict(list)
    for entry_id, plant_id, day, course_id, step_id in rows:
        if corrections.stands(entry_id):
            mark = CourseMark(entry_id, plant_id, date.fromordinal(day), course_id, step_id)
            found[plant_id].append(mark)
    return found


def _steps(connection: Connection) -> dict[int, list[StepPlanned]]:
    found: dict[int, list[StepPlanned]] = defaultdict(list)
    for entry_id, course_id, number, kind, after_days, due in connection.execute(
        "SELECT id, course_id, number, kind, after_days, due_day FROM course_step "
        "ORDER BY course_id, number"
    ):
        step = StepPlanned(entry_id, number, kind, after_days, date.fromordinal(due))
        found[course_id].append(step)
    return found
