"""The same step of a course at several plants: what tells it from another, and who has it to do."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from rounds.core.lineage import lived
from rounds.core.log.courses import DONE, PlantCourse, StepPlanned
from rounds.service.courses.shelf import StepHere
from rounds.service.courses.standing import CourseRunning, StepToCome
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.named import find_plant
from rounds.service.plant.status import PlantStatus


@dataclass(frozen=True, slots=True)
class SameStep:
    """A step of a course, whatever the plant: what is the same at all that have it to do."""

    course: str
    """code of the template"""
    product: str
    """of the label, folded; empty without one"""
    kind: str
    number: int
    """from 1"""
    of: int
    """steps in all"""


@dataclass(frozen=True, slots=True)
class StepAt:
    """A plant at which a step is to be done."""

    status: PlantStatus
    running: CourseRunning
    """its course, with that step as the one spoken about"""
    due_on: date
    is_next: bool
    """nothing of the course is to be done before it"""


def same_step(running: CourseRunning) -> SameStep:
    """The step that a course speaks about."""
    begun = running.course.begun
    product = (begun.label.product or "").casefold()
    return SameStep(begun.course, product, running.kind, running.number, running.of)


def at_step(running: CourseRunning, step: StepToCome) -> CourseRunning:
    """A course with one of its steps to come as the one spoken about."""
    return replace(running, kind=step.kind, number=step.number)


def steps_at(
    statuses: Iterable[PlantStatus], step: SameStep, day: date, on: date
) -> tuple[StepAt, ...]:
    """The plants that have a step to do on a day, by code; today's are all that are due by then.

    Args:
        statuses: of the plants that are here.
        step: which.
        day: on which it is to be done.
        on: today.
    """
    found = []
    for status in statuses:
        for running in status.courses:
            for coming in running.to_come:
                here = at_step(running, coming)
                if max(coming.due_on, on) == max(day, on) and same_step(here) == step:
                    is_next = coming.number == running.number
                    found.append(StepAt(status, here, coming.due_on, is_next))
    return tuple(sorted(found, key=lambda at: at.status.code.casefold()))


def can_be_done(steps: Iterable[StepAt]) -> tuple[StepAt, ...]:
    """Those before which nothing else of their course is to be done."""
    return tuple(step for step in steps if step.is_next)


def steps_here(logbook: Logbook, steps: Iterable[StepAt]) -> list[StepHere]:
    """The steps as they are written."""
    found = ((find_plant(logbook, step.status.code), step.running.course) for step in steps)
    return [StepHere(*each) for each in found]


def newest_done(logbook: Logbook, step: SameStep, on: date) -> EntryName | None:
    """The entry written last that says that a step was done, at any plant; None without one."""
    every = logbook.collection()
    found = [
        (done.done_id, EntryName(DONE, done.done_on, plant.id, done.done_id))
        for plant in every.here(on)
        for course in lived(plant, every.plants).courses_on(on)
        for done in course.done
        if done.done_id is not None
        and done.done_on is not None
        and _is_of(step, course, done.planned)
    ]
    return max(found, key=lambda each: each[0])[1] if found else None


def _is_of(step: SameStep, course: PlantCourse, planned: StepPlanned) -> bool:
    product, count = (course.begun.label.product or "").casefold(), len(course.steps)
    said = (course.begun.course, product, planned.kind, planned.number, count)
    return SameStep(*said) == step
