"""A course of one plant as commands and screens tell it: its steps, what to mind, what warns."""

from dataclasses import dataclass
from datetime import date

from rounds.core.log.courses import Label, PlantCourse
from rounds.service.courses.cautions import Told, cautions, warnings
from rounds.service.courses.fitting import egg_days, unusual_text
from rounds.service.courses.schedule import StepDue, next_due, steps_due
from rounds.service.courses.standing import courses_of
from rounds.service.courses.templates import Template, course_name, templates
from rounds.service.courses.text import how_text, step_text
from rounds.service.courses.written import course_entry, step_entry
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.plant.record import PlantRecord


@dataclass(frozen=True, slots=True)
class StepTold:
    """One step of a course."""

    id: str
    kind: str
    text: str
    due_on: date
    done_on: date | None
    done_id: str | None


@dataclass(frozen=True, slots=True)
class CourseTold:
    """A course at the end of a day."""

    id: str
    course: str
    name: str
    began_on: date
    stopped_on: date | None
    stopped_id: str | None
    is_running: bool
    label: Label
    steps: tuple[StepTold, ...]
    next_on: date | None
    """the day the next step is due; None once it is over"""
    cautions: tuple[Told, ...]
    """of the next step"""
    warnings: tuple[Told, ...]
    next_how: str | None
    """how that step is done"""


def course_told(record: PlantRecord, course: PlantCourse) -> CourseTold:
    """One course of a plant, at the end of the day of its record."""
    logbook, plant, on = record.logbook, record.plant, record.on
    # a step due on the day is not missed before it is over
    due, label = next_due(course, on), course.begun.label
    template = templates(logbook).get(course.begun.course)
    stop = course.stop_id
    return CourseTold(
        id=str(course_entry(course, plant)),
        course=course.begun.course,
        name=course_name(logbook, course.begun.course),
        began_on=course.begun.began_on,
        stopped_on=course.stopped_on,
        stopped_id=None
        if course.stopped_on is None or stop is None
        else str(EntryName("stopped", course.stopped_on, plant.id, stop)),
        is_running=course.is_running,
        label=label,
        steps=tuple(_step(record, course, due) for due in steps_due(course, on)),
        next_on=due.due_on if due else None,
        cautions=cautions(plant, due.step.planned.kind, label, on) if due else (),
        warnings=_unusual(record, course, template)
        + warnings(
            plant,
            courses_of(record),
            course,
            template,
            egg_days(logbook, plant, record.pests, on, template),
            record.table.advice.most_times,
            on,
        ),
        next_how=how_text(due.step.planned.kind) if due else None,
    )


def _unusual(
    record: PlantRecord, course: PlantCourse, template: Template | None
) -> tuple[Told, ...]:
    """That a course under way is not usual against a pest of its plant."""
    if template is None or not course.is_running:
        return ()
    text = unusual_text(template, record.pests, record.table)
    return (Told("unusual", text),) if text else ()


def courses_told(record: PlantRecord) -> tuple[CourseTold, ...]:
    """All courses of a plant up to the end of the day, those under way first, newest first."""
    found = [course_told(record, course) for course in reversed(courses_of(record))]
    return tuple(sorted(found, key=lambda told: not told.is_running))


def _step(record: PlantRecord, course: PlantCourse, due: StepDue) -> StepTold:
    step, plant = due.step, record.plant
    done_id = step.done_id
    return StepTold(
        id=str(step_entry(course, step.planned.id, plant)),
        kind=step.planned.kind,
        text=step_text(step.planned.kind, course.begun.label),
        due_on=due.due_on,
        done_on=step.done_on,
        done_id=None
        if step.done_on is None or done_id is None
        else str(EntryName("done", step.done_on, plant.id, done_id)),
    )
