"""parameters: every value the sums run on, and what the grower made of it."""

from collections.abc import Iterator
from typing import Any

import click

from rounds import words
from rounds.cli.lines import said_once, table, wrapped
from rounds.cli.options import Writing, command, option, writing
from rounds.cli.output import Answer
from rounds.cli.values import LINES
from rounds.errors import BadInput
from rounds.service.entries.value_changes import change_value, name_of, reset_value
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.parameter_rows import Value, ValueRow, value_rows
from rounds.words.parameters import (
    group_is_pest,
    group_of_value,
    name_of_value,
    unit_of_value,
    written_value,
)
from rounds.words.pests import pest_told


@command("parameters")
@option("--set", "given", nargs=2, metavar="CODE VALUE", about="set-value")
@option("--reset", metavar="CODE", about="reset-value")
@option("--why", type=LINES, about="why-value")
@writing
def parameters(
    asked: Writing, given: tuple[str, str] | None, reset: str | None, why: str | None
) -> Answer:
    """Change a value, put one back, and list them all."""
    if given is not None and reset is not None:
        raise BadInput("set-and-reset", argument="--reset")
    if why is not None and given is None and reset is None:
        raise BadInput("why-without-value", field="why")

    def write() -> dict[str, Any]:
        if given is not None:
            entry, row = change_value(asked.logbook, asked.moment, given[0], _number(given[1]), why)
        else:
            entry, row = _put_back(asked, reset or "", why)
        return {"entry": str(entry), "code": row.code}

    written, known = (None, False) if given is None and reset is None else asked.once(write)
    on = asked.moment.day
    rows = value_rows(asked.logbook, on)
    return Answer(
        "parameters",
        on,
        {
            "value_id": written["entry"] if written else None,
            "parameters": [_fields(row) for row in rows],
            "already_known": known,
        },
        lambda: [*said_once(known), *_lines(rows, written["code"] if written else None)],
    )


def _put_back(asked: Writing, code: str, why: str | None) -> tuple[EntryName, ValueRow]:
    try:
        return reset_value(asked.logbook, asked.moment, code, why)
    except BadInput as fault:
        # the code stands behind another option here than where a value is changed
        fault.field, fault.argument = None, "--reset"
        raise


def _number(given: str) -> float:
    try:
        value = float(given)
    except ValueError:
        value = float("nan")
    if not abs(value) < float("inf"):
        raise BadInput("value-without-number", field="value", given=given)
    return value


def _fields(row: ValueRow) -> dict[str, Any]:
    change = row.change
    return {
        "code": row.code,
        "value": _plain(row.value),
        "default": _plain(row.default),
        "low": row.low,
        "high": row.high,
        "unit": row.unit,
        "tag": row.tag,
        "source": row.source,
        "changed_on": change.day if change else None,
        "why": change.why if change else None,
        "name": name_of_value(row.code),
        "group": group_of_value(row.code),
        "fixed": None if row.fixed is None else _fixed(row.fixed),
        "gave_way": row.gave_way,
        "who": change.who if change else None,
        "id": str(name_of(change)) if change else None,
    }


def _plain(value: Value) -> float | int | str:
    """A number or a word; several words as one text."""
    return ", ".join(value) if isinstance(value, tuple) else value


def _fixed(code: str) -> dict[str, str]:
    return {"code": code, "text": words.say(f"parameters.fixed.{code}")}


def _lines(rows: tuple[ValueRow, ...], code: str | None) -> Iterator[str]:
    """The value that was written, or all of them, those that were changed first."""
    changed = [row for row in rows if row.change is not None]
    if not changed:
        yield words.say("parameters.said.list-none")
    else:
        several = "some" if len(changed) > 1 else "one"
        yield words.say(f"parameters.said.list-{several}", count=len(changed))
        yield from _changed_lines(changed)
    if code is not None:
        return
    group = ""
    for row in rows:
        if group_of_value(row.code) != group:
            group = group_of_value(row.code)
            yield ""
            yield group
            yield from (line for told in _told(row.code) for line in wrapped(told))
            of_group = [r for r in rows if group_of_value(r.code) == group]
            yield from table(map(_row, of_group), indent=2, right=(1,))


def _told(code: str) -> tuple[str, ...]:
    """What is said of the pest whose value it is, if of one."""
    return pest_told(code.split(".")[1]) if group_is_pest(code) else ()


def _row(row: ValueRow) -> list[str]:
    ranged = row.fixed is None and row.low is not None and row.high is not None
    low, high = written_value(row.low or 0.0), written_value(row.high or 0.0)
    return [
        row.code,
        written_value(row.value),
        unit_of_value(row.unit),
        f"{low}-{high}" if ranged else "",
        words.say(f"parameters.tag.{row.tag}"),
    ]


def _changed_lines(changed: list[ValueRow]) -> Iterator[str]:
    for row in changed:
        change = row.change
        if change is None:
            continue
        usual = written_value(row.default)
        yield f"  {row.code}  {written_value(row.value)}  ({words.say('parameters.usual')} {usual})"
        yield from wrapped(
            words.say("parameters.said.by-you", day=change.day.isoformat(), why=change.why or "")
        )


COMMANDS: tuple[click.Command, ...] = (parameters,)
