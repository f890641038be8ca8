"""today: what to do."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import click

from rounds import words
from rounds.cli.lines import KEEP, table, wrapped
from rounds.cli.options import command, option, reading
from rounds.cli.output import Answer
from rounds.cli.status_fields import changed_fields, reason_fields
from rounds.cli.values import NUMBER
from rounds.errors import BadInput
from rounds.service.day.at_hand import planned_day
from rounds.service.day.day import Day
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.changed_text import changed_text
from rounds.service.plan.due_text import again_text, done_text, holds_text, short_text
from rounds.service.plan.today import DayPlan, Due, LeftOut, PlannedPlant
from rounds.service.plant.status import PlantStatus
from rounds.service.plant.status_text import standing_text, where_text
from rounds.words.forms import calendar_day, day_month, minutes_seconds, number

LONGEST_MINUTES = 24 * 60.0


@command("today")
@option("--minutes", type=NUMBER, metavar="M")
@reading
def today(logbook: Logbook, on: date, minutes: float | None) -> Answer:
    """The plan of the day."""
    if minutes is not None and not 0 < minutes <= LONGEST_MINUTES:
        raise BadInput("minutes-not-positive", given=minutes, field="minutes")
    day = planned_day(logbook, on, minutes)
    plan = day.plan
    if plan is None:
        raise LookupError("a planned day has a plan")
    fields = {
        **plan_fields(plan),
        "due": [_due_fields(due) for due in day.due],
        "changed_values": [changed_fields(value) for value in day.choices.changed_values],
    }
    return Answer("today", on, fields, lambda: day_lines(day, plan))


def plan_fields(plan: DayPlan) -> dict[str, Any]:
    """The plan as it stands in an object."""
    return {
        "minutes": plan.minutes,
        "planned_seconds": plan.planned_seconds,
        "walking_seconds": plan.walking_seconds,
        "pace": plan.pace,
        "handling_seconds": plan.handling_seconds,
        "needed_minutes": plan.needed_minutes,
        "plan": [_planned_fields(planned) for planned in plan.plan],
        "left_out": [_left_out_fields(left_out) for left_out in plan.left_out],
    }


def _planned_fields(planned: PlannedPlant) -> dict[str, Any]:
    return {
        "position": planned.position,
        "code": planned.status.code,
        "standing": planned.status.standing,
        "reasons": [reason_fields(reason) for reason in planned.reasons],
        "hygiene_stop_before": planned.hygiene_stop_before,
        "claim": planned.claim,
        "whole_plant": planned.whole_plant,
        "steps": planned.steps,
        "zones": planned.zones,
    }


def _left_out_fields(left_out: LeftOut) -> dict[str, Any]:
    return {
        "code": left_out.status.code,
        "risk": left_out.status.risk and left_out.status.risk.value,
        "latest_on": left_out.latest_on,
        "reason": reason_fields(left_out.reason),
    }


def _due_fields(due: Due) -> dict[str, Any]:
    return {
        "on": due.on,
        "plant": due.status.code,
        "kind": due.kind,
        "text": due.text,
        "waiting_days": due.waiting_days,
    }


def day_lines(day: Day, plan: DayPlan) -> Iterator[str]:
    """The day for a person: the walk, who waits, what else is due."""
    yield words.say("cli.today.title", day=calendar_day(plan.on, plan.on))
    yield words.say(
        "cli.today.filled",
        planned=minutes_seconds(plan.filled_seconds),
        minutes=number(plan.minutes),
    )
    again = again_text(plan) if plan.is_done else ""
    for text in (holds_text(plan), short_text(plan), done_text(plan), again):
        yield from wrapped(text) if text else ()
    if day.back is not None and plan.minutes == day.back.minutes:
        yield day.back.short
    yield from wrapped(changed_text(day.choices.changed_values))
    yield ""
    if not plan.plan:
        yield words.say("cli.today.nothing")
    yield from _walk_lines(plan)
    if plan.left_out:
        yield from ("", words.say("cli.today.left-out"))
        rows = [[*_named(left_out.status), left_out.reason.text] for left_out in plan.left_out]
        yield from table(rows, indent=2)
    if day.due:
        yield from ("", words.say("cli.today.due"))
        yield from table([_due_row(due, plan.on) for due in day.due], indent=2)


def _walk_lines(plan: DayPlan) -> Iterator[str]:
    heads = table(
        [
            [
                str(planned.position),
                *_named(planned.status),
                where_text(planned.status),
                standing_text(planned.status),
                minutes_seconds(planned.planned_seconds),
            ]
            for planned in plan.plan
        ],
        right=(0, 5),
    )
    for head, planned in zip(heads, plan.plan, strict=True):
        if planned.hygiene_stop_before:
            yield from wrapped(words.say("cli.today.hygiene"))
        yield head
        reasons = words.say("forms.and").join(reason.text for reason in planned.reasons)
        yield from wrapped(words.say("cli.today.reasons", reasons=reasons))
        yield from wrapped("  ".join(_step_texts(planned)))


def _step_texts(planned: PlannedPlant) -> Iterator[str]:
    """Each step and its time, which stay on one line: axils 0:22; stem-base, medium 0:04."""
    if planned.whole_plant:
        yield words.say("bench.whole-plant")
        return
    seconds = {zone.zone: zone.planned_seconds for zone in planned.zones}
    for step in planned.steps:
        names = f",{KEEP}".join(step)
        yield f"{names}{KEEP}{minutes_seconds(sum(seconds[zone] for zone in step))}"


def _due_row(due: Due, on: date) -> list[str]:
    since = words.say("cli.today.since", day=day_month(due.on, on))
    return [*_named(due.status), due.short, since]


def _named(status: PlantStatus) -> list[str]:
    return [status.code, status.name]


COMMANDS: tuple[click.Command, ...] = (today,)
