"""The history of one plant as JSON prints it: the events by their kind, oldest first."""

from typing import Any

from rounds.cli.output import plain
from rounds.service.entries.walked import PutOff
from rounds.service.plant.events import Event, LookMade, SignMade, TimeApart
from rounds.service.plant.history import PlantHistory

COUNTS = ("removed", "killed", "left", "doubtful")


def history_fields(history: PlantHistory) -> dict[str, Any]:
    """The keys of a plant's history, in their order."""
    events = history.events
    origin, gone = events.divided_from, events.gone
    return {
        "zones": plain(history.zones),
        "looks": [_look(look) for look in events.looks],
        "periods": [_period(time) for time in events.quarantines],
        "moves": [_dated(move, place=move.place, spot=move.spot) for move in events.moves],
        "signs": [_sign(sign, look.zone) for sign, look in events.signs],
        "put_off": [_put_off(look, said) for look, said in events.put_off],
        "repotted": [_dated(repotted) for repotted in events.repotted],
        "divided": [_dated(made, into=made.into, parts=made.parts) for made in events.divided],
        "divided_from": (
            {"code": origin.code, "on": origin.day, "into": origin.into} if origin else None
        ),
        "gone": _dated(gone, how=gone.value) if gone else None,
    }


def _dated(event: Event, **said: object) -> dict[str, Any]:
    return {"on": event.day, **said, "id": event.id}


def _look(look: LookMade) -> dict[str, Any]:
    return {
        "id": look.id,
        "day": look.day,
        "zone": look.zone,
        "seconds": look.seconds,
        "credited_seconds": look.credited_seconds,
        "outcome": look.outcome,
        "reason": look.reason,
        "unpotted": look.unpotted,
        "found": look.found,
        **{kind: look.counted(kind) for kind in COUNTS},
        "who": look.who,
        "withdrawn": look.withdrawn,
        "tallies": [
            {
                "id": tally.id,
                "kind": tally.kind,
                "stage": tally.stage,
                "count": tally.count,
                "withdrawn": tally.withdrawn,
                "settled_as": tally.settled_as,
                "pest": tally.pest,
            }
            for tally in look.tallies
        ],
    }


def _period(time: TimeApart) -> dict[str, Any]:
    end = time.end
    return {
        "began_on": time.day,
        "ended_on": end.day if end else None,
        "reason": end.reason if end else None,
        "early": end.early if end else False,
        "id": time.id,
        "ended_id": end.id if end else None,
    }


def _put_off(look: LookMade, said: PutOff) -> dict[str, Any]:
    return {
        "on": look.day,
        "until": said.until,
        "why": said.why or None,
        "id": look.id,
        "who": look.who,
        "withdrawn": look.withdrawn,
    }


def _sign(sign: SignMade, zone: str) -> dict[str, Any]:
    return {
        "id": sign.id,
        "day": sign.day,
        "zone": zone,
        "sign": sign.sign,
        "who": sign.who,
        "withdrawn": sign.withdrawn,
    }
