"""Put all that stood near a find on watch, in one go."""

from rounds.core.collection import STOOD_NEAR
from rounds.service.exposure.exposed import ExposureList
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.store import plants


def watch_all(logbook: Logbook, moment: Moment, found: ExposureList) -> list[EntryName]:
    """Write that each of them that is here and not in quarantine is watched; the entries' names.

    They are taken back together. Whoever is watched for this plant already is not written again.
    """
    written = []
    with plants.in_one_go(logbook.file):
        for exposed in found.to_watch:
            plant_id = exposed.status.plant_id
            entry_id = plants.append_period(
                logbook.file,
                plant_id,
                moment.day,
                moment.at_ms,
                kind="watch",
                began_because=f"{STOOD_NEAR} {found.code}",
            )
            written.append(EntryName("apart", moment.day, plant_id, entry_id))
    return written
