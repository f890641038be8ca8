"""What happened to one plant, newest first: visits, moves, times apart, changes of its record."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from rounds import words
from rounds.core.collection import Fact, Period, Plant
from rounds.core.lineage import DIVIDED, DIVIDED_FROM, origin_of, said_before
from rounds.service.collection.division import parts_of
from rounds.service.collection.plants import moves_of
from rounds.service.collection.repot import REPOTTED
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.visits import Visit, visits_of
from rounds.words.forms import number

Kind = Literal[
    "visit", "came", "move", "apart", "watch", "ended", "record", "gone", "repotted", "divided"
]
OF_ITS_LIFE = frozenset({REPOTTED, DIVIDED, DIVIDED_FROM})
AT_THE_END = 1 << 62
"""A quarantine is judged at the end of the day: after all that was entered about it."""


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One line of the history of a plant.

    `entry` is what can be taken back from here; of a visit its page takes back single entries.
    """

    day: date
    order: int
    """among the lines of the day"""
    kind: Kind
    text: str
    short: str
    """the same in a few characters"""
    entry: str | None = None
    visit: Visit | None = None
    of: str | None = None
    """the code of the plant it was divided from, where it was seen on that or said of it: it is
    put right there"""

    @property
    def time(self) -> str:
        """Of the local clock; empty where none was kept."""
        return self.visit.time if self.visit else ""

    @property
    def who(self) -> str | None:
        """Who walked the round."""
        return self.visit.who if self.visit else None

    @property
    def is_withdrawn(self) -> bool:
        """All of it was taken back."""
        return self.visit is not None and self.visit.is_withdrawn


def timeline(record: PlantRecord) -> tuple[HistoryLine, ...]:
    """The history of a plant up to the day of its record, newest first.

    Of a part, that of the plant it was divided from as well, up to the division.
    """
    lines = [*_lines(record, visits_of(record)), *_of_the_whole(record)]
    return tuple(sorted(lines, key=lambda line: (line.day, line.order), reverse=True))


def _lines(record: PlantRecord, visits: Iterable[Visit]) -> list[HistoryLine]:
    return [
        *_visits(visits),
        *_moves(record),
        *_periods(record),
        *_facts(record),
        *_lives(record),
    ]


def _of_the_whole(record: PlantRecord) -> Iterable[HistoryLine]:
    """What belongs to the plant it was divided from, and to those that one came from."""
    origin, whole = origin_of(record.plant), record.parent
    if origin is None or whole is None:
        return
    before = (origin.day, origin.entry)
    plant = said_before(whole.plant, *before)
    until = whole.with_less_said(plant)
    for line in _lines(until, visits_of(until, before)):
        code = plant.code
        text = words.say("lives.history.of-whole", code=code, text=line.text)
        short = words.say("lives.history.of-whole", code=code, text=line.short)
        yield replace(line, of=code, text=text, short=short)
    yield from _of_the_whole(until)


def _visits(visits: Iterable[Visit]) -> Iterable[HistoryLine]:
    for visit in visits:
        yield HistoryLine(visit.day, visit.newest_id, "visit", visit.text, visit.short, visit=visit)


def _moves(record: PlantRecord) -> Iterable[HistoryLine]:
    plant = record.plant
    places = record.logbook.collection().places
    for index, move in enumerate(moves_of(plant, record.on)):
        place = places[move.place_id].name
        where = words.say("round.place-and-spot", place=place, spot=move.spot)
        came = index == 0
        yield HistoryLine(
            day=move.day,
            order=move.id,
            kind="came" if came else "move",
            text=words.say(
                "plant.history.came" if came else "plant.history.moved",
                where=where if move.spot else place,
            ),
            short=words.say("plant.history.came-short" if came else "plant.history.moved-short"),
            entry=None if came else str(EntryName("move", move.day, plant.id, move.id)),
        )


def _periods(record: PlantRecord) -> Iterable[HistoryLine]:
    for period in record.plant.periods:
        if period.began_on > record.on:
            continue
        kind: Kind = "watch" if period.kind == "watch" else "apart"
        apart = EntryName("apart", period.began_on, period.plant_id, period.id)
        yield HistoryLine(
            period.began_on,
            period.id,
            kind,
            _began(period),
            words.say(f"plant.history.{kind}"),
            entry=str(apart) if period.is_put_apart else None,
        )
        if period.ended_on is not None and period.ended_on <= record.on:
            yield HistoryLine(
                period.ended_on,
                AT_THE_END,
                "ended",
                _ended(period),
                words.say("plant.history.ended"),
                entry=str(EntryName("ended", period.ended_on, period.plant_id, period.end_id or 0)),
            )


def _began(period: Period) -> str:
    because, _, code = period.began_because.partition(" ")
    return words.say(f"plant.began.{because}", code=code)


def _ended(period: Period) -> str:
    code = "ended-early" if period.early else "ended-because" if period.reason else "ended"
    return words.say(f"plant.history.{code}", reason=period.reason)


def _facts(record: PlantRecord) -> Iterable[HistoryLine]:
    """What was said of the plant later than on the day it was entered, a line a day."""
    said_once = [fact for fact in record.plant.facts if fact.what not in OF_ITS_LIFE]
    facts = sorted(said_once, key=lambda fact: fact.id)
    known: set[str] = set()
    by_day: dict[date, list[Fact]] = defaultdict(list)
    for fact in facts:
        is_first = fact.what not in known and fact.from_day == facts[0].from_day
        known.add(fact.what)
        if not is_first and fact.from_day <= record.on:
            by_day[fact.from_day].append(fact)
    for day, said in by_day.items():
        gone = any(fact.what == "gone" for fact in said)
        # that it touches nothing any more goes without saying
        told = [fact for fact in said if not gone or fact.what in ("gone", "note")]
        texts = [fact_text(record, fact) for fact in told]
        yield HistoryLine(
            day=day,
            order=said[-1].id,
            kind="gone" if gone else "record",
            text=words.say("forms.and").join(texts),
            short=words.say("plant.history.gone" if gone else "plant.history.record"),
            entry=gone_entry(record.plant) if gone else None,
        )


def _lives(record: PlantRecord) -> Iterable[HistoryLine]:
    """That it was repotted, divided, or came of a division."""
    plants = record.logbook.collection().plants
    for fact in record.plant.facts:
        if fact.what not in OF_ITS_LIFE or fact.from_day > record.on:
            continue
        new = [part.code for part in parts_of(record.logbook, record.plant, fact.id)]
        origin = origin_of(record.plant)
        kind: Kind = "repotted" if fact.what == REPOTTED else "divided"
        name = EntryName(kind, fact.from_day, record.plant.id, fact.id)
        yield HistoryLine(
            day=fact.from_day,
            order=fact.id,
            kind=kind,
            text=words.say(
                f"lives.history.{fact.what}",
                into=fact.value,
                codes=", ".join(new),
                whole=plants[origin.parent_id].code if origin else "",
            ),
            short=words.say(f"lives.history.{kind}-short"),
            # of a part nothing is taken back without the plant it came from
            entry=None if fact.what == DIVIDED_FROM else str(name),
        )


def gone_entry(plant: Plant) -> str | None:
    """The entry that says that a plant is gone, if one does."""
    gone = next((fact for fact in plant.facts if fact.what == "gone"), None)
    return str(EntryName("gone", gone.from_day, plant.id, gone.id)) if gone else None


def fact_text(record: PlantRecord, fact: Fact) -> str:
    """One thing said of the plant, in words."""
    if not fact.value:
        return words.say(f"plant.record-none.{fact.what}")
    if fact.what in ("clear_pot", "gone"):
        return words.say(f"plant.record.{fact.what}-{fact.value}")
    return words.say(f"plant.record.{fact.what}", value=_value_text(record, fact))


def _value_text(record: PlantRecord, fact: Fact) -> str:
    if fact.what == "touching":
        plants = record.logbook.collection().plants
        return ", ".join(plants[int(other)].code for other in fact.value.split())
    if fact.what == "form":
        return words.say(f"desk_forms.growth-forms.{fact.value}")
    if fact.what == "dislikes":
        names = (words.say(f"desk_forms.dislikes.{code}") for code in fact.value.split())
        return ", ".join(names)
    return number(float(fact.value)) if fact.what == "value" else fact.value
