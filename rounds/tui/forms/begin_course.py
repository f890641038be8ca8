"""Begin a course of treatment by keys; of a labelled product with what its label says."""

from rounds import words
from rounds.core.log.courses import NO_LABEL, Label
from rounds.service.courses.cautions import cautions
from rounds.service.courses.schedule import planned_steps
from rounds.service.courses.templates import Template, find_template
from rounds.service.courses.written import Asked, egg_days, treat
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord
from rounds.tui.forms.fields import Field, Form, Values
from rounds.tui.forms.values import day_field, day_of, moment_of, needed, number_of, text_field
from rounds.tui.forms.wording import (
    done,
    fault,
    header_of,
    heading_day,
    hint_for,
    label,
    part,
    record_today,
    said_day,
)
from rounds.tui.screens.form import FormScreen

MOST_CAUTIONS = 4
"""beside the lines of a form; the page of the course has them all"""


def begin_course_form(
    logbook: Logbook, code: str, course: str, who: str | None = None
) -> FormScreen:
    """The screen that begins a course at a plant."""
    record, template = record_today(logbook, code), find_template(logbook, course)
    minds = cautions(record.plant, template.steps[0].kind, NO_LABEL, record.on)
    return FormScreen(
        Form(
            title=words.say("desk_forms.title.begin-course"),
            plant=header_of(record),
            fields=_fields(logbook, template),
            write=lambda values: _write(record, template, values, who),
            sentence=lambda values: _sentence(record, template, values),
            day=heading_day(logbook),
            lead=words.say("desk_forms.lead.begin-course", course=template.name),
            cautions=tuple(told.text for told in minds[:MOST_CAUTIONS]),
        )
    )


def _fields(logbook: Logbook, template: Template) -> tuple[Field, ...]:
    of_label = (
        text_field("product"),
        _whole_field("interval_days"),
        _whole_field("most_uses"),
        _number_field("reentry_hours"),
        text_field("gear"),
        _number_field("kills"),
    )
    return (day_field(logbook, "day"), *(of_label if template.needs_label else ()))


def _whole_field(code: str) -> Field:
    def check(given: str) -> str:
        if not (given.isascii() and given.isdigit()) or not int(given):
            raise fault("no-count", code, given=given)
        return given

    return Field(code, label(code), hint=hint_for(code), check=check, may_be_empty=False)


def _number_field(code: str) -> Field:
    def check(given: str) -> str:
        number_of(given, code)
        return given

    return Field(code, label(code), hint=hint_for(code), check=check)


def _label(template: Template, values: Values) -> Label:
    if not template.needs_label:
        return NO_LABEL
    needed(values, "product", "interval_days", "most_uses")
    hours, kills = values["reentry_hours"], values["kills"]
    return Label(
        product=values["product"],
        interval_days=int(values["interval_days"]),
        most_uses=int(values["most_uses"]),
        reentry_hours=number_of(hours, "reentry_hours") if hours else None,
        gear=values["gear"] or None,
        kills=number_of(kills, "kills") if kills else None,
    )


def _sentence(record: PlantRecord, template: Template, values: Values) -> str:
    logbook = record.logbook
    day, given = day_of(logbook, values["day"], "day"), _label(template, values)
    most = logbook.parameters_on(day).advice.most_times
    steps = planned_steps(template, given, day, egg_days(logbook, record.plant, day), most)
    return part(
        "begin-course" if len(steps) > 1 else "begin-course-once",
        course=template.name,
        code=record.plant.code,
        steps=len(steps),
        first=said_day(logbook, steps[0].due_on),
        last=said_day(logbook, steps[-1].due_on),
    )


def _write(record: PlantRecord, template: Template, values: Values, who: str | None) -> str:
    logbook, code = record.logbook, record.plant.code
    day = day_of(logbook, values["day"], "day")
    asked = Asked(template.code, _label(template, values))
    treat(logbook, moment_of(logbook, day, who), [code], asked)
    return done("begin-course", course=template.name, code=code)
