"""The courses of a plant at the end of a day: what runs, what is due, what the sums are told."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Protocol

from rounds.core.collection import Plant
from rounds.core.inference.facts import Treated
from rounds.core.log.courses import PRODUCT, SPRAY, WETTING, Label, PlantCourse
from rounds.core.parameters import Kills, Parameters
from rounds.service.logbook.book import Logbook


class AtDay(Protocol):
    """What is asked of a plant at the end of a day (`PlantRecord`)."""

    on: date
    lived: Plant
    logbook: Logbook

    @property
    def pest(self) -> str:
        """With regard to which it is told."""

    @property
    def table(self) -> Parameters:
        """The values that hold on the day."""


@dataclass(frozen=True, slots=True)
class StepToCome:
    """A step that is not done yet, with the day it is due if those before it are done in time."""

    id: int
    kind: str
    number: int
    """from 1"""
    due_on: date


@dataclass(frozen=True, slots=True)
class CourseRunning:
    """A course that runs, with what is due next."""

    course: PlantCourse
    kind: str
    """of the step that is due next"""
    due_on: date
    number: int
    """of that step, from 1"""
    of: int
    """steps in all"""
    ends_on: date
    """the first day at whose end it can be over"""
    is_disliked: bool = False
    """the step wets leaves, and the plant dislikes that"""
    to_come: tuple[StepToCome, ...] = ()
    """all steps that are not done yet, in their order"""

    @property
    def is_product(self) -> bool:
        """The step is a use of a product with a label."""
        return self.kind == PRODUCT


def courses_of(record: AtDay) -> tuple[PlantCourse, ...]:
    """All courses of a plant up to the end of the day, oldest first."""
    return record.lived.courses_on(record.on)


def courses_key(plant: Plant, on: date) -> list[tuple[object, ...]]:
    """All of its courses that any figure of a plant rests on, to be digested."""
    return [
        (c.begun.id, c.begun.label, c.stopped_on, [(s.planned.kind, s.done_on) for s in c.steps])
        for c in plant.courses_on(on)
    ]


def first_free(record: AtDay) -> date:
    """The first day on which a step not done yet can still be done."""
    is_open = record.logbook.is_open_day(record.on)
    return record.on if is_open else record.on + timedelta(days=1)


def running(record: AtDay) -> tuple[CourseRunning, ...]:
    """The courses that run at the end of the day, the step due first before the others."""
    dislikes = (record.lived.fact("dislikes", record.on) or "").split()
    found = [
        _running(course, first_free(record), dislikes_wet="wet-leaves" in dislikes)
        for course in courses_of(record)
        if course.is_running
    ]
    return tuple(sorted(found, key=lambda r: (r.due_on, r.course.begun.id)))


def _running(course: PlantCourse, free: date, *, dislikes_wet: bool) -> CourseRunning:
    # what plans dates is loaded only where a course runs
    from rounds.service.courses.schedule import ends_on, steps_due

    ends = ends_on(course, free)
    to_come = tuple(
        StepToCome(p.id, p.kind, p.number, due.due_on)
        for due in steps_due(course, free)
        if due.step.done_on is None and (p := due.step.planned)
    )
    if not to_come or ends is None:
        raise ValueError(f"course {course.begun.id} is over")
    first = to_come[0]
    return CourseRunning(
        course, first.kind, first.due_on, first.number, len(course.steps), ends,
        is_disliked=dislikes_wet and first.kind in WETTING, to_come=to_come,
    )  # fmt: skip


def treated(record: AtDay, until: date, pest: str | None = None) -> tuple[Treated, ...]:
    """What was used on a plant up to a day that may kill a pest, oldest first.

    The pest is that of the record where none is named.
    """
    killed = record.pest if pest is None else pest
    found = [
        Treated(step.done_on, kills)
        for course in courses_of(record)
        for step in course.done
        if step.done_on is not None
        and step.done_on <= until
        and (kills := kills_of(step.planned.kind, course.begun.label, record.table, killed))
        is not None
    ]
    return tuple(sorted(found, key=lambda treated: treated.day))


def treated_ahead(record: AtDay, limit: date) -> tuple[Treated, ...]:
    """What running courses will use after the day, if their steps go on as they are due."""
    found: list[Treated] = []
    for course in courses_of(record):
        if course.is_running:
            found += _ahead(course, record, limit)
    return tuple(sorted(found, key=lambda treated: treated.day))


def _ahead(course: PlantCourse, record: AtDay, limit: date) -> Sequence[Treated]:
    from rounds.service.courses.schedule import steps_due

    free = first_free(record)
    found = []
    for due in steps_due(course, free):
        kills = kills_of(due.step.planned.kind, course.begun.label, record.table, record.pest)
        day = max(due.due_on, free)
        if due.step.done_on is None and kills is not None and day <= limit:
            found.append(Treated(day, kills))
    return found


def kills_of(kind: str, label: Label, table: Parameters, pest: str) -> Kills | None:
    """What one use of a step kills of a pest; None where nothing is assumed of it."""
    kills = table.treatments.get(kind)
    if kills is None:
        return None
    if kind == PRODUCT and label.kills is not None:
        kills = replace(kills, in_reach=label.kills)
    if kind == SPRAY and table.pests[pest].spared:
        kills = replace(kills, spared=table.pests[pest].spared)
    return None if kills == Kills() else kills
