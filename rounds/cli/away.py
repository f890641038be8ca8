"""away: days on which nobody looks, and what is looked at before them."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import click

from rounds import words
from rounds.cli.lines import said_once, table
from rounds.cli.options import Writing, argument, command, writing
from rounds.cli.output import Answer
from rounds.cli.status_fields import reason_fields
from rounds.core.away import Away
from rounds.errors import BadInput
from rounds.service.collection.away_entry import enter_away, name_of
from rounds.service.day.at_hand import planned_day
from rounds.service.logbook.moment import read_day
from rounds.service.plan.leaving import Leaving, LeavingLine, before_leaving
from rounds.service.plant.reasons import stretch_text
from rounds.words.forms import days_text, minutes_seconds


@command("away")
@argument("[FROM]", "first", required=False)
@argument("[TO]", "last", required=False)
@writing
def away(asked: Writing, first: str | None, last: str | None) -> Answer:
    """Enter days away; without them list those that stand."""
    entry, known = None, False
    if first is not None:
        if last is None:
            raise BadInput("away-one-day", given=first, field="last_day")
        from_day, to_day = read_day(first, "first_day"), read_day(last, "last_day")

        def write() -> dict[str, Any]:
            name, _ = enter_away(asked.logbook, asked.moment, from_day, to_day)
            return {"id": str(name)}

        written, known = asked.once(write)
        entry = written["id"]
    on = asked.moment.day
    standing = asked.logbook.collection().away
    day = planned_day(asked.logbook, on)
    leaving = before_leaving(day.ordered, on, day.next_away, day.choices.rules.gap_days)
    return Answer(
        "away",
        on,
        {
            "away_id": entry,
            "away": [_fields(entered) for entered in standing],
            "before": [_before_fields(line) for line in leaving.lines],
            "already_known": known,
        },
        lambda: [*said_once(known), *_lines(standing, leaving)],
    )


def _fields(entered: Away) -> dict[str, Any]:
    return {
        "id": str(name_of(entered)),
        "first_day": entered.first_day,
        "last_day": entered.last_day,
        "days": entered.days,
    }


def _before_fields(line: LeavingLine) -> dict[str, Any]:
    return {
        "code": line.status.code,
        "standing": line.status.standing,
        "reasons": [reason_fields(reason) for reason in line.reasons],
        "planned_seconds": line.seconds,
        "stand_in": line.stand_in,
    }


def _lines(standing: tuple[Away, ...], leaving: Leaving) -> Iterator[str]:
    on = leaving.on
    if not standing:
        yield words.say("away.list.none")
    rows = [_row(entered, on) for entered in standing]
    yield from table(rows)
    if leaving.stretch is None:
        return
    yield ""
    if not leaving.lines:
        yield words.say("away.list.nothing-before")
        return
    yield words.say("away.list.before", time=minutes_seconds(leaving.seconds))
    yield from table([_before_row(line) for line in leaving.lines], indent=2, right=(2,))


def _row(entered: Away, on: date) -> list[str]:
    return [stretch_text(entered, on), days_text(entered.days), str(name_of(entered))]


def _before_row(line: LeavingLine) -> list[str]:
    status = line.status
    reasons = words.say("forms.and").join(reason.text for reason in line.reasons)
    meanwhile = words.say("away.list.stand-in") if line.stand_in else ""
    return [status.code, status.name, minutes_seconds(line.seconds), meanwhile, reasons]


COMMANDS: tuple[click.Command, ...] = (away,)
