"""All doubts that are still open, over the whole collection."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from rounds.service.logbook.entry_ids import EntryName
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.record_text import standing_text, where_text


@dataclass(frozen=True, slots=True)
class DoubtLine:
    """Something woolly nobody has settled yet. `zone` is a code, `entry` the name of its tally."""

    entry: str
    code: str
    name: str
    where: str
    standing: str
    standing_text: str
    zone: str
    since: date
    count: int


def open_doubts(records: Iterable[PlantRecord]) -> list[DoubtLine]:
    """The open doubts of some plants, oldest first."""
    found = [
        (doubt.day, record.plant.code.casefold(), doubt.tally_id, record, doubt)
        for record in records
        for doubt in record.open_doubts
    ]
    return [
        DoubtLine(
            entry=str(EntryName("tally", doubt.day, record.plant.id, doubt.tally_id)),
            code=record.plant.code,
            name=record.name(),
            where=where_text(record),
            standing=record.standing,
            standing_text=standing_text(record),
            zone=doubt.zone,
            since=doubt.day,
            count=doubt.count,
        )
        for *_, record, doubt in sorted(found, key=lambda line: line[:3])
    ]
