"""What happened to one plant in words, newest first: its visits, and what was said of it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from rounds import words
from rounds.core.collection import START, Plant
from rounds.core.lineage import origin_of, said_before
from rounds.core.log.courses import BEGUN
from rounds.service.courses.templates import course_name
from rounds.service.courses.text import numbered_step
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.plant.events import (
    GONE,
    CourseEntered,
    DividedFrom,
    DividedInto,
    FactSaid,
    Moved,
    PlantEvents,
    Repotted,
    TimeApart,
)
from rounds.service.plant.history import courses_entered, events_of
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.visits import Visit, visits_of
from rounds.words.forms import number

Kind = Literal[
    "visit",
    "came",
    "move",
    "apart",
    "watch",
    "ended",
    "record",
    "gone",
    "repotted",
    "divided",
    "course",
]
AT_THE_END = 1 << 62
"""Order of the end of a quarantine: after all entries of the day it was judged on."""


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One line of the history of a plant.

    `name` is of what can be taken back from here; of a visit its page takes back single entries.
    """

    day: date
    order: int
    """among the lines of the day"""
    kind: Kind
    text: str
    short: str
    """the same in a few characters"""
    name: EntryName | None = None
    visit: Visit | None = None
    of: str | None = None
    """the code of the plant it was divided from, where it was seen on that or said of it: it is
    put right there"""

    @property
    def entry(self) -> str | None:
        """The name of what can be taken back, as it is printed."""
        return str(self.name) if self.name else None

    @property
    def time(self) -> str:
        """Local time of day in words; empty where none was kept."""
        return self.visit.time if self.visit else ""

    @property
    def who(self) -> str | None:
        """Who walked the round."""
        return self.visit.who if self.visit else None

    @property
    def is_withdrawn(self) -> bool:
        """All of it was taken back."""
        return self.visit is not None and self.visit.is_withdrawn


def timeline(
    record: PlantRecord, first: date = date.min, last: date = date.max
) -> tuple[HistoryLine, ...]:
    """The history of a plant over some days, none after that of its record, newest first.

    Of a part, that of the plant it was divided from as well, up to the division.
    """
    lines = [*_lines(record, events_of(record, first, last)), *_of_the_whole(record, first, last)]
    told = (line for line in lines if first <= line.day <= last)
    return tuple(sorted(told, key=lambda line: (line.day, line.order), reverse=True))


def _lines(record: PlantRecord, events: PlantEvents) -> list[HistoryLine]:
    return [
        *(_visit(visit) for visit in visits_of(events.looks)),
        *map(_move, events.moves),
        *(line for time in events.times for line in _time(time)),
        *_facts(record, events.facts),
        *map(_repotted, events.repotted),
        *map(_divided, events.divided),
        *([_divided_from(events.divided_from)] if events.divided_from else []),
        *(_course(record, made) for made in events.courses),
    ]


def _of_the_whole(record: PlantRecord, first: date, last: date) -> Iterator[HistoryLine]:
    """Lines from the plants it came of by division, up to each division."""
    origin, whole = origin_of(record.plant), record.parent
    if origin is None or whole is None:
        return
    before = (origin.day, origin.entry)
    plant = said_before(whole.plant, *before)
    until = whole.with_less_said(plant)
    events = events_of(until, first, min(last, origin.day))
    looks = tuple(look for look in events.looks if (look.day, look.first_number) < before)
    for line in _lines(until, replace(events, looks=looks)):
        code = plant.code
        text = words.say("origins.history.of-whole", code=code, text=line.text)
        short = words.say("origins.history.of-whole", code=code, text=line.short)
        yield replace(line, of=code, text=text, short=short)
    yield from _of_the_whole(until, first, last)


def _visit(visit: Visit) -> HistoryLine:
    return HistoryLine(visit.day, visit.newest_id, "visit", visit.text, visit.short, visit=visit)


def _move(move: Moved) -> HistoryLine:
    where = words.say("round.place-and-spot", place=move.place, spot=move.spot)
    code = "came" if move.is_arrival else "moved"
    return HistoryLine(
        day=move.day,
        order=move.number,
        kind="came" if move.is_arrival else "move",
        text=words.say(f"plant.history.{code}", where=where if move.spot else move.place),
        short=words.say(f"plant.history.{code}-short"),
        name=None if move.is_arrival else move.name,
    )


def _time(time: TimeApart) -> Iterator[HistoryLine]:
    """Lines for the beginning and the end of a time apart."""
    kind: Kind = "watch" if time.kind == "watch" else "apart"
    because, _, code = time.because.partition(" ")
    yield HistoryLine(
        day=time.day,
        order=time.number,
        kind=kind,
        text=words.say(f"plant.began.{because}", code=code),
        short=words.say(f"plant.history.{kind}"),
        name=time.name if time.is_put_apart else None,
    )
    end = time.end
    if end is not None:
        how = "ended-early" if end.early else "ended-because" if end.reason else "ended"
        yield HistoryLine(
            day=end.day,
            order=AT_THE_END,
            kind="ended",
            text=words.say(f"plant.history.{how}", reason=end.reason),
            short=words.say("plant.history.ended"),
            name=end.name,
        )


def _facts(record: PlantRecord, facts: Iterable[FactSaid]) -> Iterator[HistoryLine]:
    """What was said of the plant later than on the day it was entered, a line a day."""
    by_day: dict[date, list[FactSaid]] = defaultdict(list)
    for fact in facts:
        if not fact.at_entry:
            by_day[fact.day].append(fact)
    for day, said in by_day.items():
        gone = next((fact for fact in said if fact.what == GONE), None)
        # of a plant that is gone, that it touches nothing any more is left out
        told = [fact for fact in said if not gone or fact.what in (GONE, "note")]
        yield HistoryLine(
            day=day,
            order=said[-1].number,
            kind="gone" if gone else "record",
            text=words.say("forms.and").join(fact_text(record, fact) for fact in told),
            short=words.say("plant.history.gone" if gone else "plant.history.record"),
            name=gone.name if gone else None,
        )


def _repotted(repotted: Repotted) -> HistoryLine:
    text, short = (words.say(f"origins.history.{code}") for code in ("repotted", "repotted-short"))
    return HistoryLine(repotted.day, repotted.number, "repotted", text, short, name=repotted.name)


def _divided(divided: DividedInto) -> HistoryLine:
    codes = ", ".join(divided.parts)
    text = words.say("origins.history.divided", into=divided.into, codes=codes)
    short = words.say("origins.history.divided-short")
    return HistoryLine(divided.day, divided.number, "divided", text, short, name=divided.name)


def _divided_from(origin: DividedFrom) -> HistoryLine:
    """The line of the division it came of; it cannot be taken back from here."""
    text = words.say("origins.history.divided-from", whole=origin.code)
    short = words.say("origins.history.divided-short")
    return HistoryLine(origin.day, origin.number, "divided", text, short)


def course_lines(record: PlantRecord) -> tuple[HistoryLine, ...]:
    """What was entered about courses of this very plant up to the day, oldest first."""
    made = courses_entered(record, date.min, record.on)
    return tuple(_course(record, each) for each in made)


def _course(record: PlantRecord, made: CourseEntered) -> HistoryLine:
    return HistoryLine(
        day=made.day,
        order=made.number,
        kind="course",
        text=course_text(record, made),
        short=words.say(f"courses.history.{made.what}-short"),
        name=made.name,
    )


def course_text(record: PlantRecord, made: CourseEntered) -> str:
    """What was entered of a course, in words."""
    course = made.course
    name, steps = course_name(record.logbook, course.course), len(course.steps)
    code = "begun-once" if made.what == BEGUN and steps == 1 else made.what
    step = ""
    if made.step is not None:
        step = numbered_step(made.step.kind, course.label, made.step.number, steps)
    return words.say(f"courses.history.{code}", name=name, steps=steps, step=step)


def gone_entry(plant: Plant) -> str | None:
    """The entry that says that a plant is gone, if one does."""
    gone = next((fact for fact in plant.facts if fact.what == "gone"), None)
    return str(EntryName("gone", gone.from_day, plant.id, gone.id)) if gone else None


def fact_text(record: PlantRecord, fact: FactSaid) -> str:
    """One thing said of the plant, in words."""
    if not fact.value:
        return words.say(f"plant.record-none.{fact.what}")
    if fact.what in ("clear_pot", "gone", START):
        return words.say(f"plant.record.{fact.what}-{fact.value}")
    return words.say(f"plant.record.{fact.what}", value=_value_text(record, fact))


def _value_text(record: PlantRecord, fact: FactSaid) -> str:
    if fact.what == "touching":
        plants = record.logbook.collection().plants
        return ", ".join(plants[int(other)].code for other in fact.value.split())
    if fact.what == "form":
        return words.say(f"desk_forms.growth-forms.{fact.value}")
    if fact.what == "dislikes":
        names = (words.say(f"desk_forms.dislikes.{code}") for code in fact.value.split())
        return ", ".join(names)
    return number(float(fact.value)) if fact.what == "value" else fact.value
