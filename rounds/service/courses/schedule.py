"""When each step of a course is due: planned at its beginning, moved on when a day is missed.

Days are local dates without a time, so that no change of the clocks can move one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from itertools import groupby
from math import ceil

from rounds.core.log.courses import SPRAY, CourseStep, Label, PlantCourse
from rounds.service.courses.templates import MOST_TIMES, StepTemplate, Template
from rounds.store.courses import StepToWrite


@dataclass(frozen=True, slots=True)
class StepDue:
    """A step of a course with the day it is due, or was done."""

    step: CourseStep
    due_on: date


@dataclass(frozen=True, slots=True)
class EggDays:
    """Days that eggs take to hatch where a plant stands, of the pests a course is begun for."""

    latest: float | None
    """of the pest whose eggs are the last; None where they never do"""
    apart: int | None = None
    """days after which a spray meets what has hatched since; None where the course says it alone"""


def days_after(first: date, every: int, count: int) -> tuple[date, ...]:
    """So many days, each `every` days after the one before, the first that long after `first`."""
    if every == 0:
        return (first,) * count
    # slow to import, and needed only where there is a course
    from dateutil.rrule import DAILY, rrule

    rule = rrule(DAILY, interval=every, dtstart=datetime.combine(first, time()), count=count + 1)
    return tuple(found.date() for found in rule)[1:]


def times_needed(step: StepTemplate, egg_days: float | None, every: int, most: int) -> int:
    """How often a step is done, `every` so many days, where eggs take `egg_days` to hatch.

    `hatched` times come after every egg laid by the first time has hatched, `times` at least.
    `egg_days` is None where they never do; then it is done `most` times.
    """
    if step.hatched is None:
        return step.times
    if egg_days is None:
        return max(step.times, most)
    needed = ceil(egg_days / every) + step.hatched
    return min(max(step.times, needed), max(step.times, most))


def days_between(step: StepTemplate, label: Label, eggs: EggDays) -> int:
    """How far apart a step is done: as the label says; a spray as soon as quick eggs hatch."""
    if label.interval_days is not None:
        return label.interval_days
    if step.kind != SPRAY or eggs.apart is None:
        return step.every_days
    return min(step.every_days, eggs.apart)


def planned_steps(
    template: Template, label: Label, first: date, eggs: EggDays, most: int
) -> tuple[StepToWrite, ...]:
    """The steps of a course begun on a day, each with the day it is planned for.

    Args:
        template: the course.
        label: what it says goes before the template: how far apart, and how often at most.
        first: the day it is begun.
        eggs: how long they take to hatch where the plant stands.
        most: times of a step, however cold it is.
    """
    found: list[StepToWrite] = []
    day = first
    for step in template.steps:
        every = days_between(step, label, eggs)
        times = times_needed(step, eggs.latest, every, most)
        if label.most_uses is not None:
            times = min(times, label.most_uses)
        (begins,) = days_after(day, step.wait_days, 1)
        days = (begins, *days_after(begins, every, min(times, MOST_TIMES) - 1))
        gaps = (step.wait_days, *(every,) * (len(days) - 1))
        found += [StepToWrite(step.kind, gap, due) for gap, due in zip(gaps, days, strict=True)]
        day = days[-1]
    return tuple(found)


def steps_due(course: PlantCourse, first_free: date) -> tuple[StepDue, ...]:
    """Every step with its day: of one done the day it was, of the others the day it is due.

    A step that was missed stays due on its day. Those after it keep their distance from the day
    it can be done at the earliest.

    Args:
        course: as it stands at the end of a day.
        first_free: the first day on which a step not done can still be done.
    """
    return tuple(_due(course.steps, first_free))


def _due(steps: Sequence[CourseStep], first_free: date) -> Iterator[StepDue]:
    before: date | None = None
    for key, group in groupby(steps, key=lambda s: (s.done_on is None, s.planned.after_days)):
        alike = list(group)
        is_open, gap = key
        if not is_open:
            for step in alike:
                before = step.done_on or step.planned.due_on
                yield StepDue(step, before)
            continue
        if before is None:
            due = alike[0].planned.due_on
        else:
            (due,) = days_after(before, gap, 1)
        yield StepDue(alike[0], due)
        before = max(due, first_free)
        following = days_after(before, gap, len(alike) - 1)
        for step, day in zip(alike[1:], following, strict=True):
            yield StepDue(step, day)
            before = day


def next_due(course: PlantCourse, first_free: date) -> StepDue | None:
    """The step to be done next; None where there is none, or the course was stopped."""
    if not course.is_running:
        return None
    return next(due for due in steps_due(course, first_free) if due.step.done_on is None)


def ends_on(course: PlantCourse, first_free: date) -> date | None:
    """The day on which the last step can be done at the earliest; None where it is over."""
    if not course.is_running:
        return None
    to_do = [due for due in steps_due(course, first_free) if due.step.done_on is None]
    return max(first_free, *(due.due_on for due in to_do))
