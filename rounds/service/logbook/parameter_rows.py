"""Every value the sums run on, with what is known of it and what the grower made of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from rounds.core.changes import ChangedValue, ValueChange, in_force
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.changed_values import entries_of, with_values
from rounds.service.logbook.named import unknown
from rounds.service.logbook.parameters import parameter_files
from rounds.service.logbook.pest_files import Table
from rounds.words.parameters import name_of_value

Value = float | int | str | tuple[str, ...]

UNPUBLISHED = "no source"
REMEMBERED = "practice"
"""Tag in the files of what growers do; it is read where a source is named, else from memory."""


@dataclass(frozen=True, slots=True)
class ValueRow:
    """One value as it holds on a day. Words and lists have no range."""

    code: str
    value: Value
    """as it holds"""
    default: Value
    unit: str
    low: float | None
    """from which on it may be chosen"""
    high: float | None
    tag: str
    """read, derived, memory or assumption"""
    source: str
    fixed: str | None
    """the code of the reason why it cannot be changed"""
    change: ValueChange | None = None
    """the entry that changed it"""

    @property
    def gave_way(self) -> bool:
        """Whether it is another only since it shares one whole with one that was changed."""
        return self.change is None and self.value != self.default


def value_rows(logbook: Logbook, on: date) -> tuple[ValueRow, ...]:
    """Every value in the order of the files, as it holds at the end of a day."""
    changed = in_force(logbook.collection().changes, on)
    usual, now = parameter_files(), _files_with(changed)
    holding = dict(entries_of(now))
    return tuple(
        _row(code, entry, holding[code]["value"], changed.get(code))
        for code, entry in entries_of(usual)
    )


def value_row(logbook: Logbook, code: str, on: date) -> ValueRow:
    """One value, its code compared without case. BadInput for none, with the nearest one."""
    rows = {row.code.casefold(): row for row in value_rows(logbook, on)}
    found = rows.get(code.strip().casefold())
    if found is None:
        raise unknown("value", code, [row.code for row in rows.values()], "code")
    return found


def changed_rows(logbook: Logbook, on: date) -> tuple[ValueRow, ...]:
    """The values a grower changed, as they hold at the end of a day; those known now."""
    if not logbook.collection().changes:
        return ()
    return tuple(row for row in value_rows(logbook, on) if row.change is not None)


def changed_values(logbook: Logbook, on: date) -> tuple[ChangedValue, ...]:
    """The same by their names, for a page that says so."""
    return tuple(
        ChangedValue(row.code, name_of_value(row.code), float(row.value), float(row.default))
        for row in changed_rows(logbook, on)
        if isinstance(row.value, int | float) and isinstance(row.default, int | float)
    )


def _files_with(changed: Mapping[str, ValueChange]) -> Mapping[str, Table]:
    if not changed:
        return parameter_files()
    return with_values(
        parameter_files(), {code: float(c.value or 0) for code, c in changed.items()}
    )


def _row(code: str, entry: Table, value: Any, change: ValueChange | None) -> ValueRow:
    is_published = not entry["source"].endswith(UNPUBLISHED)
    remembered = "read" if is_published else "memory"
    return ValueRow(
        code=code,
        value=_frozen(value),
        default=_frozen(entry["value"]),
        unit=entry["unit"],
        low=entry.get("low"),
        high=entry.get("high"),
        tag=remembered if entry["tag"] == REMEMBERED else entry["tag"],
        source=entry["source"],
        fixed=entry.get("fixed"),
        change=change,
    )


def _frozen(value: Any) -> Value:
    frozen: Value = tuple(value) if isinstance(value, list) else value
    return frozen
