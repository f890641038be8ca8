"""arrive: how many plants of a delivery to open, whether to take it; and take it."""

from collections.abc import Iterator
from typing import Any

import click

from rounds import words
from rounds.cli.lines import said_once, wrapped
from rounds.cli.options import Writing, command, option, writing
from rounds.cli.output import Answer
from rounds.cli.values import COUNT, LINES, NUMBER
from rounds.service.arrival.arrive import Arrived, arrive
from rounds.service.arrival.delivery import Delivery
from rounds.service.arrival.text import found_lines
from rounds.words.forms import codes_text


@command("arrive")
@option("--units", type=COUNT, metavar="N", required=True)
@option("--source", metavar="S", required=True)
@option("--opened", type=COUNT, metavar="N")
@option("--seconds", type=NUMBER, metavar="N", about="seconds-each")
@option("--found", metavar="LINE", multiple=True)
@option("--take/--leave", default=None)
@option("--name", metavar="N")
@option("--place", metavar="P", about="delivery-place")
@option("--form", metavar="F")
@option("--size", metavar="small|medium|large")
@option("--value", type=NUMBER, metavar="V")
@option("--botanical-name")
@option("--code", "codes", metavar="CODE", multiple=True, about="delivery-codes")
@option("--pest", "pests", metavar="P", multiple=True)
@option("--note", type=LINES)
@writing
def arrive_of(asked: Writing, take: bool | None, **said: Any) -> Answer:
    """Judge a delivery, and enter its plants."""
    said["pests"] = said["pests"] or None
    delivery = Delivery(**said)
    found: list[Arrived] = []

    def write() -> dict[str, Any]:
        arrived = arrive(asked.logbook, asked.moment, delivery, take=take)
        found.append(arrived)
        return _fields(arrived)

    written, known = asked.once(write)
    return Answer(
        "arrive",
        asked.moment.day,
        {**written, "already_known": known},
        lambda: [*said_once(known), *_lines(written, found)],
    )


def _fields(arrived: Arrived) -> dict[str, Any]:
    opening, seen = arrived.opening, arrived.seen
    name = arrived.name
    return {
        "arrival_id": None if name is None else str(name),
        "open_units": opening.open_units,
        "sample": {
            "share": opening.share,
            "infested_units": opening.infested_units,
            "confidence": opening.confidence,
            "sensitivity": opening.sensitivity,
            "enough": opening.is_enough,
            "told": opening.told_by(min(seen.telling, opening.units)),
        },
        "opened": seen.opened,
        "infested": seen.infested,
        "found": seen.found,
        "verdict": {
            "code": arrived.verdict.code,
            "reasons": [
                {"code": reason.code, "text": reason.text} for reason in arrived.verdict.reasons
            ],
        },
        "plants": [plant.code for plant in arrived.plants],
        "new_plants": [plant.code for plant in arrived.new_plants],
    }


def _lines(written: dict[str, Any], found: list[Arrived]) -> Iterator[str]:
    yield from (found_lines(found[0]) if found else ())
    yield words.say(f"arrival.verdict.{written['verdict']['code']}")
    for reason in written["verdict"]["reasons"]:
        yield from wrapped(reason["text"])
    new = written["new_plants"]
    before = [code for code in written["plants"] if code not in new]
    if new:
        yield words.say("arrival.taken", codes=codes_text(new))
    if before:
        yield words.say("arrival.taken-before", codes=codes_text(before))
    if not new and not before:
        yield words.say("arrival.not-taken")


COMMANDS: tuple[click.Command, ...] = (arrive_of,)
