"""The days on which insects may have come from a plant: around the finds that follow each other."""

from dataclasses import dataclass
from datetime import date, timedelta

from rounds.core.lineage import Life, lives_of
from rounds.errors import BadInput, Refused
from rounds.service.plant.record import PlantRecord


@dataclass(frozen=True, slots=True)
class Spell:
    """Finds that follow each other, and the days for which others count as exposed to them."""

    record: PlantRecord
    first_find: date
    last_find: date
    since: date
    """its last clean full check before the first of these finds, or the day it came"""
    is_checked: bool
    """whether `since` is such a check"""
    until: date
    """up to the day spoken about, as long as insects are taken to live on it"""

    @property
    def lives(self) -> tuple[Life, ...]:
        """The plant, with those it was divided from."""
        plants = self.record.logbook.collection().plants
        return lives_of(self.record.plant, plants, self.record.on)


def spells_of(record: PlantRecord) -> list[Spell]:
    """The spells of a plant up to the end of the day of its record, oldest first.

    Finds belong together where none lies further from the one before than insects are taken to
    live on a plant after a find.
    """
    lately = timedelta(record.table.planning.claims.alive_days)
    runs: list[list[date]] = []
    for day in record.live_on:
        if runs and day - runs[-1][-1] <= lately:
            runs[-1].append(day)
        else:
            runs.append([day])
    return [_spell(record, run[0], run[-1], lately, run is runs[-1]) for run in runs]


def spell_of(record: PlantRecord, found_on: date | None) -> Spell:
    """The spell of a find, by its day; of the last one where no day is given.

    Refused where nothing was found on the plant, BadInput where nothing was on that day.
    """
    code = record.plant.code
    spells = spells_of(record)
    if not spells:
        raise Refused("never-found", code=code, field="code")
    if found_on is None:
        return spells[-1]
    if found_on not in record.live_on:
        last = max((d for d in record.live_on if d <= found_on), default=record.live_on[0])
        raise BadInput("not-found-then", code=code, day=found_on, found=last, field="found_on")
    return next(spell for spell in spells if spell.first_find <= found_on <= spell.last_find)


def _spell(
    record: PlantRecord, first: date, last: date, lately: timedelta, is_newest: bool
) -> Spell:
    is_left = is_newest and any(zone.left for zone in record.known.zones.values())
    until = record.on if is_left else min(record.on, last + lately)
    live = set(record.live_on)
    checked = [d.day for d in record.days(record.pest) if d.complete and d.day not in live]
    before = max((day for day in checked if day < first), default=None)
    return Spell(record, first, last, before or record.lived.first_day, before is not None, until)
