"""Begin a course at one plant or a whole shelf, say that a step was done, stop it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from rounds.core.collection import Plant
from rounds.core.lineage import lived
from rounds.core.log.courses import NO_LABEL, STOPPED, Label, PlantCourse
from rounds.errors import BadInput, Refused
from rounds.service.collection.plants import check_here
from rounds.service.courses.fitting import egg_days, pests_of
from rounds.service.courses.schedule import planned_steps
from rounds.service.courses.templates import Template, course_name, find_template
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_plant
from rounds.store import courses, log, plants

COURSE, STEP = "course", "step"
"""Kinds of entries by which a course and a step of it are named; what was entered of them is named
by DONE and STOPPED."""

LONGEST_INTERVAL, MOST_USES, LONGEST_HOURS = 120, 40, 240.0
"""What a label may say: more is a slip of the hand."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be entered about a course at each plant."""

    course: str
    """code of its template, or the name of a course that was begun"""
    label: Label = NO_LABEL
    done: bool = False
    step: str | None = None
    """the step that was done, by its number or its name; the one due next by default"""
    stop: bool = False


def treat(
    logbook: Logbook, moment: Moment, codes: Sequence[str], asked: Asked
) -> list[tuple[Plant, int]]:
    """Enter a course at some plants in one go: begin it, say that a step was done, or stop it.

    A course is begun where none of its template runs. Each plant comes back with the id of its
    course.

    Raises:
        BadInput: for what cannot be entered, of any of the plants; nothing is written then.
        Refused: the course runs already, or does not run.
    """
    _check(asked)
    with plants.in_one_go(logbook.file):
        found = [_treat(logbook, moment, find_plant(logbook, code), asked) for code in codes]
    known = logbook.collection().plants
    return [(known[plant_id], course_id) for plant_id, course_id in found]


def course_at(logbook: Logbook, plant: Plant, course_id: int, on: date) -> PlantCourse | None:
    """A course of a plant as it stands at the end of a day; None once it was withdrawn."""
    known = _courses_of(logbook, plant, on)
    return next((course for course in known if course.begun.id == course_id), None)


def _courses_of(logbook: Logbook, plant: Plant, on: date) -> tuple[PlantCourse, ...]:
    return lived(plant, logbook.collection().plants).courses_on(on)


def _check(asked: Asked) -> None:
    label = asked.label
    if asked.stop and (asked.done or asked.step):
        raise BadInput("stop-and-done", field="stop")
    if asked.step and not asked.done:
        raise BadInput("step-not-done", field="step")
    _within(label.interval_days, 1, LONGEST_INTERVAL, "interval_days")
    _within(label.most_uses, 1, MOST_USES, "most_uses")
    _within(label.reentry_hours, 0, LONGEST_HOURS, "reentry_hours")
    _within(label.kills, 0, 1, "kills")


def _within(given: float | None, least: float, most: float, field: str) -> None:
    if given is not None and not least <= given <= most:
        raise BadInput("label-fact", field=field, given=given, least=f"{least:g}", most=f"{most:g}")


def _treat(logbook: Logbook, moment: Moment, plant: Plant, asked: Asked) -> tuple[int, int]:
    check_here(plant, moment.day)
    running = _named_or_running(logbook, moment, plant, asked)
    if running is not None and asked.label != NO_LABEL and (asked.done or asked.stop):
        raise BadInput("label-at-begin", field="product", code=plant.code)
    if asked.stop:
        if running is None:
            raise Refused("course-not-running", code=plant.code, field="course")
        _mark(logbook, moment, plant, running, None)
        return plant.id, running.begun.id
    if asked.done:
        course_id = running.begun.id if running else _begin(logbook, moment, plant, asked)
        _do(logbook, moment, logbook.collection().plants[plant.id], course_id, asked.step)
        return plant.id, course_id
    if running is not None:
        name = course_name(logbook, running.begun.course)
        raise Refused("course-running", code=plant.code, course=name, field="course")
    return plant.id, _begin(logbook, moment, plant, asked)


def _named_or_running(
    logbook: Logbook, moment: Moment, plant: Plant, asked: Asked
) -> PlantCourse | None:
    """The course of that name, or of that template the one that runs; None where none does."""
    known = _courses_of(logbook, plant, moment.day)
    named = next((c for c in known if str(course_entry(c, plant)) == asked.course.strip()), None)
    if named is not None:
        if not named.is_running:
            raise Refused("course-not-running", code=plant.code, field="course")
        return named
    code = find_template(logbook, asked.course).code
    return next((c for c in known if c.is_running and c.begun.course == code), None)


def _begin(logbook: Logbook, moment: Moment, plant: Plant, asked: Asked) -> int:
    template = find_template(logbook, asked.course)
    _check_fits(logbook, moment, plant, template, asked.label)
    label = NO_LABEL
    if template.needs_label:
        label = replace(asked.label, product=(asked.label.product or "").strip())
    pests = pests_of(logbook, plant, moment.day)
    eggs = egg_days(logbook, plant, pests, moment.day, template)
    most = logbook.parameters_on(moment.day).advice.most_times
    steps = planned_steps(template, label, moment.day, eggs, most)
    return courses.append_course(
        logbook.file, plant.id, _written(moment), template.code, steps, label
    )


def _check_fits(
    logbook: Logbook, moment: Moment, plant: Plant, template: Template, label: Label
) -> None:
    form = logbook.body_on(plant, moment.day)(moment.day).form
    if template.forms is not None and form not in template.forms:
        raise BadInput(
            "course-not-for-form", field="course", course=template.name, code=plant.code,
            form=form, forms=", ".join(template.forms),
        )  # fmt: skip
    if not template.needs_label:
        if label != NO_LABEL:
            raise BadInput("course-without-label", field="product", course=template.name)
        return
    if not (label.product or "").strip():
        raise BadInput("label-needed", field="product")
    if label.interval_days is None:
        raise BadInput("label-needed", field="interval_days")
    if label.most_uses is None:
        raise BadInput("label-needed", field="most_uses")


def _do(logbook: Logbook, moment: Moment, plant: Plant, course_id: int, step: str | None) -> None:
    course = next(c for c in _courses_of(logbook, plant, moment.day) if c.begun.id == course_id)
    named = {str(s.planned.number): s for s in course.steps}
    named |= {str(step_entry(course, s.planned.id, plant)): s for s in course.steps}
    if step is None:
        chosen = course.to_do[0]
    elif step.strip() not in named:
        raise BadInput("unknown-step", field="step", given=step)
    else:
        chosen = named[step.strip()]
    if chosen.done_on is not None:
        raise Refused("step-done-already", field="step", code=plant.code, day=chosen.done_on)
    _mark(logbook, moment, plant, course, chosen.planned.id)


def _mark(
    logbook: Logbook, moment: Moment, plant: Plant, course: PlantCourse, step_id: int | None
) -> None:
    courses.append_mark(logbook.file, plant.id, _written(moment), course.begun.id, step_id)


def do_next_step(logbook: Logbook, moment: Moment, plant: Plant, course: PlantCourse) -> None:
    """Write that the step of a course that is due next was done."""
    _mark(logbook, moment, plant, course, course.to_do[0].planned.id)


def _written(moment: Moment) -> courses.Written:
    return courses.Written(moment.day, moment.at_ms, moment.who)


def name_of_course(logbook: Logbook, plant: Plant, course_id: int) -> str:
    """How a course that was just entered about is named to the outside."""
    known = _courses_of(logbook, plant, date.max)
    return str(next(course_entry(c, plant) for c in known if c.begun.id == course_id))


def course_entry(course: PlantCourse, plant: Plant) -> EntryName:
    """How a course of a plant is named to the outside."""
    return EntryName(COURSE, course.begun.began_on, plant.id, course.begun.id)


def step_entry(course: PlantCourse, step_id: int, plant: Plant) -> EntryName:
    """How a step of a course is named to the outside."""
    return EntryName(STEP, course.begun.began_on, plant.id, step_id)


def withdraw_course(
    logbook: Logbook, moment: Moment, name: EntryName, plant: Plant, why: str | None
) -> list[str]:
    """Take back a course with all entered of it, that a step was done, or that it was stopped.

    BadInput where there is no such entry, Refused where a step was not done.
    """
    day, entry_id = _to_withdraw(name, plant)
    log.withdraw_of_record(logbook.file, plant.id, entry_id, day, moment.at_ms, why)
    return [str(name)]


def _to_withdraw(name: EntryName, plant: Plant) -> tuple[date, int]:
    """The day and id of the entry that is taken back; of a step that it was done."""
    marks = [m for m in plant.marks if (m.step_id is None) == (name.kind == STOPPED)]
    if name.kind == COURSE:
        found = [(c.began_on, c.id) for c in plant.courses if c.id == name.entry_id]
    elif name.kind == STEP:
        found = [(m.day, m.id) for m in marks if m.step_id == name.entry_id]
    else:
        found = [(m.day, m.id) for m in marks if m.id == name.entry_id]
    if not found:
        raise BadInput("unknown-entry", field="entry", given=str(name))
    return found[0]
