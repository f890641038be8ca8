"""Ants, stickiness, soot: seen at a zone without an insect. It is no find, and is kept."""

from typing import TYPE_CHECKING

from rounds import words
from rounds.core.log.entries import Sign
from rounds.service.round.reasons import SIGNS
from rounds.service.round.view import RoundView
from rounds.store.signs import append_sign

if TYPE_CHECKING:
    from rounds.service.round.walk import RoundWalk


def of_figure(figure: int) -> str | None:
    """The sign of a number, if it has one."""
    return SIGNS[figure - 1] if 1 <= figure <= len(SIGNS) else None


def write(walk: "RoundWalk", kind: str) -> RoundView:
    """Write that a sign was seen at the open zone, once for each look."""
    walk.asked = None
    if walk.opened is None:
        raise LookupError("no zone is open")
    zone = words.say(f"zones.{walk.opened.zone}.name")
    sign = words.say(f"bench.signs.{kind}")
    here = [s.kind for look in walk.plant.today if look.id == walk.opened.id for s in look.signs]
    if kind in here:
        walk.message = words.say("bench.sign-known", sign=sign, zone=zone)
        return walk.view()
    with walk.logbook.file.writing():
        opened = walk.note_seconds()
        entry_id = walk.logbook.file.next_id()
        append_sign(
            walk.logbook.file,
            Sign(entry_id, opened.day, opened.plant_id, opened.id, walk.at_ms(), kind),
        )
    walk.plant.refresh()
    walk.message = "" if walk.is_whole else words.say("bench.sign-kept", sign=sign, zone=zone)
    return walk.view()
