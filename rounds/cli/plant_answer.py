"""The answer of every command that ends in a plant: how it stands after what was written."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from rounds.cli.lines import said_once
from rounds.cli.options import Writing
from rounds.cli.output import Answer
from rounds.cli.plant_lines import plant_line
from rounds.cli.status_fields import status_fields
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant
from rounds.service.plant.status import PlantStatus, status_of


def plant_status(logbook: Logbook, code: str, on: date) -> PlantStatus:
    """A plant at the end of a day."""
    return status_of(record_of(logbook, find_plant(logbook, code), on))


def plant_answer(
    name: str,
    asked: Writing,
    code: str | None,
    known: bool,
    *,
    before: Mapping[str, Any] | None = None,
    lines: Sequence[str] = (),
) -> Answer:
    """The answer that ends in a plant, preceded by `before`, the fields of what was written."""
    on = asked.moment.day
    status = None if code is None else plant_status(asked.logbook, code, on)
    about = [] if status is None else [plant_line(status)]
    return Answer(
        name,
        on,
        {**(before or {}), "plant": status and status_fields(status), "already_known": known},
        lambda: [*said_once(known), *lines, *about],
    )
