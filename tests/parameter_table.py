"""Every value of the parameter files with its range and its source."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

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


@lru_cache(maxsize=1)
def parameter_table() -> tuple[ParameterRow, ...]:
    """Every value of the files in their order."""
    return tuple(row for name, table in parameter_files().items() for row in _rows(name, table))


def _rows(code: str, table: Table) -> Iterator[ParameterRow]:
    if "value" not in table:
        for key, below in table.items():
            yield from _rows(f"{code}.{key}", below)
        return
    value = table["value"]
    yield ParameterRow(
        code=code,
        value=tuple(value) if isinstance(value, list) else value,
        unit=table["unit"],
        low=table.get("low"),
        high=table.get("high"),
        tag=table["tag"],
        source=table["source"],
    )
