"""look, withdraw, settle: what was seen, and what became of it."""

from typing import Any

import click

from rounds import words
from rounds.cli.options import Writing, argument, command, option, writing
from rounds.cli.output import Answer
from rounds.cli.plant_answer import plant_answer
from rounds.cli.values import COUNT, LINES, NUMBER
from rounds.errors import BadInput
from rounds.service.entries.corrections import settle, withdraw
from rounds.service.entries.looks import KINDS, LookEntered, enter_look


@command("look")
@argument("CODE")
@argument("[ZONE]...", "zones", nargs=-1)
@option("--whole-plant", is_flag=True)
@option("--seconds", type=NUMBER, metavar="N")
@option("--removed", type=COUNT, metavar="N", default=0)
@option("--killed", type=COUNT, metavar="N", default=0)
@option("--left", type=COUNT, metavar="N", default=0)
@option("--doubtful", type=COUNT, metavar="N", default=0)
@option("--stage", metavar="young|adult|eggs|egg-mass")
@option("--unpotted", is_flag=True)
@option("--cannot-see", metavar="REASON")
@option("--pest", metavar="P", about="pest-found")
@option("--note", type=LINES)
@writing
def look(
    asked: Writing,
    code: str,
    zones: tuple[str, ...],
    whole_plant: bool,
    seconds: float | None,
    **said: Any,
) -> Answer:
    """Enter a look."""
    if whole_plant is bool(zones):
        raise BadInput("zones-or-whole", field="zone")
    _check_hidden(said["cannot_see"], seconds)
    counts = {kind: said.pop(kind) for kind in KINDS}

    def write() -> dict[str, Any]:
        entered = LookEntered(zones, seconds or 0.0, counts, **said)
        written, plant = enter_look(asked.logbook, asked.moment, code, entered)
        return {
            "code": plant.code,
            "look_ids": written.look_ids,
            "tally_ids": written.tally_ids,
            "found": written.found,
        }

    written, known = asked.once(write)
    found = words.say(
        "cli.look.found" if written["found"] else "cli.look.nothing",
        found=written["found"],
        code=written["code"],
    )
    before = {key: written[key] for key in ("look_ids", "tally_ids", "found")}
    ids = [*written["look_ids"], *written["tally_ids"]]
    return plant_answer(
        "look",
        asked,
        written["code"],
        known,
        before=before,
        lines=[found, words.say("cli.look.ids"), *ids],
    )


def _check_hidden(hidden: str | None, seconds: float | None) -> None:
    """BadInput where seconds are missing, unless it is said why nothing could be seen."""
    if hidden is not None and not hidden.strip():
        raise BadInput("empty-reason", field="cannot_see")
    if seconds is None and hidden is None:
        raise BadInput("look-needs-seconds", field="seconds")


@command("withdraw")
@argument("ENTRY")
@option("--why", type=LINES)
@writing
def withdraw_entry(asked: Writing, entry: str, why: str | None) -> Answer:
    """Take an entry back."""

    def write() -> dict[str, Any]:
        gone, plant = withdraw(asked.logbook, asked.moment, entry, why)
        return {"code": plant.code if plant else None, "withdrawn": gone}

    written, known = asked.once(write)
    gone = written["withdrawn"]
    return plant_answer(
        "withdraw",
        asked,
        written["code"],
        known,
        before={"withdrawn": gone},
        lines=[words.say("cli.withdraw.done"), *gone],
    )


@command("settle")
@argument("ENTRY")
@argument("remains|not-an-insect|alive", "verdict")
@writing
def settle_doubt(asked: Writing, entry: str, verdict: str) -> Answer:
    """Settle a doubt."""

    def write() -> dict[str, Any]:
        settled, plant = settle(asked.logbook, asked.moment, entry, verdict)
        return {"code": plant.code, "settled": settled}

    written, known = asked.once(write)
    settled, said = written["settled"], words.say(f"plant.state.{verdict}")
    return plant_answer(
        "settle",
        asked,
        written["code"],
        known,
        before={"settled": settled},
        lines=[words.say("cli.settle.done", entry=settled, verdict=said)],
    )


COMMANDS: tuple[click.Command, ...] = (look, withdraw_entry, settle_doubt)
