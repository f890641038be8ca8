"""Every value of the parameter files with its range and its source."""

from dataclasses import dataclass
from functools import lru_cache

from rounds.service.logbook.changed_values import entries_of
from rounds.service.logbook.parameters import parameter_files
from rounds.service.logbook.pest_files import Table

Value = float | int | str | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ParameterRow:
    """One value with what is known about it. Words and lists have no range."""

    code: str
    value: Value
    unit: str
    low: float | None
    high: float | None
    tag: str
    """read, derived, memory, assumption or practice"""
    source: str
    fixed: str | None
    """the code of why it cannot be changed"""


@lru_cache(maxsize=1)
def parameter_table() -> tuple[ParameterRow, ...]:
    """Every value of the files in their order."""
    return tuple(_row(code, entry) for code, entry in entries_of(parameter_files()))


def _row(code: str, entry: Table) -> ParameterRow:
    value = entry["value"]
    return ParameterRow(
        code=code,
        value=tuple(value) if isinstance(value, list) else value,
        unit=entry["unit"],
        low=entry.get("low"),
        high=entry.get("high"),
        tag=entry["tag"],
        source=entry["source"],
        fixed=entry.get("fixed"),
    )
