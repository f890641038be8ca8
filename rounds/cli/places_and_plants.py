"""place, add, move, gone: the collection as it is entered."""

from collections.abc import Sequence
from datetime import date
from typing import Any

import click

from rounds import words
from rounds.cli.lines import said_once, wrapped
from rounds.cli.options import Writing, argument, command, option, writing
from rounds.cli.output import Answer
from rounds.cli.plant_answer import plant_answer
from rounds.cli.values import LINES, NUMBER
from rounds.core.collection import Place
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    move_plant,
    plant_gone,
    put_place,
)
from rounds.service.exposure.warning import warnings_at
from rounds.service.logbook.moment import read_day
from rounds.service.logbook.named import find_place, find_plant
from rounds.words.forms import day_month


@command("place")
@argument("NAME")
@option("--apart/--not-apart", default=None)
@option("--outdoors/--indoors", default=None)
@option("--room", metavar="R")
@option("--bench", metavar="B")
@option("--usual-c", type=NUMBER, metavar="T")
@option("--change", is_flag=True)
@writing
def place(asked: Writing, name: str, change: bool, **said: Any) -> Answer:
    """Enter a place or correct one."""

    def write() -> dict[str, Any]:
        details = PlaceDetails(**said)
        return {"place": put_place(asked.logbook, asked.moment, name, details, change=change).name}

    written, known = asked.once(write)
    entered = place_fields(find_place(asked.logbook, written["place"], "NAME"), asked.moment.day)
    return Answer(
        "place",
        asked.moment.day,
        {"place": entered, "already_known": known},
        lambda: [*said_once(known), place_line(entered)],
    )


def place_fields(entered: Place, on: date) -> dict[str, Any]:
    """A place as it is at the end of a day."""
    return {
        "name": entered.name,
        "apart": entered.apart(on),
        "outdoors": entered.outdoors(on),
        "room": entered.room(on),
        "bench": entered.bench(on),
        "usual_c": entered.usual_c(on),
    }


def place_line(entered: dict[str, Any]) -> str:
    """The answer in words: Saved: stair foot; quarantine place; usually 18 degC."""
    details = [words.say(f"cli.place.{what}") for what in ("apart", "outdoors") if entered[what]]
    for what in ("room", "bench"):
        if entered[what]:
            details.append(words.say(f"cli.place.{what}", **{what: entered[what]}))
    if entered["usual_c"] is not None:
        details.append(words.say("cli.place.usual-c", usual_c=entered["usual_c"]))
    said = "".join(words.say("cli.place.detail", detail=detail) for detail in details)
    return words.say("cli.place.kept", name=entered["name"], details=said)


@command("add")
@argument("CODE")
@option("--name", metavar="N")
@option("--place", metavar="P")
@option("--form", metavar="F")
@option("--size", metavar="small|medium|large")
@option("--arrived", metavar="DATE")
@option("--already-here", is_flag=True)
@option("--botanical-name")
@option("--source")
@option("--spot", metavar="S")
@option("--touches", metavar="CODE", multiple=True)
@option("--value", type=NUMBER, metavar="V")
@option("--dislikes", metavar="wet-leaves|alcohol", multiple=True)
@option("--clear-pot/--closed-pot", default=None)
@option("--insects-seen/--no-insects-seen", default=None)
@option("--pest", "pests", metavar="P", multiple=True)
@option("--note", type=LINES)
@option("--change", is_flag=True)
@writing
def add(asked: Writing, code: str, change: bool, arrived: str | None, **said: Any) -> Answer:
    """Enter a plant or correct one."""
    for several in ("touches", "dislikes", "pests"):
        said[several] = said[several] or None
    came = None if arrived is None else read_day(arrived, "arrived")

    def write() -> dict[str, Any]:
        details = PlantDetails(arrived=came, **said)
        warned = _warned(asked, said["place"], said["spot"])
        added = add_plant(asked.logbook, asked.moment, code, details, change=change)
        return {"code": added.code, "warnings": warned}

    written, known = asked.once(write)
    return _warned_answer("add", asked, written, known)


def _warned(asked: Writing, place: str | None, spot: str | None) -> list[dict[str, str]]:
    """What is to be said of a place before a plant is put there."""
    if place is None:
        return []
    said = warnings_at(asked.logbook, asked.moment.day, place, spot)
    return [{"code": warning.code, "text": warning.text} for warning in said]


def _warned_answer(
    name: str,
    asked: Writing,
    written: dict[str, Any],
    known: bool,
    lines: Sequence[str] = (),
    **before: str,
) -> Answer:
    # kept answers of earlier versions have no warnings
    warned = written.get("warnings", [])
    said = [line for text in (*lines, *(w["text"] for w in warned)) for line in wrapped(text)]
    return plant_answer(
        name, asked, written["code"], known,
        before={**before, "warnings": warned}, lines=[*before.values(), *said],
    )  # fmt: skip


@command("move")
@argument("CODE")
@argument("PLACE")
@option("--spot", metavar="S")
@option("--apart", is_flag=True, about="move-apart")
@writing
def move(asked: Writing, code: str, place: str, spot: str | None, apart: bool) -> Answer:
    """Put a plant somewhere."""

    def write() -> dict[str, Any]:
        warned, day = _warned(asked, place, spot), asked.moment.day
        before = find_plant(asked.logbook, code).quarantine(day)
        moved, name = move_plant(asked.logbook, asked.moment, code, place, spot=spot, apart=apart)
        begun = moved.quarantine(day) if before is None else None
        came_in = begun is not None and begun.came_in
        return {
            "code": moved.code, "move_id": str(name), "warnings": warned, "came_in": came_in,
        }  # fmt: skip

    written, known = asked.once(write)
    day = day_month(asked.moment.day, asked.logbook.clock.today())
    lines = [words.say("cli.move.came-in", day=day)] if written.get("came_in") else []
    return _warned_answer("move", asked, written, known, lines, move_id=written["move_id"])


@command("gone")
@argument("CODE")
@argument("discarded|given-away|died", "how")
@option("--note", type=LINES)
@writing
def gone(asked: Writing, code: str, how: str, note: str | None) -> Answer:
    """Say that a plant is gone."""

    def write() -> dict[str, Any]:
        return {"code": plant_gone(asked.logbook, asked.moment, code, how, note).code}

    written, known = asked.once(write)
    return plant_answer("gone", asked, written["code"], known)


COMMANDS: tuple[click.Command, ...] = (place, add, move, gone)
