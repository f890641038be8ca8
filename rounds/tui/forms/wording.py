"""The words of a form: its labels and hints, and the parts its sentences are joined from."""

from collections.abc import Mapping
from datetime import date

from rounds import words
from rounds.service.day import at_hand
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import seen_status
from rounds.service.plant.status_text import standing_text, where_text
from rounds.tui.forms.fields import FieldFault, Header
from rounds.tui.page import fit
from rounds.words.forms import calendar_day, day_month

LONGEST_TEXT = 40
"""Columns of what was typed that a sentence repeats."""


def part(code: str, /, **values: object) -> str:
    """A part of a sentence about what is written; a long text in it is cut."""
    return words.say(f"desk_forms.parts.{code}", **_cut(values))


def done(code: str, /, **values: object) -> str:
    """What was written; a long text in it is cut."""
    return words.say(f"desk_forms.said.{code}", **_cut(values))


def _cut(values: Mapping[str, object]) -> dict[str, object]:
    return {
        key: fit(value, LONGEST_TEXT) if isinstance(value, str) else value
        for key, value in values.items()
    }


def joined(parts: list[str]) -> str:
    """Parts as one sentence; those that say nothing are left out."""
    return part("and").join(filter(None, parts))


def listed(parts: list[str]) -> str:
    """Parts in a row, as 'a, b'."""
    return part("list").join(filter(None, parts))


def fault(code: str, field: str | None = None, /, **values: object) -> FieldFault:
    """What a field holds cannot be used."""
    return FieldFault(words.say(f"desk_forms.faults.{code}", **values), field)


def label(code: str) -> str:
    """The name of a field."""
    return words.say(f"desk_forms.label.{code}")


def hint_for(code: str, /, **values: object) -> str:
    """What may be typed into a field."""
    return words.say(f"desk_forms.hint.{code}", **values)


def said_day(logbook: Logbook, day: date) -> str:
    """A day in words: 4 May; today."""
    return day_month(day, logbook.clock.today())


def heading_day(logbook: Logbook) -> str:
    """The day in row 1."""
    today = logbook.clock.today()
    return calendar_day(today, today)


def header_of(record: PlantRecord) -> Header:
    """The plant a form is about, as it stands."""
    status = seen_status(record)
    return Header(
        status.code, status.name, where_text(status), status.standing, standing_text(status)
    )


def record_today(logbook: Logbook, code: str) -> PlantRecord:
    """The plant of a code as it stands today."""
    return at_hand.record_of(logbook, find_plant(logbook, code))
