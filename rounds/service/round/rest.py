"""Close the rest of a plant at once: its zones share the seconds spent on them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rounds.core.body import Body
from rounds.core.log.entries import Look, OpenLook
from rounds.service.entries.looks import share_seconds
from rounds.service.entries.walked import OPENED
from rounds.service.logbook.book import Logbook
from rounds.service.round.reasons import REST_OF_PLANT
from rounds.store import log

if TYPE_CHECKING:
    from rounds.service.round.walk import RoundWalk


def close_together(walk: "RoundWalk", zones: Sequence[str]) -> float:
    """Write a look at each of the zones, the open one first; the seconds they share.

    Inside a transaction.
    """
    opened = walk.note_seconds()
    shares = share_seconds([walk.plant.body.zone(zone) for zone in zones], opened.seconds)
    for zone in zones:
        look = _shared_look(walk.logbook, opened, zone, shares[zone], REST_OF_PLANT)
        log.append_look(walk.logbook.file, look)
    log.clear_open_look(walk.logbook.file, walk.walk.id)
    return opened.seconds


def pass_others(
    logbook: Logbook, body: Body, whole: OpenLook, here: str, zones: Sequence[str]
) -> dict[str, float]:
    """Of a plant looked at in one go write all zones but one as passed; the seconds of each.

    Inside a transaction.
    """
    shares = share_seconds([body.zone(zone) for zone in zones], whole.seconds)
    of_find = replace(whole, zone=here)
    for zone in zones:
        if zone != here:
            look = _shared_look(logbook, of_find, zone, shares[zone], OPENED)
            log.append_look(logbook.file, look)
    return shares


def _shared_look(
    logbook: Logbook, opened: OpenLook, zone: str, seconds: float, reason: str
) -> Look:
    """A look at a zone for its share of the seconds of the open one, which keeps its own id."""
    return Look(
        id=opened.id if zone == opened.zone else logbook.file.next_id(),
        day=opened.day,
        plant_id=opened.plant_id,
        zone=zone,
        round_id=opened.round_id,
        began_at=opened.began_at,
        seconds=seconds,
        outcome="looked",
        reason=reason,
    )
