"""The history of one plant as it is read: its events, from the log and from its record."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from rounds.core.collection import START, Period, Plant
from rounds.core.lineage import DIVIDED, OF_LINEAGE, origin_of
from rounds.core.log.courses import BEGUN, DONE, STOPPED
from rounds.core.log.effective import Corrections, EffectiveLook, effective_log, first_entered
from rounds.core.log.entries import Look, OpenLook, PlantEntries, Sign, Tally
from rounds.core.quarantine.days import credited_seconds
from rounds.errors import BadInput
from rounds.service.collection.division import parts_of
from rounds.service.collection.plants import moves_of
from rounds.service.collection.repot import REPOTTED
from rounds.service.courses.written import COURSE
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.plant.events import (
    FACT,
    GONE,
    CourseEntered,
    DividedFrom,
    DividedInto,
    Ended,
    FactSaid,
    LookMade,
    Moved,
    PlantEvents,
    Repotted,
    SignMade,
    State,
    TallyEntered,
    TimeApart,
)
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.zones import ZoneSeen, zones_seen
from rounds.store import walks


@dataclass(frozen=True, slots=True)
class PlantHistory:
    """Everything behind the status of a plant."""

    zones: tuple[ZoneSeen, ...]
    events: PlantEvents


def history_of(record: PlantRecord) -> PlantHistory:
    """The history of a plant at the end of the day of its record. BadInput before it came."""
    plant, on = record.plant, record.on
    if on < plant.first_day:
        raise BadInput("plant-not-yet", field="on", code=plant.code, day=on, first=plant.first_day)
    return PlantHistory(zones_seen(record, record.likely.left_by_zone), events_of(record))


@dataclass(frozen=True, slots=True)
class Span:
    """Some days, the first and the last counted."""

    first: date
    last: date

    def holds(self, day: date) -> bool:
        """Whether a day is one of them."""
        return self.first <= day <= self.last


def events_of(record: PlantRecord, first: date = date.min, last: date = date.max) -> PlantEvents:
    """What happened to a plant over some days, none of them after that of its record.

    Only entries about these days are read: what is entered about a day is only ever corrected
    about that day.

    Args:
        record: of the plant.
        first: day.
        last: day. A time apart that only ended on these days is among them.
    """
    span = Span(first, min(last, record.on))
    entries = record.entries_between(span.first, span.last)
    return PlantEvents(
        looks=tuple(_looks(record, entries, effective_log(entries, span.last))),
        moves=tuple(move for move in _moves(record) if span.holds(move.day)),
        times=tuple(_times(record.plant, span)),
        facts=tuple(fact for fact in _facts(record.plant) if span.holds(fact.day)),
        repotted=tuple(_repotted(record.plant, span)),
        divided=tuple(_divided(record, span)),
        divided_from=_divided_from(record, span),
        courses=courses_entered(record, span.first, span.last),
    )


def _looks(
    record: PlantRecord, entries: PlantEntries, effective: Sequence[EffectiveLook]
) -> Iterator[LookMade]:
    """Every look, also those taken back, with all counts and signs under them."""
    closed = {look.id for look in entries.looks}
    still_open = (look for look in entries.open_looks if look.id not in closed)
    made: tuple[Look | OpenLook, ...] = (*entries.looks, *still_open)
    rounds = sorted({look.round_id for look in made})
    who = walks.who_by_round(record.logbook.file, rounds)
    stands = {look.id: look for look in effective}
    shelf = _Shelf(entries, {look.id for look in made}, record.pests[0])
    for look in sorted(made, key=lambda look: (look.day, look.id)):
        credited = _credited(record, stands.get(look.id))
        by = who[look.round_id]
        yield shelf.look_made(look, by, credited, is_effective=look.id in stands)


def _credited(record: PlantRecord, look: EffectiveLook | None) -> float:
    """Credited seconds of a look; 0 where it was taken back or the plant lacked its zone."""
    if look is None:
        return 0.0
    for zone in record.body_on(look.day).zones:
        if zone.zone == look.zone:
            inspection = record.table.inspection
            return credited_seconds(look, zone.reference_seconds, inspection)
    return 0.0


class _Shelf:
    """Counts and signs, each under the look that holds it or held it last."""

    def __init__(self, entries: PlantEntries, looks: set[int], first_pest: str) -> None:
        self._first_pest = first_pest
        self._corrections = Corrections(entries.withdrawals)
        self._first = first_entered(entries)
        self._stages = {
            given.tally_id: given.stage
            for given in sorted(entries.stages, key=lambda given: given.id)
            if self._corrections.stands(given.id)
        }
        self._tallies: dict[int, list[Tally]] = defaultdict(list)
        self._signs: dict[int, list[Sign]] = defaultdict(list)
        for tally in sorted(entries.tallies, key=lambda tally: tally.id):
            self._tallies[self._corrections.holder(tally.look_id, looks)].append(tally)
        for sign in sorted(entries.signs, key=lambda sign: sign.id):
            self._signs[self._corrections.holder(sign.look_id, looks)].append(sign)

    def look_made(
        self, look: Look | OpenLook, who: str | None, credited_seconds: float, *, is_effective: bool
    ) -> LookMade:
        """One look as it stands now, with all that was entered at it."""
        is_closed = isinstance(look, Look)
        stands: State = "stands" if is_closed else "open"
        return LookMade(
            name=EntryName("look", look.day, look.plant_id, look.id),
            state=stands if is_effective else self._why_not(look.id),
            at_seconds=look.began_at,
            who=who,
            zone=look.zone,
            round_id=look.round_id,
            seconds=look.seconds,
            credited_seconds=credited_seconds,
            outcome=look.outcome if isinstance(look, Look) else "partial",
            reason=look.reason if isinstance(look, Look) else None,
            unpotted=look.unpotted,
            first_number=self._first(look.id),
            tallies=tuple(self._tally(tally, who) for tally in self._tallies[look.id]),
            signs=tuple(self._sign(sign, who) for sign in self._signs[look.id]),
        )

    def _tally(self, tally: Tally, who: str | None) -> TallyEntered:
        is_doubt = tally.kind == "doubtful"
        return TallyEntered(
            name=EntryName("tally", tally.day, tally.plant_id, tally.id),
            state=self._state(tally),
            at_seconds=tally.at_ms / 1000,
            who=who,
            kind=tally.kind,
            stage=self._stages.get(tally.id, tally.stage),
            pest=tally.pest,
            is_of_first_pest=tally.pest == self._first_pest,
            count=tally.count,
            settled_as=self._corrections.verdict(tally.id) if is_doubt else None,
        )

    def _sign(self, sign: Sign, who: str | None) -> SignMade:
        return SignMade(
            name=EntryName("sign", sign.day, sign.plant_id, sign.id),
            state=self._state(sign),
            at_seconds=sign.at_ms / 1000,
            who=who,
            sign=sign.kind,
        )

    def _state(self, entry: Tally | Sign) -> State:
        goes_with_look = self._corrections.heir(entry.look_id) is None
        if self._corrections.stands(entry.id) and not goes_with_look:
            return "stands"
        return self._why_not(entry.id)

    def _why_not(self, entry_id: int) -> State:
        against = self._corrections.against(entry_id)
        if against is None:
            return "taken-back"
        whys: dict[str, State] = {"corrected": "corrected", "reopened": "reopened"}
        return whys.get(against.why, "taken-back")


def _moves(record: PlantRecord) -> Iterator[Moved]:
    places = record.logbook.collection().places
    for index, move in enumerate(moves_of(record.plant, record.on)):
        yield Moved(
            name=EntryName("move", move.day, move.plant_id, move.id),
            place=places[move.place_id].name,
            spot=move.spot,
            is_arrival=index == 0,
        )


def _times(plant: Plant, span: Span) -> Iterator[TimeApart]:
    for period in sorted(plant.periods, key=lambda p: (p.began_on, p.id)):
        if period.began_on > span.last:
            continue
        end = _end(period, span.last)
        if span.holds(period.began_on) or (end is not None and span.holds(end.day)):
            yield TimeApart(
                name=EntryName("apart", period.began_on, period.plant_id, period.id),
                kind=period.kind,
                because=period.began_because,
                is_put_apart=period.is_put_apart,
                end=end,
            )


def _end(period: Period, on: date) -> Ended | None:
    """How it ended, as it was known at the end of a day."""
    if period.ended_on is None or period.end_id is None or period.is_open(on):
        return None
    name = EntryName("ended", period.ended_on, period.plant_id, period.end_id)
    return Ended(name=name, reason=period.reason, early=period.early)


def _facts(plant: Plant) -> Iterator[FactSaid]:
    """What was said of it besides repottings and divisions, in the order in which it was said."""
    said = [f for f in plant.facts if f.what not in OF_LINEAGE and f.what != REPOTTED]
    known: set[str] = set()
    facts = sorted(said, key=lambda fact: fact.id)
    for fact in facts:
        kind = GONE if fact.what == GONE else FACT
        yield FactSaid(
            name=EntryName(kind, fact.from_day, plant.id, fact.id),
            what=fact.what,
            value=fact.value,
            at_entry=fact.what not in {*known, START} and fact.from_day == facts[0].from_day,
        )
        known.add(fact.what)


def _repotted(plant: Plant, span: Span) -> Iterator[Repotted]:
    said = [f for f in plant.facts if f.what == REPOTTED and span.holds(f.from_day)]
    for fact in sorted(said, key=lambda f: (f.from_day, f.id)):
        yield Repotted(name=EntryName(REPOTTED, fact.from_day, plant.id, fact.id))


def _divided(record: PlantRecord, span: Span) -> Iterator[DividedInto]:
    """Every division of this very plant."""
    plant = record.plant
    said = [f for f in plant.facts if f.what == DIVIDED and span.holds(f.from_day)]
    for fact in sorted(said, key=lambda f: (f.from_day, f.id)):
        parts = sorted(parts_of(record.logbook, plant, fact.id), key=lambda part: part.id)
        yield DividedInto(
            name=EntryName(DIVIDED, fact.from_day, plant.id, fact.id),
            into=int(fact.value),
            parts=tuple(part.code for part in parts),
        )


def _divided_from(record: PlantRecord, span: Span) -> DividedFrom | None:
    """The division it came of."""
    origin = origin_of(record.plant)
    if origin is None or not span.holds(origin.day):
        return None
    parent = record.logbook.collection().plants[origin.parent_id]
    # taken back with the division alone, by the entry of the plant it came from
    name = EntryName(DIVIDED, origin.day, record.plant.id, origin.entry)
    return DividedFrom(name=name, code=parent.code, into=origin.parts)


def courses_entered(record: PlantRecord, first: date, last: date) -> tuple[CourseEntered, ...]:
    """What was entered about courses of this very plant over some days, oldest first."""
    made = _courses(record, Span(first, last))
    return tuple(sorted(made, key=lambda each: (each.day, each.number)))


def _courses(record: PlantRecord, span: Span) -> Iterator[CourseEntered]:
    """What was entered about courses of this very plant that stand."""
    plant = record.plant
    for course in plant.courses:
        if span.holds(course.began_on):
            name = EntryName(COURSE, course.began_on, plant.id, course.id)
            yield CourseEntered(name=name, course=course, what=BEGUN, step=None)
    # a part goes on with the courses of the plant it was divided from
    known = {course.id: course for course in record.lived.courses}
    for mark in plant.marks:
        of = known.get(mark.course_id)
        if of is not None and span.holds(mark.day):
            step = next((step for step in of.steps if step.id == mark.step_id), None)
            what = STOPPED if step is None else DONE
            name = EntryName(what, mark.day, plant.id, mark.id)
            yield CourseEntered(name=name, course=of, what=what, step=step)
