"""What the machine asks of a logbook, and what it reads past it: all of its inside knowledge."""

import sqlite3
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from functools import cached_property
from math import isclose
from pathlib import Path

from rounds.clock import SetClock
from rounds.core.collection import CLEANED, Plant
from rounds.core.log.entries import LIVE_KINDS, VERDICTS
from rounds.errors import Refused
from rounds.service.collection.away_entry import name_of
from rounds.service.courses.standing import courses_of
from rounds.service.exposure.emptied import emptied_spots
from rounds.service.exposure.exposed import ExposureList, exposure_to
from rounds.service.inference.day import collection_on, record_of, records
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import CHOICES, chosen
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.plan.today import DayPlan, plan_day
from rounds.service.plant.doubts import open_doubts
from rounds.service.plant.events import LookMade
from rounds.service.plant.history import events_of
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import seen_status, status_of
from rounds.service.plant.timeline import timeline
from rounds.store import derived

Row = tuple[object, ...]

DAY_OF = {
    "look": 0, "tally": 0, "tally_stage": 0, "withdrawal": 0, "sign": 0, "second_look": 0,
    "move": 2, "period": 2, "period_end": 2, "plant_fact": 2, "place_fact": 2, "weather": 2,
    "away": 1, "round": 1, "value_change": 1, "course": 2, "course_mark": 2, "course_step": 5,
}  # fmt: skip
"""The tables of the log, and where in a row of each its day stands; of a step the day it is due."""

ID_OF = {"look": 2, "tally": 2, "tally_stage": 2, "withdrawal": 3, "sign": 2}
"""Where the id stands; first in all other tables. A second look has that of its look."""

ROUND_AS_BEGUN = "SELECT id, day, who, began_at, minutes, how FROM round"
"""That a round ended is written beside it."""

CLOSE = 1e-9


class Rows:
    """Every row of the log as the file holds it, read past the program's own code."""

    def __init__(self, logbook: Logbook) -> None:
        connection = logbook.file.connection
        self.by_table = {table: _rows(connection, table) for table in DAY_OF}
        self.last_number = logbook.file.last_number()
        self.reserved = {row[0] for row in connection.execute("SELECT look_id FROM open_look")}

    def missing_from(self, later: "Rows") -> list[tuple[str, Row]]:
        """Rows that are there no longer, or no longer as they were."""
        return list(_beyond(self.by_table, later.by_table))

    def new_since(self, before: "Rows") -> list[tuple[str, Row]]:
        """Rows that were not there before."""
        return list(_beyond(self.by_table, before.by_table))

    @cached_property
    def ids(self) -> list[int]:
        """The id of every entry, each as often as it stands there."""
        tables = self.by_table.keys() - {"second_look"}
        return [entry_id(table, row) for table in tables for row in self.by_table[table]]

    @cached_property
    def counts(self) -> dict[tuple[int, int], Counter[str]]:
        """What was counted of each kind, by plant and day: from tallies that stand, and no more.

        Written down a second time on purpose: a tally counts unless something that stands takes
        it back, or its look. A doubt that was alive counts as left; one that was not, not at all.
        """
        found: dict[tuple[int, int], Counter[str]] = defaultdict(Counter)
        for day, plant, tally, look, _, kind, _, _, count in self.by_table["tally"]:
            if self._against(tally) is None and self._is_held(look):
                counted = self._counted_as(tally, str(kind))
                if counted is not None:
                    found[number(plant), number(day)][counted] += number(count)
        return dict(found)

    def _counted_as(self, tally: object, kind: str) -> str | None:
        verdict = self._against(tally, verdicts=True)
        if kind != "doubtful" or verdict is None:
            return kind
        return "left" if verdict[5] == "alive" else None

    def _is_held(self, look: object) -> bool:
        while (against := self._against(look)) is not None:
            if against[6] is None:
                return False
            look = against[6]
        return True

    def _against(self, entry: object, *, verdicts: bool = False) -> Row | None:
        """The newest correction of an entry that was not taken back itself."""
        stands = [
            row
            for row in self._corrections.get(entry, ())
            if (row[5] in VERDICTS) is verdicts and self._against(row[3]) is None
        ]
        return max(stands, key=lambda row: number(row[3]), default=None)

    @cached_property
    def _corrections(self) -> dict[object, list[Row]]:
        found: dict[object, list[Row]] = defaultdict(list)
        for row in self.by_table["withdrawal"]:
            found[row[2]].append(row)
        return found


def _rows(connection: sqlite3.Connection, table: str) -> frozenset[Row]:
    query = ROUND_AS_BEGUN if table == "round" else f"SELECT * FROM {table}"
    return frozenset(connection.execute(query))


def _beyond(
    some: Mapping[str, frozenset[Row]], others: Mapping[str, frozenset[Row]]
) -> Iterator[tuple[str, Row]]:
    for table, rows in some.items():
        for row in rows - others[table]:
            yield table, row


def number(value: object) -> int:
    """A whole number of a row."""
    assert isinstance(value, int)
    return value


def entry_id(table: str, row: Row) -> int:
    """The id of the entry that a row is."""
    return number(row[ID_OF.get(table, 0)])


def day_of(table: str, row: Row) -> date:
    """The day that a row is about."""
    return date.fromordinal(number(row[DAY_OF[table]]))


def id_named(entry: str) -> int:
    """The id in the name of an entry."""
    return int(entry.rpartition("-")[2])


# What a logbook answers.


def opened(path: Path, clock: SetClock, *, day_is_over: bool = False) -> Logbook:
    """A logbook that does not wait for the disk: no power fails in here."""
    logbook = Logbook(path, clock, day_is_over=day_is_over)
    logbook.file.connection.execute("PRAGMA synchronous = OFF")
    return logbook


def forgotten(
    logbook: Logbook, path: Path, clock: SetClock, *, day_is_over: bool = False
) -> Logbook:
    """The same log in a file of its own, with all that was derived from it forgotten."""
    path.unlink(missing_ok=True)
    copy = sqlite3.connect(path)
    logbook.file.connection.backup(copy)
    copy.close()
    anew = opened(path, clock, day_is_over=day_is_over)
    derived.forget_all(anew.file)
    return anew


def plants(logbook: Logbook) -> list[Plant]:
    """Every plant, those gone among them."""
    return list(logbook.collection().plants.values())


def read_off(logbook: Logbook, on: date) -> dict[str, object]:
    """What a logbook says of each plant without a sum of what may be left."""
    found = [record_of(logbook, plant, on) for plant in plants(logbook) if plant.first_day <= on]
    return {
        "settings": settings(logbook),
        "away": logbook.collection().away,
        "doubts": open_doubts(seen_status(record) for record in found),
        "emptied": emptied_spots(collection_on(logbook, on)),
        "stood near": {code: _stood_near(logbook, code, on) for code in _found_on(found)},
        **{record.plant.code: _read_off(record) for record in found},
    }


def stood_near(logbook: Logbook, code: str, on: date) -> ExposureList:
    """Who was exposed to the finds on a plant; figures are left out."""
    return exposure_to(logbook, code, on, status_of=seen_status)


def _found_on(records: Iterable[PlantRecord]) -> list[str]:
    """The codes of those on which insects were found."""
    return [record.plant.code for record in records if record.last_find_on is not None]


def _stood_near(logbook: Logbook, code: str, on: date) -> object:
    near = stood_near(logbook, code, on)
    told = [(p.status.code, p.how, p.stood, p.gone_on, p.is_watched) for p in near.plants]
    return near.spell.since, near.spell.until, told, near.emptied


def settings(logbook: Logbook) -> dict[str, object]:
    """What was chosen."""
    said: dict[str, object] = {name: chosen(logbook, name) for name in CHOICES}
    return {**said, "minutes": logbook.minutes(), "by risk": logbook.walks_by_risk()}


def _read_off(record: PlantRecord) -> dict[str, object]:
    plant, on = record.plant, record.on
    return {
        "name": record.name(),
        "place": (record.place_name(), record.spot()),
        "touches": sorted(plant.touching(on)),
        "standing": (record.standing, record.standing_since, record.watch_until),
        "days": {pest: record.of_pest(pest) for pest in record.pests},
        "known": record.known,
        "streaks": [record.streak_for(pest) for pest in record.pests],
        "last": (record.last_look_on, record.last_complete_look_on, record.last_find_on),
        "signs": record.signs,
        "courses": (courses_of(record), record.courses),
        "timeline": [
            (line.day, line.order, line.kind, line.text, line.short, line.entry, line.of,
             line.time, line.who, line.is_withdrawn)
            for line in timeline(record)
        ],
        "events": events_of(record),
    }  # fmt: skip


def worked_out(logbook: Logbook, on: date, minutes: float) -> dict[str, object]:
    """The status of each plant with every figure, its criteria among them, and the day's plan."""
    found = records(logbook, on)
    said: dict[str, object] = {record.plant.code: _status(record) for record in found}
    return {**said, "the plan": _plan(logbook, on, minutes)}


def _status(record: PlantRecord) -> object:
    try:
        return status_of(record), record.criteria
    except Refused as refusal:
        # what was entered cannot have been: said in place of the figures
        return refusal.code


def _plan(logbook: Logbook, on: date, minutes: float) -> object:
    try:
        plan: DayPlan = plan_day(logbook, on, minutes)
    except Refused as refusal:
        return refusal.code
    return {
        "plan": [
            (p.status.code, p.status.reasons, p.hygiene_stop_before, p.zones, p.whole_plant,
             p.overhead_seconds)
            for p in plan.plan
        ],
        "left out": [out.status.code for out in plan.left_out],
        "filled": plan.filled_seconds,
    }  # fmt: skip


def counted(logbook: Logbook, on: date) -> dict[tuple[int, int], Counter[str]]:
    """What a logbook says was counted of each kind, by plant and day."""
    found: dict[tuple[int, int], Counter[str]] = {}
    for plant, look in looks(logbook, on):
        kinds = {kind: look.counted(kind) for kind in (*LIVE_KINDS, "doubtful")}
        assert look.found == sum(kinds[kind] for kind in LIVE_KINDS)
        by_kind = Counter({kind: count for kind, count in kinds.items() if count})
        if by_kind:
            key = (plant.id, look.day.toordinal())
            found[key] = found.get(key, Counter()) + by_kind
    return found


def looks(logbook: Logbook, on: date) -> Iterator[tuple[Plant, LookMade]]:
    """Every look ever made, taken back or not."""
    for plant in plants(logbook):
        for look in events_of(record_of(logbook, plant, on)).looks:
            yield plant, look


def withdrawn(logbook: Logbook, on: date) -> dict[str, bool]:
    """Every look, tally and sign by name, and whether it is said to be taken back."""
    found: dict[str, bool] = {}
    for plant in plants(logbook):
        for look in events_of(record_of(logbook, plant, on)).looks:
            found[look.id] = look.withdrawn
            found |= {tally.id: tally.withdrawn for tally in look.tallies}
            found |= {sign.id: sign.withdrawn for sign in look.signs}
    return found


def doubts(logbook: Logbook, on: date) -> list[str]:
    """The name of every doubtful speck, settled or not."""
    return [
        tally.id
        for _, look in looks(logbook, on)
        for tally in look.tallies
        if tally.kind == "doubtful"
    ]


def entries_said(logbook: Logbook, on: date) -> list[str]:
    """The name of every entry besides looks, tallies and signs that may be taken back."""
    found = logbook.collection()
    names = [str(name_of(away)) for away in found.away]
    names += [
        str(EntryName("weather", day, place, entered.id))
        for place, days in found.weather.items()
        for day, entered in days.items()
    ]
    for place in found.places.values():
        names += [
            str(EntryName(CLEANED, fact.from_day, place.id, fact.id))
            for fact in place.facts
            if fact.what == CLEANED
        ]
    for plant in plants(logbook):
        names += [str(EntryName("move", move.day, plant.id, move.id)) for move in plant.moves]
        names += [
            str(EntryName("course", course.began_on, plant.id, course.id))
            for course in plant.courses
        ]
        names += [
            str(EntryName("done" if mark.step_id else "stopped", mark.day, plant.id, mark.id))
            for mark in plant.marks
        ]
        names += _of_a_life(record_of(logbook, plant, on))
    return sorted(names, key=id_named)


def _of_a_life(record: PlantRecord) -> list[str]:
    events = events_of(record)
    ends = [time.end for time in events.quarantines if time.end]
    left = [events.gone] if events.gone else []
    said = [*events.quarantines, *ends, *events.repotted, *events.divided, *left]
    return [event.id for event in said]


# Two answers beside each other.


def check_same(one: object, other: object) -> None:
    """AssertionError, saying where, if two answers are not the same."""
    found = list(differences(one, other))
    assert not found, "\n".join(found[:8])


def differences(one: object, other: object, where: str = "") -> Iterator[str]:
    """Where two answers are not the same; floats may differ by 1e-9."""
    if isinstance(one, float) and isinstance(other, float):
        if not isclose(one, other, rel_tol=CLOSE, abs_tol=CLOSE):
            yield f"{where}: {one!r} and {other!r}"
    elif is_dataclass(one) and type(one) is type(other):
        for field in fields(one):
            name = field.name
            yield from differences(getattr(one, name), getattr(other, name), f"{where}.{name}")
    elif isinstance(one, Mapping) and isinstance(other, Mapping) and one.keys() == other.keys():
        for key in one:
            yield from differences(one[key], other[key], f"{where}/{key}")
    elif isinstance(one, tuple | list) and isinstance(other, tuple | list):
        if len(one) != len(other):
            yield f"{where}: {one!r} and {other!r}"
        for index, (mine, theirs) in enumerate(zip(one, other, strict=False)):
            yield from differences(mine, theirs, f"{where}[{index}]")
    elif one != other:
        yield f"{where}: {one!r} and {other!r}"
