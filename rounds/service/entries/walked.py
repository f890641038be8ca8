"""What a round has looked at."""

from rounds.core.log.effective import EffectiveLook, effective_log
from rounds.core.walks import Round
from rounds.service.logbook.book import Logbook
from rounds.store import log

OPENED = "opened-by-find"
"""Reason of a closed look: its zone was looked at with the whole plant until a find opened it.

Its turn is still to come.
"""

REST_OF_PLANT = "rest-of-plant"
"""Why a look was closed: together with the rest of its plant, with which it shared the seconds."""


def looks_of(logbook: Logbook, walk: Round) -> dict[int, list[EffectiveLook]]:
    """The closed looks of a round that stand, by plant."""
    by_plant = log.entries_by_plant(logbook.file, walk.day, walk.day)
    return {
        plant_id: [
            look
            for look in effective_log(entries, walk.day)
            if look.round_id == walk.id and not look.is_open
        ]
        for plant_id, entries in by_plant.items()
    }
