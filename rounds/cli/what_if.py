"""what-if: the day a plant may rejoin, were something otherwise. Nothing is written."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import click

from rounds import words
from rounds.cli.lines import table, wrapped
from rounds.cli.options import argument, command, option, reading
from rounds.cli.output import Answer
from rounds.cli.values import NUMBER
from rounds.service.courses.templates import find_template
from rounds.service.inference.day import record_of
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant
from rounds.service.what_if.supposing import (
    NONE_COMES,
    Supposition,
    WhatIf,
    supposition_in_steps,
)
from rounds.service.what_if.text import criterion_text, outcome_text, reason_texts


@command("what-if")
@argument("CODE")
@option("--looks-a-week", type=NUMBER, metavar="N")
@option("--seconds", type=NUMBER, metavar="N", about="seconds-supposed")
@option("--warmth", "celsius", type=NUMBER, metavar="C", about="warmth-supposed")
@option("--course", metavar="NAME", about="course-supposed")
@option("--roots", is_flag=True, about="roots-supposed")
@option("--away-from", metavar="CODE", about="away-from")
@reading
def what_if(
    logbook: Logbook,
    on: date,
    code: str,
    looks_a_week: float | None,
    seconds: float | None,
    celsius: float | None,
    course: str | None,
    roots: bool,
    away_from: str | None,
) -> Answer:
    """The day as it goes and as it would be."""
    record = record_of(logbook, find_plant(logbook, code), on)
    away = None if away_from is None else find_plant(logbook, away_from, field="away_from")
    what = WhatIf(
        looks_a_week=looks_a_week,
        seconds=seconds,
        celsius=celsius,
        course=None if course is None else find_template(logbook, course).code,
        roots=roots,
        neighbours=NONE_COMES if away is None else away.code,
    )
    found = finished(supposition_in_steps(record, what))
    return Answer("what-if", on, _fields(found), lambda: _lines(found))


COMMANDS: tuple[click.Command, ...] = (what_if,)
"""The forecast, with something supposed otherwise."""


def _fields(found: Supposition) -> dict[str, Any]:
    what, usual = found.what, found.usual
    return {
        "code": found.code,
        "supposed": {
            "looks_a_week": what.looks_a_week,
            "look_seconds": what.seconds,
            "warmth_c": what.celsius,
            "course": what.course,
            "roots": what.roots,
            "away_from": None if what.neighbours == NONE_COMES else what.neighbours,
        },
        "as_it_goes": {
            "expected_on": found.as_is,
            "looks_a_week": usual.looks_a_week,
            "look_seconds": usual.seconds,
            "least_look_seconds": usual.least_seconds,
            "warmth_c": usual.celsius,
            "neighbours": usual.neighbours,
        },
        "expected_on": found.would_be,
        "expected_with_neighbours_on": found.stays_on,
        "complete": found.is_complete,
        "criteria": [
            {"code": each.code, "expected_on": each.as_is, "supposed_on": each.would_be}
            for each in found.criteria
        ],
        "text": outcome_text(found),
        "reasons": list(reason_texts(found)),
    }


def _lines(found: Supposition) -> Iterator[str]:
    yield outcome_text(found)
    yield ""
    heads = ("", words.say("what_if.column-now"), words.say("what_if.column-then"))
    rows = [heads, *(criterion_text(each, found.on) for each in found.criteria)]
    yield from table(rows, indent=2)
    yield ""
    for reason in reason_texts(found):
        yield from wrapped(reason)
