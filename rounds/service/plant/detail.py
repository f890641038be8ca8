"""One plant as its page shows it: how it stands, its zones, and what was entered last."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.estimates.own_detection import OwnDetection
from rounds.service.growth.rising import growth_text
from rounds.service.inference.kept import NotKept, only_kept
from rounds.service.plant.claims import beside_worse, found_again, move_out_since
from rounds.service.plant.origins import (
    batch_told,
    came_of,
    came_together,
    cleared_before,
    heat_of,
    heat_text,
)
from rounds.service.plant.reasons import found_again_text
from rounds.service.plant.record import DayOfPlants, PlantRecord
from rounds.service.plant.status import PlantStatus, is_alarmed
from rounds.service.plant.status_text import pest_texts
from rounds.service.plant.timeline import HistoryLine, timeline
from rounds.service.plant.visits import EntryLine
from rounds.service.plant.zones import ZoneSeen, zones_seen
from rounds.words.forms import calendar_day, day_month

LATELY_DAYS = 24
"""most days with looks whose history a page has room for"""


@dataclass(frozen=True, slots=True)
class NewestEntry:
    """The look, count or move entered last that stands, as a sentence."""

    entry: str
    text: str


@dataclass(frozen=True, slots=True)
class PlantDetail:
    """All that the page of a plant says."""

    status: PlantStatus
    sentence: str
    zones: tuple[ZoneSeen, ...]
    newest: NewestEntry | None
    history: tuple[HistoryLine, ...]
    """newest first, of the days that were asked for"""
    beside: str
    """of a plant in quarantine: near which one with insects it stands; empty where near none"""
    touches: tuple[str, ...]
    """codes"""
    note: str | None
    own_text: str
    """what the grower finds, from zones looked at twice; empty before the first"""
    own_brief: str
    """the same without what it is from, where that has no room"""
    heat_text: str
    """that it was warmer than anything is known of; empty where it was not"""

    @property
    def on(self) -> date:
        """The day at whose end it is told."""
        return self.status.on

    @property
    def is_gone(self) -> bool:
        """Nothing more is entered about it."""
        return self.status.standing == "gone"


def plant_detail(
    record: PlantRecord, status: PlantStatus, days: tuple[date, date] | None = None
) -> PlantDetail:
    """What the page of a plant says at the end of the day of its record; nothing is worked out.

    Args:
        record: of the plant.
        status: as far as it is worked out.
        days: the first and last whose history is told; the last few on which it was looked at
            where none are named.
    """
    plants = record.logbook.collection().plants
    history = timeline(record, *(days or (_lately(record), record.on)))
    own = known_eye(record.day)
    return PlantDetail(
        status=status,
        sentence=words.say("forms.and").join(
            filter(None, [*pest_texts(status), _sentence(record, status)])
        ),
        zones=zones_seen(record, status.left_by_zone or {}),
        newest=_newest_entry(record, history),
        history=history,
        beside=_beside(record),
        touches=tuple(sorted(plants[other].code for other in record.plant.touching(record.on))),
        note=record.plant.fact("note", record.on),
        own_text=own_text(own),
        own_brief=own_text(own, is_brief=True),
        heat_text=heat_text(heat_of(record), record.on),
    )


def known_eye(day: DayOfPlants) -> OwnDetection | None:
    """The grower's own detection as far as it is kept; None where it is not worked out yet."""
    with only_kept(day.logbook), suppress(NotKept):
        return day.own_detection
    return None


def own_text(own: OwnDetection | None, *, is_brief: bool = False) -> str:
    """The grower's own detection in words; empty where nothing tells of it yet."""
    if own is None or not own.is_used or not own.found:
        return ""
    ends = (f"{end:.1f}" for end in (own.theta, own.low, own.high))
    said = dict(zip(("times", "low", "high"), ends, strict=True))
    if is_brief:
        return words.say("bench.own-brief", **said)
    pairs = words.say(f"bench.own-{'one-pair' if own.pairs == 1 else 'pairs'}", pairs=own.pairs)
    finds = words.say(f"bench.own-{'one-find' if own.found == 1 else 'finds'}", finds=own.found)
    return words.say("bench.own", pairs=pairs, finds=finds, **said)


def _lately(record: PlantRecord) -> date:
    """The first of the last few days on which it was looked at."""
    days = record.days(record.pest)[-LATELY_DAYS:]
    return days[0].day if len(days) == LATELY_DAYS else date.min


def _newest_entry(record: PlantRecord, history: Sequence[HistoryLine]) -> NewestEntry | None:
    """What would be taken back first: the entry made last, whatever day it is about."""
    newest = record.known.newest
    if newest is not None and all(line.day != newest[1] for line in history):
        history = [*history, *timeline(record, newest[1], newest[1])]
    return newest_entry(history, record.on)


def newest_entry(history: Sequence[HistoryLine], on: date) -> NewestEntry | None:
    """Of some lines the entry that was made last and can be taken back."""
    history = [line for line in history if line.of is None]
    visits = [line.visit for line in history if line.visit and line.visit.newest_effective_id]
    visit = max(visits, key=lambda visit: visit.newest_effective_id or 0, default=None)
    # by id, the order of entering: lines of a day may be sorted otherwise
    moves = [(line.name.entry_id, line) for line in history if line.name]
    number, move = max(moves, key=lambda made: made[0], default=(0, None))
    newest = (visit and visit.newest_effective_id) or 0
    if move is not None and number > newest:
        text = words.say("plant.entry.when-day", what=move.text, day=day_month(move.day, on))
        return NewestEntry(str(move.name), text)
    if visit is None:
        return None
    entry = next(entry for entry in visit.entries() if entry.event.number == newest)
    return NewestEntry(entry.id, entry_sentence(entry, visit.day, on))


def entry_sentence(entry: EntryLine, day: date, on: date) -> str:
    """An entry in words: 3 off at leaf bases, today 7:31; axils, nothing, 0:25, 3 May 7:20."""
    when = "when" if entry.time else "when-day"
    return words.say(
        f"plant.entry.{when}", what=entry.at_zone, day=day_month(day, on), time=entry.time
    )


def _sentence(record: PlantRecord, status: PlantStatus) -> str:
    """That its finds rise beyond chance; where it came from, when and with whom; its last find."""
    alarm = growth_text(status.growth, record.on) if is_alarmed(status) else ""
    arrived = record.plant.fact("arrived", record.on)
    source = record.plant.fact("source", record.on)
    came = date.fromisoformat(arrived) if arrived else record.plant.first_day
    day = calendar_day(came, record.on)
    code = ("came-from" if source else "came") if arrived else "here-since"
    found = record.last_find_on
    last = _last_found(record, found)
    origin = came_of(record) or words.say(f"plant.sentence.{code}", day=day, source=source)
    cleared = cleared_before(record)
    told = [last, cleared.text] if cleared else [*batch_told(record), last]
    batch = "" if cleared else came_together(record)
    if batch:
        origin = words.say("origins.with", origin=origin, codes=batch)
    pooled = words.say("plant.sentence.pooled") if status.method == "pooled" else ""
    to_move = words.say("today.reasons.move-out") if move_out_since(record) else ""
    again = found_again(record)
    to_search = found_again_text(again) if again.is_asked(record.on) else ""
    return words.say("forms.and").join(
        filter(None, [alarm, to_move, to_search, origin, *told, pooled])
    )


def _beside(record: PlantRecord) -> str:
    met = beside_worse(record)
    if met is None:
        return ""
    day = day_month(met.found_on, record.on)
    return words.say("plant.sentence.beside", code=met.code, day=day)


def _last_found(record: PlantRecord, found: date | None) -> str:
    """When anything was last found on it; on the day it came that may have been seen alone."""
    if found is None:
        return words.say("plant.sentence.never-found")
    # a count of that day says more than that insects were seen
    is_seen_alone = found == record.insects_seen_on and not record.known.is_counted
    code = "insects-seen" if is_seen_alone else "last-found"
    return words.say(f"plant.sentence.{code}", day=day_month(found, record.on))
