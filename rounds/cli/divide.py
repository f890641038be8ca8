"""divide: one plant becomes several."""

from typing import Any

import click

from rounds import words
from rounds.cli.options import Writing, argument, command, option, writing
from rounds.cli.output import Answer
from rounds.cli.plant_answer import plant_answer
from rounds.cli.values import COUNT
from rounds.service.collection.division import DivisionEntered, divide


@command("divide")
@argument("CODE")
@option("--into", type=COUNT, metavar="N", required=True)
@option("--code", "codes", metavar="CODE", multiple=True, about="part-code")
@option("--name", "names", metavar="N", multiple=True, about="part-name")
@option("--place", metavar="P", about="part-place")
@option("--spot", metavar="S")
@writing
def divide_plant(asked: Writing, code: str, into: int, **said: Any) -> Answer:
    """Make several plants of one."""

    def write() -> dict[str, Any]:
        entered = DivisionEntered(into, said["codes"], said["names"], said["place"], said["spot"])
        written = divide(asked.logbook, asked.moment, code, entered)
        parts = [{"code": part.code, "name": part.name} for part in written.parts]
        return {"code": written.plant.code, "divided_id": written.entry, "parts": parts}

    written, known = asked.once(write)
    before = {"divided_id": written["divided_id"], "parts": written["parts"]}
    lines = [words.say("cli.divide.part", **part) for part in written["parts"]]
    return plant_answer(
        "divide", asked, written["code"], known, before=before,
        lines=[written["divided_id"], *lines],
    )  # fmt: skip


COMMANDS: tuple[click.Command, ...] = (divide_plant,)
