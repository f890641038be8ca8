"""sheet: the plan of a day on paper, as text or as a page to print."""

from datetime import date
from pathlib import Path
from typing import Any

import click

from rounds import words
from rounds.cli.options import command, option, reading
from rounds.cli.output import Answer
from rounds.cli.own_file import write_own_file
from rounds.cli.sheet_html import MADE_HERE, sheet_html
from rounds.cli.sheet_text import sheet_lines
from rounds.cli.today import LONGEST_MINUTES
from rounds.cli.values import NUMBER
from rounds.errors import BadInput
from rounds.service.exchange.sheet import Sheet, SheetPlant, sheet_of
from rounds.service.logbook.book import Logbook
from rounds.service.plant.status_text import where_text


@command("sheet")
@option("--minutes", type=NUMBER, metavar="M")
@option("--html", metavar="FILE", type=str)
@reading
def sheet(logbook: Logbook, on: date, minutes: float | None, html: str | None) -> Answer:
    """The plan of a day to take along."""
    if minutes is not None and not 0 < minutes <= LONGEST_MINUTES:
        raise BadInput("minutes-not-positive", given=minutes, field="minutes")
    found = sheet_of(logbook, on, minutes)
    if html is not None:
        page = sheet_html(found).encode()
        write_own_file(
            Path(html), page, MADE_HERE.encode(), field="page", foreign="file-is-no-sheet"
        )
    said = [words.say("sheet.file-written", file=html)]
    return Answer(
        "sheet", on, _fields(found, html), lambda: sheet_lines(found) if html is None else said
    )


def _fields(sheet: Sheet, html: str | None) -> dict[str, Any]:
    return {
        "minutes": sheet.minutes,
        "planned_seconds": sheet.planned_seconds,
        "html": html,
        "plants": [_plant_fields(plant) for plant in sheet.plants],
    }


def _plant_fields(plant: SheetPlant) -> dict[str, Any]:
    return {
        "position": plant.planned.position,
        "code": plant.status.code,
        "name": plant.status.name,
        "where": where_text(plant.status),
        "standing": plant.status.standing,
        "reasons": [reason.text for reason in plant.status.reasons],
        "hygiene_stop_before": plant.stop_after is not None,
        "planned_seconds": plant.planned.planned_seconds,
        "whole_plant": plant.whole_plant,
        "zones": plant.zones,
    }


COMMANDS: tuple[click.Command, ...] = (sheet,)
