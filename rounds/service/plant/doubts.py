"""All doubts that are still open, over the whole collection."""

from collections.abc import Iterable
from dataclasses import dataclass

from rounds.core.quarantine.past import OpenDoubt
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.plant.status import PlantStatus


@dataclass(frozen=True, slots=True)
class DoubtLine:
    """Something woolly nobody has settled yet."""

    status: PlantStatus
    doubt: OpenDoubt

    @property
    def entry(self) -> str:
        """The name of its tally."""
        doubt = self.doubt
        return str(EntryName("tally", doubt.day, self.status.plant_id, doubt.tally_id))


def open_doubts(statuses: Iterable[PlantStatus]) -> list[DoubtLine]:
    """The open doubts of some plants, oldest first."""
    found = [DoubtLine(status, doubt) for status in statuses for doubt in status.doubts]
    return sorted(found, key=lambda d: (d.doubt.day, d.status.code.casefold(), d.doubt.tally_id))
