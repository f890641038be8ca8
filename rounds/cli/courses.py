"""A course of treatment as it stands in an object, and as a person reads it."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from rounds import words
from rounds.cli.lines import table
from rounds.cli.output import plain
from rounds.service.courses.advice import Option
from rounds.service.courses.efficacy import Efficacy
from rounds.service.courses.told import CourseTold, StepTold
from rounds.words.forms import day_month

STEP_KEYS = ("id", "kind", "due_on", "done_on", "done_id")


def step_fields(step: StepTold) -> dict[str, Any]:
    return {name: plain(getattr(step, name)) for name in STEP_KEYS}


def course_lines(told: CourseTold, on: date) -> list[str]:
    """A course for a person: its name, its steps with their days and names, what to mind next."""
    head = words.say("courses.cli.head", name=told.name, day=day_month(told.began_on, on))
    if told.stopped_on is not None:
        head = words.say("courses.cli.stopped", head=head, day=day_month(told.stopped_on, on))
    rows = [
        [
            step.text,
            words.say("courses.cli.done", day=day_month(step.done_on, on))
            if step.done_on
            else ""
            if told.stopped_on
            else words.say("courses.cli.due", day=day_month(step.due_on, on)),
            step.id,
        ]
        for step in told.steps
    ]
    how = [told.next_how] if told.next_how else []
    minds = [words.say("courses.cli.mind", text=told_of.text) for told_of in told.cautions]
    return [head, told.id, *table(rows, indent=2), *how, *minds]


def course_fields(told: CourseTold, works: Efficacy | None) -> dict[str, Any]:
    """A course of a plant, with what it achieved."""
    return {
        "id": told.id,
        "course": told.course,
        "name": told.name,
        "began_on": told.began_on,
        "stopped_on": told.stopped_on,
        "stopped_id": told.stopped_id,
        "running": told.is_running,
        "next_on": told.next_on,
        "next_how": told.next_how,
        "steps": [step_fields(step) for step in told.steps],
        "label": plain(told.label) if told.label.product else None,
        "cautions": plain(told.cautions),
        "warnings": plain(told.warnings),
        "efficacy": works and _efficacy_fields(works),
    }


def _efficacy_fields(works: Efficacy) -> dict[str, Any]:
    return {
        "before_treated": works.before_treated,
        "after_treated": works.after_treated,
        "before_control": works.before_control,
        "after_control": works.after_control,
        "controls": works.controls,
        "abbott": works.abbott,
        "henderson_tilton": works.henderson_tilton,
        "low": works.low,
        "high": works.high,
        "found": works.found,
        "expected": works.expected,
        "reason": works.reason,
        "text": works.text,
    }


def option_fields(option: Option) -> dict[str, Any]:
    """One way to go on with a plant."""
    return {
        "code": option.code,
        "text": option.text,
        "reason": option.reason,
        "alternative": option.alternative,
        "cautions": plain(option.cautions),
        "expected_on": option.expected_on,
    }


def option_lines(options: Sequence[Option], on: date) -> Iterator[str]:
    """The ways to go on: each with why, and the day that it would bring."""
    for option in options:
        day = (
            words.say("courses.cli.day", day=day_month(option.expected_on, on))
            if (option.expected_on)
            else ""
        )
        yield words.say("courses.cli.option", text=option.text, why=option.reason, day=day)
    for told in options[0].cautions if options else ():
        yield words.say("courses.cli.mind", text=told.text)
