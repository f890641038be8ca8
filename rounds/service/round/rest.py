"""Close the rest of a plant at once: its zones share the seconds spent on them."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rounds.core.log.entries import Look, OpenLook
from rounds.service.looks import share_seconds
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
        _write(walk, opened, zone, shares[zone])
    log.clear_open_look(walk.logbook.file, walk.walk.id)
    return opened.seconds


def _write(walk: "RoundWalk", opened: OpenLook, zone: str, seconds: float) -> None:
    own = zone == opened.zone
    log.append_look(
        walk.logbook.file,
        Look(
            id=opened.id if own else walk.logbook.file.next_id(),
            day=opened.day,
            plant_id=opened.plant_id,
            zone=zone,
            round_id=opened.round_id,
            began_at=opened.began_at,
            seconds=seconds,
            outcome="looked",
            reason=REST_OF_PLANT,
        ),
    )
