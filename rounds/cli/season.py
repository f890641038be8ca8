"""season: what the grower's own finds say of the values, and whether it is used."""

from collections.abc import Iterator
from typing import Any

import click

from rounds import words
from rounds.cli.lines import said_once, table
from rounds.cli.options import Writing, command, option, writing
from rounds.cli.output import Answer
from rounds.errors import BadInput
from rounds.service.inference.day import collection_on
from rounds.service.learned.season import (
    GROUPS,
    LearnedValue,
    Season,
    group_of,
    is_learned,
    revoke,
    take,
)
from rounds.service.learned.text import (
    about_season,
    beside_learned,
    name_of_learned,
    said_of_100,
)


@command("season")
@option("--use", metavar="GROUP", type=click.Choice(GROUPS), about="use-learned")
@option("--undo", metavar="GROUP", type=click.Choice(GROUPS), about="undo-learned")
@writing
def season(asked: Writing, use: str | None, undo: str | None) -> Answer:
    """Use what was learned, or undo that; and what the finds say."""
    if use is not None and undo is not None:
        raise BadInput("use-and-undo", argument="--undo")
    on = asked.moment.day

    def write() -> dict[str, Any]:
        if use is not None:
            known = collection_on(asked.logbook, on).season
            return {"entries": take(asked.logbook, asked.moment, known, use)}
        return {"entries": revoke(asked.logbook, asked.moment, undo or "")}

    written: dict[str, Any] = {"entries": []}
    known = False
    if use is not None or undo is not None:
        written, known = asked.once(write)
    told = collection_on(asked.logbook, on).season
    return Answer(
        "season",
        on,
        {
            "value_ids": written["entries"],
            "finds": told.finds,
            "needed": told.needed,
            "plants": told.plants,
            "offered": told.is_offered,
            "learned": [_fields(of) for group in GROUPS for of in told.of(group)],
            "sources": [
                {
                    "source": of.source,
                    "plants": of.plants,
                    "infested": of.infested,
                    "mean": of.mean,
                    "low": of.low,
                    "high": of.high,
                }
                for of in told.sources
            ],
            "already_known": known,
        },
        lambda: [*said_once(known), *_lines(told)],
    )


def _fields(of: LearnedValue) -> dict[str, Any]:
    return {
        "code": of.row.code,
        "group": group_of(of.row),
        "mean": of.mean,
        "low": of.low,
        "high": of.high,
        "assumed": of.assumed,
        "in_use": is_learned(of.row),
    }


def _lines(told: Season) -> Iterator[str]:
    yield about_season(told)
    for group in GROUPS:
        if told.of(group):
            yield ""
            yield words.say(f"season.line.{group}")
            rows = [
                [name_of_learned(of), said_of_100(of), beside_learned(of)] for of in told.of(group)
            ]
            yield from table(rows, indent=2)
    if told.sources:
        yield ""
        yield from table([[name_of_learned(of), said_of_100(of)] for of in told.sources], indent=2)


COMMANDS: tuple[click.Command, ...] = (season,)
"""What the grower's own finds say."""
