"""agenda: what is due today and on the days that follow, also as a calendar file."""

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import Any

import click

from rounds import words
from rounds.cli.lines import table
from rounds.cli.options import command, option, reading
from rounds.cli.output import Answer
from rounds.cli.own_file import write_own_file
from rounds.cli.values import COUNT
from rounds.core.away import stretches
from rounds.errors import BadInput
from rounds.service.exposure.emptied import emptied_spots
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook.book import Logbook
from rounds.service.plan.agenda import AgendaLine, agenda, uids
from rounds.service.plan.away import ahead
from rounds.service.plan.calendar_file import MADE_BY, Edition, calendar_bytes
from rounds.service.plan.coming import DAYS
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import (
    PlantStatus,
    seen_status,
    with_brood,
    with_figures,
    with_forecast,
)
from rounds.words.forms import day_month

LONGEST_DAYS = 366


@command("agenda")
@option("--days", type=COUNT, metavar="N", about="agenda-days")
@option("--ics", metavar="FILE", type=str)
@reading
def agenda_of(logbook: Logbook, on: date, days: int | None, ics: str | None) -> Answer:
    """What is due, day by day."""
    ahead_days = DAYS if days is None else days
    if not 0 <= ahead_days <= LONGEST_DAYS:
        raise BadInput("agenda-days", given=ahead_days, most=LONGEST_DAYS, field="days")
    day = CollectionDay(logbook, on)
    lines = agenda(
        [_status(record) for record in day.records.values()],
        on,
        ahead_days,
        away=stretches(ahead(logbook, on)),
        emptied=emptied_spots(day),
    )
    names = uids(lines, logbook.file.origin_uuid())
    if ics is not None:
        edition = Edition(logbook.file.last_number(), logbook.clock.now())
        page = calendar_bytes(lines, names, edition)
        write_own_file(Path(ics), page, MADE_BY.encode(), field="ics", foreign="file-is-no-agenda")
    due = [_fields(line, uid) for line, uid in zip(lines, names, strict=True)]
    return Answer(
        "agenda",
        on,
        {"days": ahead_days, "due": due, "ics": ics},
        lambda: _lines(lines, on) if ics is None else [_written(ics, lines)],
    )


def _status(record: PlantRecord) -> PlantStatus:
    return with_brood(record, with_forecast(record, with_figures(record, seen_status(record))))


def _fields(line: AgendaLine, uid: str) -> dict[str, Any]:
    return {
        "on": line.on,
        "plant": line.code,
        "kind": line.kind,
        "text": line.text,
        "uid": uid,
        "since": line.since,
        "waiting_days": (line.on - line.since).days,
    }


def _written(ics: str, lines: list[AgendaLine]) -> str:
    return words.say("agenda.file-written", file=ics, count=len(lines))


def _lines(lines: list[AgendaLine], on: date) -> Iterator[str]:
    if not lines:
        yield words.say("agenda.nothing")
    for day, of_day in groupby(lines, key=lambda line: line.on):
        yield day_month(day, on)
        yield from table([[line.code or "", line.text] for line in of_day], indent=2)


COMMANDS: tuple[click.Command, ...] = (agenda_of,)
