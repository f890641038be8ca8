"""Courses of treatment as they were entered, and what of them stands at the end of a day.

A course is begun with its steps. That a step was done on a day, and that the course was stopped,
are entries of their own: what was entered before is never changed.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

BEGUN, DONE, STOPPED = "begun", "done", "stopped"
"""What an entry about a course says: the first comes before the others."""

SPRAY, RINSE, PRODUCT = "spray", "rinse", "product"
"""Kinds of steps; of a product a grower may know what it kills."""

SPRAYING = frozenset({SPRAY, PRODUCT})
"""Kinds of steps that kill what they wet."""

WETTING = SPRAYING | {RINSE}
"""Kinds of steps that wet leaves."""


@dataclass(frozen=True, slots=True)
class Label:
    """What a grower read off the label of a product, as typed in."""

    product: str | None = None
    interval_days: int | None = None
    """at least, between two uses"""
    most_uses: int | None = None
    """of one course"""
    reentry_hours: float | None = None
    """for which nobody goes near what was treated"""
    gear: str | None = None
    """what is worn while it is used"""
    kills: float | None = None
    """share of the insects in reach, eggs apart, that one use kills, where the grower knows it"""


NO_LABEL = Label()


@dataclass(frozen=True, slots=True)
class StepPlanned:
    """One step of a course; `id` of its entry."""

    id: int
    number: int
    """from 1"""
    kind: str
    after_days: int
    """since the step before it was done"""
    due_on: date
    """as it was planned when the course was begun"""


@dataclass(frozen=True, slots=True)
class CourseBegun:
    """A course was begun at a plant; `id` of the entry."""

    id: int
    plant_id: int
    began_on: date
    course: str
    """code of its template"""
    steps: tuple[StepPlanned, ...]
    label: Label = NO_LABEL


@dataclass(frozen=True, slots=True)
class CourseMark:
    """A step was done on a day, or the course was stopped; `id` of the entry."""

    id: int
    plant_id: int
    day: date
    course_id: int
    step_id: int | None
    """None where the course was stopped"""


@dataclass(frozen=True, slots=True)
class CourseStep:
    """A step as it stands."""

    planned: StepPlanned
    done_on: date | None = None
    done_id: int | None = None
    """the entry that says it was done"""


@dataclass(frozen=True, slots=True)
class PlantCourse:
    """A course as it stands at the end of a day."""

    begun: CourseBegun
    steps: tuple[CourseStep, ...]
    stopped_on: date | None = None
    stop_id: int | None = None

    @property
    def to_do(self) -> tuple[CourseStep, ...]:
        """The steps nobody has done; none once it was stopped."""
        if self.stopped_on is not None:
            return ()
        return tuple(step for step in self.steps if step.done_on is None)

    @property
    def is_running(self) -> bool:
        """Neither stopped nor at its end."""
        return bool(self.to_do)

    @property
    def done(self) -> tuple[CourseStep, ...]:
        """The steps that were done, in the order of the course."""
        return tuple(step for step in self.steps if step.done_on is not None)

    @property
    def last_done_on(self) -> date | None:
        """The last day on which a step was done."""
        return max((s.done_on for s in self.steps if s.done_on is not None), default=None)


def effective_courses(
    begun: Iterable[CourseBegun], marks: Iterable[CourseMark], on: date
) -> tuple[PlantCourse, ...]:
    """The courses of one plant as they stand at the end of `on`, in the order they were begun.

    Args:
        begun: those that stand.
        marks: the entries about them that stand; of one step the first one counts.
        on: what was entered about later days is not read.
    """
    done: dict[int, CourseMark] = {}
    stopped: dict[int, CourseMark] = {}
    for mark in sorted(marks, key=lambda mark: (mark.day, mark.id)):
        if mark.day > on:
            continue
        if mark.step_id is None:
            stopped.setdefault(mark.course_id, mark)
        else:
            done.setdefault(mark.step_id, mark)
    courses = sorted((c for c in begun if c.began_on <= on), key=lambda c: (c.began_on, c.id))
    return tuple(_standing(course, done, stopped.get(course.id)) for course in courses)


def _standing(
    course: CourseBegun, done: dict[int, CourseMark], stop: CourseMark | None
) -> PlantCourse:
    steps = []
    for step in course.steps:
        mark = done.get(step.id)
        steps.append(CourseStep(step) if mark is None else CourseStep(step, mark.day, mark.id))
    if stop is None:
        return PlantCourse(course, tuple(steps))
    return PlantCourse(course, tuple(steps), stop.day, stop.id)
