"""release: end a quarantine."""

from collections.abc import Iterator
from typing import Any

import click

from rounds import words
from rounds.cli.criteria import criteria_lines
from rounds.cli.lines import said_once
from rounds.cli.options import Writing, argument, command, option, writing
from rounds.cli.output import Answer
from rounds.cli.plant_lines import plant_line, why_lines
from rounds.cli.status_fields import status_fields
from rounds.errors import Refused
from rounds.service.collection.rejoin import Rejoining, Standing, rejoining
from rounds.service.collection.rejoin_text import beside_text, rejoin_text
from rounds.service.collection.release import end_quarantine
from rounds.service.inference.day import record_of
from rounds.service.logbook.named import find_plant
from rounds.service.plant.status import status_of, with_why


@command("release")
@argument("CODE")
@option("--early", metavar="REASON")
@writing
def release(asked: Writing, code: str, early: str | None) -> Answer:
    """End a quarantine, or say what holds it."""

    def write() -> dict[str, Any]:
        decision = end_quarantine(asked.logbook, asked.moment, code, early)
        if decision.refusal is not None:
            raise decision.refusal
        return {
            "code": decision.record.plant.code,
            "released": decision.released,
            "early": decision.early,
            "reason": decision.reason,
        }

    try:
        written, known = asked.once(write)
    except Refused as refusal:
        # Raised rather than answered, so that the key stays free for when it may leave.
        held = {"code": code, "released": False, "early": False, "reason": early}
        return _answer(asked, held, False, refusal)
    return _answer(asked, written, known, None)


COMMANDS: tuple[click.Command, ...] = (release,)


def _answer(
    asked: Writing, written: dict[str, Any], known: bool, refusal: Refused | None
) -> Answer:
    on = asked.moment.day
    record = record_of(asked.logbook, find_plant(asked.logbook, written["code"]), on)
    status = with_why(record, status_of(record))
    back = _back(asked, written["code"]) if written["released"] else None

    def lines() -> Iterator[str]:
        yield from said_once(known)
        if written["released"]:
            how = "early" if written["early"] else "ended"
            yield words.say(f"cli.release.{how}", code=status.code, reason=written["reason"])
        if back is not None:
            yield rejoin_text(back)
            if back.is_to_be_moved:
                yield words.say("cli.release.move-out", code=status.code)
        yield plant_line(status)
        if status.release is not None:
            yield from criteria_lines(status, status.release)
        yield from why_lines(status)

    said = {key: written[key] for key in ("released", "early", "reason")}
    fields = {
        **said, "rejoin": back and _back_fields(back),
        "plant": status_fields(status), "already_known": known,
    }  # fmt: skip
    return Answer("release", on, fields, lines, refusal)


def _back(asked: Writing, code: str) -> Rejoining:
    """What awaits it where it would go; read anew, as it was released since."""
    record = record_of(asked.logbook, find_plant(asked.logbook, code), asked.moment.day)
    # the chance there has its band from that of today
    _ = record.likely.band
    return rejoining(record)


def _back_fields(back: Rejoining) -> dict[str, Any]:
    return {
        "ahead_days": back.days,
        "still_apart": back.is_to_be_moved,
        "there": back.there and _standing_fields(back, back.there),
        "elsewhere": back.elsewhere and _standing_fields(back, back.elsewhere),
        "text": rejoin_text(back),
    }


def _standing_fields(back: Rejoining, standing: Standing) -> dict[str, Any]:
    return {
        "place": standing.place,
        "spot": standing.spot,
        "chance_clean": standing.chance_clean,
        "low": standing.low,
        "high": standing.high,
        "beside": [
            {
                "code": beside.code,
                "kind": beside.kind,
                "near": beside.how,
                "on": beside.on,
                "text": beside_text(back, [beside]),
            }
            for beside in standing.beside
        ],
    }
