"""Close the rest of a plant at once: its zones share the seconds spent on them."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rounds.core.log.entries import Look, OpenLook
from rounds.service.looks import share_seconds
from rounds.service.round.reasons import REST_OF_PLANT
from rounds.store import log

if TYPE_CHECKING:
    from rounds.service.round.course import RoundCourse
    from rounds.service.round.walk import RoundWalk


def close_together(walk: "RoundWalk", zones: Sequence[str]) -> float:
    """Write a look at each of the zones, the open one first; the seconds they share.

    Inside a transaction.
    """
    opened = walk.note_seconds()
    shares = share_seconds([walk.plant.body.zone(zone) for zone in zones], opened.seconds)
    for zone in zones:
        log.append_look(
            walk.logbook.file, shared_look(walk, opened, zone, shares[zone], REST_OF_PLANT)
        )
    log.clear_open_look(walk.logbook.file, walk.walk.id)
    return opened.seconds


def shared_look(
    walk: "RoundCourse", opened: OpenLook, zone: str, seconds: float, reason: str
) -> Look:
    """A look at a zone for its share of the seconds of the open one, which keeps its own id."""
    return Look(
        id=opened.id if zone == opened.zone else walk.logbook.file.next_id(),
        day=opened.day,
        plant_id=opened.plant_id,
        zone=zone,
        round_id=opened.round_id,
        began_at=opened.began_at,
        seconds=seconds,
        outcome="looked",
        reason=reason,
    )
