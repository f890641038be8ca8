"""treat, courses: courses of treatment."""

from datetime import date, timedelta
from typing import Any

import click

from rounds import words
from rounds.cli.courses import course_lines, step_fields
from rounds.cli.lines import table
from rounds.cli.options import Writing, argument, command, option, reading, writing
from rounds.cli.output import Answer, plain
from rounds.cli.plant_answer import plant_answer
from rounds.cli.values import COUNT, NUMBER
from rounds.core.log.courses import Label
from rounds.core.parameters import Parameters
from rounds.errors import BadInput
from rounds.service.courses.cautions import Told
from rounds.service.courses.fitting import usual_among
from rounds.service.courses.shelf import shelf
from rounds.service.courses.templates import (
    Template,
    TemplateValue,
    check_templates,
    copy_template,
    templates,
)
from rounds.service.courses.told import CourseTold, course_told
from rounds.service.courses.written import Asked, course_at, name_of_course, treat
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import read_entry_name
from rounds.service.logbook.named import find_plant
from rounds.words.forms import day_month, time_of_day


@command("treat")
@argument("CODE", "codes", nargs=-1)
@argument("COURSE")
@option("--place", metavar="P", about="treat-place")
@option("--bench", metavar="B", about="treat-bench")
@option("--step", metavar="ID")
@option("--done", is_flag=True)
@option("--stop", is_flag=True)
@option("--product", metavar="NAME")
@option("--interval-days", type=COUNT, metavar="D")
@option("--most-uses", type=COUNT, metavar="N")
@option("--reentry-hours", type=NUMBER, metavar="H")
@option("--gear", metavar="TEXT")
@option("--kills", type=NUMBER, metavar="SHARE")
@writing
def treat_plants(
    asked: Writing,
    codes: tuple[str, ...],
    course: str,
    place: str | None,
    bench: str | None,
    step: str | None,
    done: bool,
    stop: bool,
    **label: Any,
) -> Answer:
    """Begin a course, say that a step was done, or stop it."""
    logbook, moment = asked.logbook, asked.moment
    wanted = Asked(course, Label(**label), done, step, stop)

    def write() -> dict[str, Any]:
        named = list(codes)
        if place is not None or bench is not None:
            named += [plant.code for plant in shelf(logbook, moment.day, place, bench)]
        if not named:
            raise BadInput("no-plant-named", field="codes")
        found = treat(logbook, moment, list(dict.fromkeys(named)), wanted)
        return {
            "treated": [
                {"code": plant.code, "course_id": name_of_course(logbook, plant, course_id)}
                for plant, course_id in found
            ]
        }

    written, known = asked.once(write)
    first = written["treated"][0]
    told = _told(logbook, first["code"], first["course_id"], moment.day)
    warned = [*told.warnings, *_reentry(asked, told, first["code"])] if told else []
    before = {
        "course_id": first["course_id"],
        "course": told and told.course,
        "steps": [step_fields(step) for step in told.steps] if told else [],
        "warnings": plain(warned),
        "cautions": plain(told.cautions) if told else [],
        "stopped_id": told and told.stopped_id,
        "treated": written["treated"],
    }
    lines = [*course_lines(told, moment.day), *(each.text for each in warned)] if told else []
    others = [each["code"] for each in written["treated"][1:]]
    if others:
        lines.append(words.say("courses.cli.also", codes=", ".join(others)))
    return plant_answer("treat", asked, first["code"], known, before=before, lines=lines)


def _told(logbook: Logbook, code: str, course_id: str, on: date) -> CourseTold | None:
    """The course as it stands; None where it was withdrawn since."""
    plant = find_plant(logbook, code)
    course = course_at(logbook, plant, read_entry_name(course_id).entry_id, on)
    return None if course is None else course_told(record_of(logbook, plant, on), course)


def _reentry(asked: Writing, told: CourseTold, code: str) -> list[Told]:
    """Until when nobody goes near, where the product was used now; hours are those of a clock."""
    hours = told.label.reentry_hours
    if not hours or not any(step.done_on == asked.moment.day for step in told.steps):
        return []
    until = (asked.moment.instant + timedelta(hours=hours)).astimezone()
    text = f"{day_month(until.date(), asked.moment.day)} {time_of_day(until)}"
    return [Told("re-entry", words.say("courses.warning.re-entry", code=code, until=text))]


@command("courses")
@option("--copy", metavar="COURSE")
@reading
def list_courses(logbook: Logbook, on: date, copy: str | None) -> Answer:
    """The courses there are."""
    copied = copy_template(logbook, copy) if copy is not None else None
    check_templates(logbook)
    known = list(templates(logbook).values())
    table = logbook.parameters_on(on)
    fields = {
        "courses": [_template_fields(template, table) for template in known],
        "copied_to": str(copied) if copied else None,
    }
    return Answer("courses", on, fields, lambda: _template_lines(known, fields["copied_to"]))


def _template_fields(template: Template, table: Parameters) -> dict[str, Any]:
    return {
        "code": template.code,
        "name": template.name,
        "is_own": template.is_own,
        "forms": template.forms,
        "pests": usual_among(template, tuple(table.pests), table),
        "needs_label": template.needs_label,
        "steps": [
            {"kind": step.kind, "wait_days": step.wait_days, "every_days": step.every_days,
             "times": step.times}
            for step in template.steps
        ],
        "values": [_value_fields(value) for value in template.values],
        "path": str(template.path),
    }  # fmt: skip


def _value_fields(value: TemplateValue) -> dict[str, Any]:
    listed = ", ".join(value.value) if isinstance(value.value, tuple) else value.value
    return {**plain(value), "value": listed}


def _template_lines(known: list[Template], copied: Any) -> list[str]:
    rows = [[t.code, t.name, words.say("courses.cli.own") if t.is_own else ""] for t in known]
    said = [words.say("courses.cli.copied", path=copied)] if copied else []
    return [*table(rows), *said]


COMMANDS: tuple[click.Command, ...] = (treat_plants, list_courses)
