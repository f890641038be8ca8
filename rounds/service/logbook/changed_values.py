"""The parameter files with some values changed by the grower.

Values that share one whole (where insects sit, the stages of an infestation) always add up to it:
those that nobody changed give way in proportion.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from rounds.service.logbook.pest_files import Table

SHARES = (
    re.compile(r"forms\.weight\.[^.]+"),
    re.compile(r"pests\.([^.]+)\.stages\.[^.]+\.make_up"),
    re.compile(r"pests\.([^.]+)\.zones\.weight\.[^.]+"),
)
"""Codes of values that share one whole with all others alike but for what the last dots hold."""


def entries_of(tables: Mapping[str, Table]) -> Iterator[tuple[str, Table]]:
    """Code and entry of every value of the files, in their order."""
    for name, table in tables.items():
        yield from _below(name, table)


def _below(code: str, table: Table) -> Iterator[tuple[str, Table]]:
    if "value" in table:
        yield code, table
        return
    for key, below in table.items():
        yield from _below(f"{code}.{key}", below)


def with_values(tables: Mapping[str, Table], changed: Mapping[str, float]) -> dict[str, Any]:
    """The tables with other values under some codes; codes that are not known have no effect."""
    usual = dict(entries_of(tables))
    values: dict[str, float] = {}
    for code, value in changed.items():
        if code in usual:
            values[code] = whole_where_usual(value, usual[code]["value"])
    values |= given_way(usual, values)
    return {name: _with(name, table, values) for name, table in tables.items()}


def _with(code: str, table: Table, values: Mapping[str, float]) -> dict[str, Any]:
    if "value" in table:
        return {**table, "value": values.get(code, table["value"])}
    return {key: _with(f"{code}.{key}", below, values) for key, below in table.items()}


def whole_where_usual(value: float, usual: Any) -> float:
    """A value as a whole number where the usual one is one."""
    return round(value) if isinstance(usual, int) else value


def given_way(usual: Mapping[str, Table], changed: Mapping[str, float]) -> dict[str, float]:
    """What the others of a whole become where some of its shares were changed, by code."""
    found: dict[str, float] = {}
    for code in changed:
        others = [other for other in sharing(usual, code) if other not in changed]
        left = 1 - sum(changed[other] for other in sharing(usual, code) if other in changed)
        whole = sum(usual[other]["value"] for other in others)
        found |= {other: usual[other]["value"] * left / whole for other in others}
    return found


def sharing(usual: Mapping[str, Table], code: str) -> list[str]:
    """The codes that share one whole with one, itself among them; empty for most."""
    for shape in SHARES:
        found = shape.fullmatch(code)
        if found:
            alike = ((other, shape.fullmatch(other)) for other in usual)
            return [other for other, match in alike if match and match.groups() == found.groups()]
    return []
