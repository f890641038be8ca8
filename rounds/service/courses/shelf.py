"""A course at all plants of a place or a bench: who takes part, what is due there as well, and how
what was entered in one go is undone in one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds.core.collection import Plant
from rounds.core.lineage import lived
from rounds.core.log.courses import STOPPED, WETTING, PlantCourse
from rounds.errors import BadInput, Refused
from rounds.service.collection.plants import check_here
from rounds.service.courses.templates import Template
from rounds.service.courses.written import (
    COURSE,
    course_at,
    do_next_step,
    withdraw_course,
)
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_place
from rounds.store import courses, plants
from rounds.words.forms import calendar_day


@dataclass(frozen=True, slots=True)
class Shelf:
    """The plants of a place or bench, by what a course means for each; codes."""

    taking: tuple[str, ...]
    """it can be begun there"""
    running: tuple[str, ...]
    """it is under way"""
    unfit: tuple[str, ...]
    """their growth form does not stand it"""
    disliking: tuple[str, ...]
    """of those taking part, which dislike wet leaves where it wets them"""


def shelf(logbook: Logbook, on: date, place: str | None, bench: str | None) -> list[Plant]:
    """The plants that stand at a place, on a bench, or both. BadInput where none does."""
    found = logbook.collection()
    at = find_place(logbook, place) if place is not None else None
    wanted = bench.strip().casefold() if bench is not None else None
    standing = []
    for plant in found.here(on):
        move = plant.move_on(on)
        stands = found.places[move.place_id] if move else None
        if stands is None or (at is not None and stands.id != at.id):
            continue
        if wanted is None or (stands.bench(on) or "").casefold() == wanted:
            standing.append(plant)
    if not standing:
        raise BadInput("nobody-on-shelf", field="place")
    return sorted(standing, key=lambda plant: plant.code.casefold())


def shelf_for(logbook: Logbook, on: date, template: Template, standing: Sequence[Plant]) -> Shelf:
    """What a course means for some plants on a day."""
    every = logbook.collection().plants
    taking, running, unfit = [], [], []
    for plant in standing:
        known = lived(plant, every).courses_on(on)
        form = logbook.body_on(plant, on)(on).form
        if any(c.is_running and c.begun.course == template.code for c in known):
            running.append(plant)
        elif template.forms is not None and form not in template.forms:
            unfit.append(plant)
        else:
            taking.append(plant)
    wets = bool(WETTING & template.kinds)
    disliking = [p for p in taking if wets and "wet-leaves" in (p.fact("dislikes", on) or "")]
    return Shelf(*(tuple(p.code for p in of) for of in (taking, running, unfit, disliking)))


@dataclass(frozen=True, slots=True)
class StepHere:
    """A plant at which a step of a course is due, with the course."""

    plant: Plant
    course: PlantCourse


def due_here_too(
    logbook: Logbook, plant: Plant, course: PlantCourse, on: date
) -> tuple[StepHere, ...]:
    """Others at the place of a plant at which the step due next of its course is due as well.

    The same course, of one product where it has a label, and the same kind of step, due by the day.
    """
    # what plans dates is loaded only where a course runs
    from rounds.service.courses.schedule import next_due

    move, due = plant.move_on(on), next_due(course, on)
    if move is None or due is None:
        return ()
    every = logbook.collection()
    here = shelf(logbook, on, every.places[move.place_id].name, None)
    found = []
    for other in here if due.due_on <= on else ():
        for running in lived(other, every.plants).courses_on(on) if other.id != plant.id else ():
            its = next_due(running, on)
            if its is None or its.due_on > on or its.step.planned.kind != due.step.planned.kind:
                continue
            if _same_treatment(running, course):
                found.append(StepHere(other, running))
                break
    return tuple(found)


def _same_treatment(one: PlantCourse, other: PlantCourse) -> bool:
    products = [(c.begun.label.product or "").casefold() for c in (one, other)]
    return one.begun.course == other.begun.course and products[0] == products[1]


def disliking(steps: Sequence[StepHere], on: date) -> tuple[str, ...]:
    """The codes of those that dislike wet leaves, where the step that is due wets them."""
    return tuple(
        step.plant.code
        for step in steps
        if step.course.to_do[0].planned.kind in WETTING
        and "wet-leaves" in (step.plant.fact("dislikes", on) or "")
    )


def do_steps(logbook: Logbook, moment: Moment, steps: Sequence[StepHere]) -> None:
    """Write in one go that the step due next was done at each.

    Refused where it was entered elsewhere meanwhile, or the course no longer runs.
    """
    with plants.in_one_go(logbook.file):
        for step in steps:
            _check_open(logbook, step)
            do_next_step(logbook, moment, step.plant, step.course)


def _check_open(logbook: Logbook, step: StepHere) -> None:
    plant = logbook.collection().plants[step.plant.id]
    course, wanted = course_at(logbook, plant, step.course.begun.id, date.max), step.course.to_do[0]
    if course is None or not course.is_running:
        raise Refused("course-not-running", code=plant.code, field="course")
    if all(open_.planned.id != wanted.planned.id for open_ in course.to_do):
        done_on = next(s.done_on for s in course.steps if s.planned.id == wanted.planned.id)
        raise Refused("step-done-already", field="step", code=plant.code, day=done_on)


def check_done_on(steps: Sequence[StepHere], day: date, on: date) -> None:
    """BadInput where a step cannot have been done on a day: before its course, or the step before.

    Refused where the plant was gone by then. `on` is today.
    """
    for step in steps:
        check_here(step.plant, day)
        before = {
            "step-before-course": step.course.begun.began_on,
            "step-before-last": step.course.last_done_on,
        }
        for code, first in before.items():
            if first is not None and day < first:
                raise BadInput(
                    code, field="day", code=step.plant.code,
                    day=calendar_day(day, on), first=calendar_day(first, on),
                )  # fmt: skip


def entered_together(logbook: Logbook, name: EntryName) -> tuple[EntryName, ...]:
    """What was entered in one go with an entry about a course, and still stands; itself first.

    Of other plants: that courses were begun, that steps were done, or that courses were stopped.
    """
    known = logbook.collection().plants
    names = (
        EntryName(name.kind, day, plant_id, entry)
        for plant_id, entry, day in courses.written_with(logbook.file, name.entry_id)
        if plant_id != name.owner_id or entry == name.entry_id
    )
    return tuple(other for other in names if _stands(other, known[other.owner_id]))


def _stands(name: EntryName, plant: Plant) -> bool:
    if name.kind == COURSE:
        return any(course.id == name.entry_id for course in plant.courses)
    is_stop = name.kind == STOPPED
    return any(m.id == name.entry_id and (m.step_id is None) is is_stop for m in plant.marks)


def withdraw_together(logbook: Logbook, moment: Moment, names: Sequence[EntryName]) -> None:
    """Take back what was entered in one go, all or none."""
    known = logbook.collection().plants
    with logbook.file.writing():
        for name in names:
            withdraw_course(logbook, moment, name, known[name.owner_id], None)
