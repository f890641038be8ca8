"""One plant as its page shows it: how it stands, its zones, and what was entered last."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.plan.score import PlantRisk
from rounds.service.inference.own_detection import OwnDetection
from rounds.service.plant.company import batch_told, came_of, came_together, cleared_before
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.record_text import (
    risk_parts,
    risk_text,
    standing_text,
    streak_words,
    where_text,
)
from rounds.service.plant.timeline import HistoryLine, timeline
from rounds.service.plant.visits import EntryLine
from rounds.service.plant.zones import ZoneSeen, zones_seen
from rounds.words.forms import calendar_day, day_month, likely_clean


@dataclass(frozen=True, slots=True)
class NewestEntry:
    """The look, count or move entered last that stands, as a sentence."""

    entry: str
    text: str


@dataclass(frozen=True, slots=True)
class PlantDetail:
    """All that the page of a plant says."""

    on: date
    code: str
    name: str
    botanical_name: str | None
    form: str
    size: str
    where: str
    standing: str
    standing_text: str
    sentence: str
    streak_text: str
    clean_text: str
    risk_text: str
    risk_parts: str
    risk: PlantRisk
    zones: tuple[ZoneSeen, ...]
    looks: int
    """how often it was looked at, in a round or by an entry for a day; before a division too"""
    newest: NewestEntry | None
    history: tuple[HistoryLine, ...]
    """newest first"""
    touches: tuple[str, ...]
    """codes"""
    note: str | None
    own_text: str
    """what the grower finds, from zones looked at twice; empty before the first"""

    @property
    def is_gone(self) -> bool:
        """Nothing more is entered about it."""
        return self.standing == "gone"


def plant_detail(record: PlantRecord) -> PlantDetail:
    """What the page of a plant says at the end of the day of its record."""
    plants = record.logbook.collection().plants
    history = timeline(record)
    return PlantDetail(
        on=record.on,
        code=record.plant.code,
        name=record.name(),
        botanical_name=record.plant.fact("botanical_name", record.on),
        form=record.body.form,
        size=record.body.size,
        where=where_text(record),
        standing=record.standing,
        standing_text=standing_text(record),
        sentence=_sentence(record),
        streak_text=streak_words(record.streak),
        clean_text=likely_clean(record.likely.chance_clean),
        risk_text=risk_text(record),
        risk_parts=risk_parts(record),
        risk=record.likely.risk,
        zones=zones_seen(record),
        looks=sum(1 for line in history if line.visit and not line.is_withdrawn),
        newest=newest_entry(history, record.on),
        history=history,
        touches=tuple(sorted(plants[other].code for other in record.plant.touching(record.on))),
        note=record.plant.fact("note", record.on),
        own_text=own_text(record.day.own_detection),
    )


def own_text(own: OwnDetection) -> str:
    """What the grower finds, of what is assumed; nothing where no zone was looked at twice."""
    if not own.pairs:
        return ""
    if not own.found:
        return words.say("bench.own-nothing")
    code = "own-one" if own.pairs == 1 else "own"
    return words.say(f"bench.{code}", times=f"{own.theta:.1f}", pairs=own.pairs)


def newest_entry(history: Sequence[HistoryLine], on: date) -> NewestEntry | None:
    """What would be taken back first: the entry made last, whatever day it is about."""
    history = [line for line in history if line.of is None]
    visits = [line.visit for line in history if line.visit and line.visit.newest_standing_id]
    visit = max(visits, key=lambda visit: visit.newest_standing_id or 0, default=None)
    # by when it was made: a line may stand elsewhere among those of its day
    moves = [(line.name.entry_id, line) for line in history if line.name]
    number, move = max(moves, key=lambda made: made[0], default=(0, None))
    newest = (visit and visit.newest_standing_id) or 0
    if move is not None and number > newest:
        text = words.say("plant.entry.when-day", what=move.text, day=day_month(move.day, on))
        return NewestEntry(str(move.name), text)
    if visit is None:
        return None
    entry = next(entry for entry in visit.entries() if entry.event.number == newest)
    return NewestEntry(entry.id, entry_sentence(entry, visit.day, on))


def entry_sentence(entry: EntryLine, day: date, on: date) -> str:
    """3 off at leaf bases, today 7:31; axils, nothing, 0:25, 3 May 7:20."""
    when = "when" if entry.time else "when-day"
    return words.say(
        f"plant.entry.{when}", what=entry.at_zone, day=day_month(day, on), time=entry.time
    )


def _sentence(record: PlantRecord) -> str:
    """Where it came from, when and with whom; when it was last found infested, and cleared."""
    arrived = record.plant.fact("arrived", record.on)
    source = record.plant.fact("source", record.on)
    came = date.fromisoformat(arrived) if arrived else record.plant.first_day
    day = calendar_day(came, record.on)
    code = ("came-from" if source else "came") if arrived else "here-since"
    found = record.last_find_on
    last = (
        words.say("plant.sentence.never-found")
        if found is None
        else words.say("plant.sentence.last-found", day=day_month(found, record.on))
    )
    origin = came_of(record) or words.say(f"plant.sentence.{code}", day=day, source=source)
    cleared = cleared_before(record)
    told = [last, cleared] if cleared else [*batch_told(record), last]
    batch = "" if cleared else came_together(record)
    if batch:
        origin = words.say("lives.with", origin=origin, codes=batch)
    pooled = words.say("plant.sentence.pooled") if record.likely.method == "pooled" else ""
    return words.say("forms.and").join(filter(None, [origin, *told, pooled]))
