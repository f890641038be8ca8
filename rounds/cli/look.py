"""look, withdraw, settle: what was seen, and what became of it."""

from typing import Any

import click

from rounds import words
from rounds.cli.arguments import TYPED, OrderedCommand
from rounds.cli.look_stages import STAGE, counts_by_stage
from rounds.cli.options import Writing, argument, command, option, writing
from rounds.cli.output import Answer
from rounds.cli.plant_answer import plant_answer
from rounds.cli.values import COUNT, LINES, NUMBER
from rounds.errors import BadInput
from rounds.service.entries.corrections import settle, withdraw
from rounds.service.entries.further_stage import add_stage
from rounds.service.entries.looks import (
    KINDS,
    LookEntered,
    LookWritten,
    StageCounts,
    enter_look,
)
from rounds.service.logbook.once import Answer as Written
from rounds.service.logbook.once import Further


@command("look", OrderedCommand)
@argument("CODE")
@argument("[ZONE]...", "zones", nargs=-1)
@option("--whole-plant", is_flag=True)
@option("--seconds", type=NUMBER, metavar="N")
@option("--removed", type=COUNT, metavar="N", multiple=True)
@option("--killed", type=COUNT, metavar="N", multiple=True)
@option("--left", type=COUNT, metavar="N", multiple=True)
@option("--doubtful", type=COUNT, metavar="N", multiple=True)
@option("--stage", metavar="young|adult|eggs|egg-mass", multiple=True)
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
    typed = click.get_current_context().meta[TYPED]
    by_stage = counts_by_stage(typed, {name: said.pop(name) for name in (*KINDS, STAGE)})
    first, *rest = by_stage
    entered = LookEntered(
        zones, seconds or 0.0, first.counts, first.stage, further=tuple(rest), **said
    )

    def write() -> Written:
        _check_hidden(entered.cannot_see, seconds)
        written, plant = enter_look(asked.logbook, asked.moment, code, entered)
        return _answer(plant.code, written)

    def add(before: Written) -> Written | None:
        added = add_stage(asked.logbook, asked.moment, code, entered, seconds, before)
        return added and _answer(added[1].code, added[0])

    further = Further("+".join(of.stage or "" for of in by_stage), add)
    written, known = asked.once(write, further, **_as_content(by_stage))
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


def _answer(code: str, written: LookWritten) -> Written:
    return {
        "code": code,
        "look_ids": written.look_ids,
        "tally_ids": written.tally_ids,
        "found": written.found,
    }


def _as_content(by_stage: tuple[StageCounts, ...]) -> Written:
    """The counts as they are compared under a key; those of one stage as they ever were."""
    if len(by_stage) == 1:
        return {**by_stage[0].counts, STAGE: by_stage[0].stage}
    told = [[of.stage, dict(of.counts)] for of in by_stage]
    return {**dict.fromkeys(KINDS), STAGE: told}


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
