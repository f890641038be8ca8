"""Cells as the sums know them: numbers, counts, yes or no, days and instants."""

import math
import re
import unicodedata
from datetime import date

from rounds.clock import Clock
from rounds.errors import BadInput
from rounds.service.exchange.csv_file import CsvRow
from rounds.service.logbook.moment import Moment, local_noon, read_day, read_moment

YES = {"yes": True, "no": False}
ONLY_A_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
WITH_LINES = ("note",)
"""Columns whose text may run over several lines."""


def check_text(row: CsvRow) -> None:
    """BadInput where a cell holds control characters."""
    if "".join(row.cells.values()).isprintable():
        return
    for column, text in row.cells.items():
        allowed = "\n\r\t" if column in WITH_LINES else ""
        if not text.isprintable() and any(
            unicodedata.category(c) == "Cc" and c not in allowed for c in text
        ):
            raise BadInput("not-text", field=column)


def number(row: CsvRow, column: str) -> float | None:
    """A finite number; None where the cell is empty."""
    text = row.cell(column)
    if text is None:
        return None
    try:
        value = float(text)
    except ValueError:
        raise BadInput("not-a-number", field=column, given=text) from None
    if not math.isfinite(value):
        raise BadInput("not-a-number", field=column, given=text)
    return value


def needed_number(row: CsvRow, column: str) -> float:
    """A finite number. BadInput where the cell is empty."""
    row.needed(column)
    value = number(row, column)
    return 0.0 if value is None else value


def count(row: CsvRow, column: str) -> int:
    """A whole number; 0 where the cell is empty."""
    text = row.cell(column)
    if text is None:
        return 0
    try:
        return int(text)
    except ValueError:
        raise BadInput("not-a-count", field=column, given=text) from None


def flag(row: CsvRow, column: str) -> bool | None:
    """yes or no; None where the cell is empty."""
    text = row.cell(column)
    if text is None:
        return None
    try:
        return YES[text.casefold()]
    except KeyError:
        raise BadInput("not-yes-or-no", field=column, given=text) from None


def several(row: CsvRow, column: str) -> tuple[str, ...] | None:
    """Values separated by semicolons; None where the cell is empty."""
    text = row.cell(column)
    if text is None:
        return None
    return tuple(part.strip() for part in text.split(";") if part.strip())


def day(row: CsvRow, column: str) -> date | None:
    """A day; None where the cell is empty."""
    text = row.cell(column)
    return None if text is None else read_day(text, column)


def moment(clock: Clock, text: str, column: str) -> Moment:
    """When a look was: noon of a day, or an instant, local where it has no offset."""
    if ONLY_A_DAY.fullmatch(text):
        return local_noon(read_day(text, column))
    return read_moment(clock, None, text, None)
