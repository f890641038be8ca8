"""Say that a step of a course was done on another day, at one plant or at all that have it due."""

from collections.abc import Sequence
from datetime import date

from rounds import words
from rounds.core.lineage import lived
from rounds.core.log.courses import PRODUCT
from rounds.service.courses.cautions import minds, use_warnings
from rounds.service.courses.shelf import StepHere, check_done_on, disliking, do_steps
from rounds.service.logbook.book import Logbook
from rounds.tui.forms.begin_course import MOST_CAUTIONS, ONE
from rounds.tui.forms.fields import Choice, Field, Form, Values
from rounds.tui.forms.values import choice_field, day_field, day_of, moment_of
from rounds.tui.forms.wording import (
    done,
    header_of,
    heading_day,
    joined,
    part,
    record_today,
    said_day,
)
from rounds.tui.screens.form import FormScreen
from rounds.words.forms import codes_text

ALL = "all"


def step_done_form(
    logbook: Logbook, what: str, steps: Sequence[StepHere], who: str | None = None
) -> FormScreen:
    """The screen that enters the day of a step.

    Args:
        logbook: of the plants.
        what: the step in words.
        steps: of the plant it is about first, then of the others that have the same to do.
        who: is at the keyboard.
    """
    first = steps[0]
    record, label = record_today(logbook, first.plant.code), first.course.begun.label
    warned = minds(record.plant, _kind(first), label, record.on)
    return FormScreen(
        Form(
            title=words.say("desk_forms.title.step-done"),
            plant=header_of(record),
            fields=(*_whom(steps), day_field(logbook, "day")),
            write=lambda values: _write(logbook, what, steps, values, who),
            sentence=lambda values: _sentence(logbook, what, steps, values),
            day=heading_day(logbook),
            lead=words.say("desk_forms.lead.step-done", step=what),
            cautions=warned[:MOST_CAUTIONS],
        )
    )


def _kind(step: StepHere) -> str:
    return step.course.to_do[0].planned.kind


def _whom(steps: Sequence[StepHere]) -> tuple[Field, ...]:
    """The plant alone, or all; nothing is asked where there are no others."""
    if len(steps) == 1:
        return ()
    choices = (
        Choice(ONE, words.say("desk_forms.shelf.one", code=steps[0].plant.code)),
        Choice(ALL, words.say("desk_forms.shelf.due", count=len(steps))),
    )
    return (choice_field("shelf", ONE, choices, "shelf"),)


def _chosen(steps: Sequence[StepHere], values: Values) -> tuple[Sequence[StepHere], str]:
    """The steps that are meant, and where that is in words."""
    if values.get("shelf", ONE) == ALL:
        return steps, words.say("desk_forms.shelf.due", count=len(steps))
    return steps[:1], steps[0].plant.code


def _sentence(logbook: Logbook, what: str, steps: Sequence[StepHere], values: Values) -> str:
    day = day_of(logbook, values["day"], "day")
    chosen, where = _chosen(steps, values)
    check_done_on(chosen, day, logbook.clock.today())
    said = part("step-done", step=what, code=where, day=said_day(logbook, day))
    # of one alone the step in words says it already
    wet = disliking(chosen, day) if len(chosen) > 1 else ()
    disliked = [part("shelf-disliking", codes=codes_text(wet))] if wet else []
    return joined([said, *disliked, *_warned(logbook, chosen, day)])


def _warned(logbook: Logbook, steps: Sequence[StepHere], day: date) -> list[str]:
    """What a label warns of, each once."""
    known = logbook.collection().plants
    found = (
        told.text.removesuffix(".")
        for step in steps
        if _kind(step) == PRODUCT
        for told in use_warnings(
            lived(step.plant, known).courses_on(day), step.course.begun.label, day
        )
    )
    return [*dict.fromkeys(found)]


def _write(
    logbook: Logbook, what: str, steps: Sequence[StepHere], values: Values, who: str | None
) -> str:
    day = day_of(logbook, values["day"], "day")
    chosen, where = _chosen(steps, values)
    check_done_on(chosen, day, logbook.clock.today())
    do_steps(logbook, moment_of(logbook, day, who), chosen)
    return done("step-done", step=what, code=where, day=said_day(logbook, day))
