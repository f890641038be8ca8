"""Values of the table that a grower put in place of the usual ones, each from a day on."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class ValueChange:
    """A value of the table was changed from `day` on; `id` of the entry."""

    id: int
    day: date
    at_ms: int
    code: str
    value: float | None
    """None: back to the usual one"""
    why: str | None = None
    who: str | None = None


def in_force(changes: Iterable[ValueChange], on: date) -> dict[str, ValueChange]:
    """By code the change that holds at the end of `on`, in the order of codes.

    Of one code the one of the latest day holds, of one day the newest entry; what went back to the
    usual value is left out.
    """
    found: dict[str, ValueChange] = {}
    for change in sorted(changes, key=lambda change: (change.day, change.id)):
        if change.day <= on:
            found[change.code] = change
    return {code: found[code] for code in sorted(found) if found[code].value is not None}


@dataclass(frozen=True, slots=True)
class ChangedValue:
    """A value that is another than usual, as a page says it."""

    code: str
    name: str
    value: float
    default: float
