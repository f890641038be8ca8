"""What every sum answers with, and how what it is given is checked."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rounds import words
from rounds.errors import BadInput


@dataclass(frozen=True, slots=True)
class Note:
    """A caution or assumption told beside a result."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class Calculated:
    """A result, what it was made of, and where its formula is from."""

    calculation: str
    method: str
    inputs: Mapping[str, Any]
    result: Mapping[str, Any]
    no_estimate_reason: str | None
    warnings: tuple[Note, ...]
    source: str


def note(code: str) -> Note:
    """A note on a sum, by code."""
    return Note(code, words.section("sums.notes")[code])


def check_chance(field: str, given: float) -> None:
    """BadInput unless it is a chance, 0 to 1."""
    if not 0 <= given <= 1:
        raise BadInput("not-a-chance", field=field, given=f"{given:g}")


def check_share(field: str, given: float) -> None:
    """BadInput unless it lies above 0 and is at most 1."""
    if not 0 < given <= 1:
        raise BadInput("not-a-share", field=field, given=f"{given:g}")


def check_within(field: str, given: float) -> None:
    """BadInput unless it lies between 0 and 1, which it may not be."""
    if not 0 < given < 1:
        raise BadInput("not-between", field=field, given=f"{given:g}")


def check_above(field: str, given: float, most: float) -> None:
    """BadInput unless it lies above 0 and is at most `most`."""
    if not 0 < given <= most:
        raise BadInput("not-above", field=field, given=f"{given:g}", most=f"{most:,g}")


def check_count(field: str, given: float, most: float) -> None:
    """BadInput unless it lies from 0 to `most`."""
    if not 0 <= given <= most:
        raise BadInput("not-up-to", field=field, given=f"{given:g}", most=f"{most:,g}")
