"""How an answer is printed: one JSON object for programs, a few lines for people."""

import json
import re
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, datetime
from typing import Any

import click

from rounds import words
from rounds.cli.arguments import command_as_typed
from rounds.cli.lines import printable
from rounds.clock import rfc3339
from rounds.errors import RoundsError

VERSION = 1
"""Version of the format of all objects printed."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command found or did.

    `fields` are the keys of its object, `lines` what a person reads instead. `refusal` stands
    beside them where the state of things did not allow what was asked.
    """

    name: str
    on: date
    fields: Mapping[str, Any]
    lines: Callable[[], Iterable[str]]
    refusal: RoundsError | None = None


def show(answer: Answer, *, as_json: bool) -> int:
    """Print an answer; the exit status."""
    refusal = answer.refusal
    if refusal is not None:
        command_as_typed(refusal)
    if as_json:
        beside = {} if refusal is None else {"error": error_fields(refusal)}
        print_object(answer.name, answer.on, {**answer.fields, **beside})
    else:
        for line in answer.lines():
            # lines and pages end where they are meant to
            parts = re.split(r"([\n\f])", line)
            click.echo("".join(p if p in "\n\f" else printable(p) for p in parts).rstrip())
    if refusal is None:
        return 0
    complain(refusal)
    return refusal.exit_status


def show_failure(fault: RoundsError, on: date, *, as_json: bool) -> int:
    """Print what went wrong; the exit status."""
    complain(fault)
    if as_json:
        print_object("error", on, {"error": error_fields(fault)})
    return fault.exit_status


def complain(fault: RoundsError) -> None:
    """The sentences of a failure, to standard error."""
    click.echo(printable(str(fault)), err=True)
    for place in fault.places[1:]:
        if place.line is not None:
            code = "cli.failure.row" if place.column else "cli.failure.row-line"
            said = words.say(code, file=place.file, line=place.line, column=place.column)
            click.echo(printable(said), err=True)


def print_object(name: str, on: date, found: Mapping[str, Any]) -> None:
    """Print one JSON object on one line; ValueError for NaN or infinity."""
    whole = {"format": f"rounds.{name}", "version": VERSION, "on": on, **found}
    click.echo(_json(plain(whole)))


def _json(whole: Any) -> str:
    """JSON text; in ASCII where the encoding of standard output lacks a character.

    What would move a cursor is escaped: the object may be read on a terminal too.
    """
    text = json.dumps(whole, ensure_ascii=False, allow_nan=False)
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return json.dumps(whole, allow_nan=False)
    return "".join(c if c.isprintable() else json.dumps(c)[1:-1] for c in text)


def error_fields(fault: RoundsError) -> dict[str, Any]:
    """A failure as it stands in an object."""
    return {
        "code": fault.code,
        "message": fault.message,
        "what_to_do": fault.what_to_do,
        "places": fault.places,
    }


def plain(value: Any) -> Any:
    """A record as JSON knows it: its fields in order, days and instants as text."""
    if is_dataclass(value) and not isinstance(value, type):
        return {part.name: plain(getattr(value, part.name)) for part in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(part) for key, part in value.items()}
    if isinstance(value, tuple | list):
        return [plain(part) for part in value]
    if isinstance(value, datetime):
        return rfc3339(value)
    if isinstance(value, date):
        return value.isoformat()
    return value
