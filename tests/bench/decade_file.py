"""Logbooks too large to be lived look by look: the same rows, written by SQL alone.

Every plant is looked at whole every few days, each zone in a look of its own, with the plan that
such a round has; on some of the plants insects are found now and then.
"""

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from rounds.clock import Clock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon
from rounds.store.codes import code_id
from rounds.store.connect import LogbookFile
from rounds.store.ids import ORIGIN_BITS, entry_id
from rounds.store.past_tables import PAST_TABLES

PLACES = ("north sill", "south sill", "cabinet", "long bench")
APART = "stair foot"
ZONES = {
    "axils": 70, "undersides": 50, "new-growth": 30, "sheaths": 20, "stem-base": 12,
    "pot-rim": 12, "medium": 12, "roots": 12,
}  # fmt: skip
"""Zones of the usual form, with seconds that a look at them takes."""

APART_DAYS = 40
"""days before the last on which the plants that still stand apart have come"""

FOUND_ON, FINDS_IN = 20, 4000
"""of so many plants insects are found on one, once in so many of its looks"""

DAYS_AT_ONCE = 50
"""days written in one transaction, so that the write-ahead log stays small"""


@dataclass(frozen=True, slots=True)
class Span:
    """So many plants, looked at whole every few days for so many days, up to yesterday."""

    name: str
    plants: int
    days: int
    every: int = 1
    apart: int = 10
    """plants that stand apart, and were looked at only since they came"""

    @property
    def looks(self) -> int:
        """How many looks that makes, about: those apart came late."""
        return self.plants * (self.days // self.every) * len(ZONES)


def write_span(path: Path, span: Span, clock: Clock) -> int:
    """Write the logbook of a span; how many looks it holds."""
    today = clock.today()
    first = today - timedelta(days=span.days)
    _collection(path, span, clock, first, today)
    with closing(sqlite3.connect(path, isolation_level=None)) as file:
        file.execute("PRAGMA synchronous = OFF")
        for trigger in _TRIGGERS:
            file.execute(f"DROP TRIGGER {trigger.split()[2]}")
        for statement in _PREPARE:
            file.execute(statement)
        for day in range(first.toordinal(), today.toordinal()):
            if day % DAYS_AT_ONCE == 0 and file.in_transaction:
                file.execute("COMMIT")
            if not file.in_transaction:
                file.execute("BEGIN")
            _write_day(file, day, span.every)
        file.execute("COMMIT")
        for trigger in _TRIGGERS:
            file.execute(trigger)
        (looks,) = file.execute("SELECT count(*) FROM look").fetchone()
    return int(looks)


def _write_day(file: sqlite3.Connection, day: int, every: int) -> None:
    number, origin = file.execute("SELECT last_number + 1, origin_id FROM log_head").fetchone()
    at = local_noon(date.fromordinal(day)).seconds
    values = {
        "day": day, "every": every, "number": number, "origin": origin, "at": at,
        "round": entry_id(number, origin),
    }  # fmt: skip
    for statement in _DAY:
        file.execute(statement, values)


def _collection(path: Path, span: Span, clock: Clock, first: date, today: date) -> None:
    with Logbook(path, clock) as logbook, logbook.file.writing():
        at = local_noon(first)
        for name in PLACES:
            put_place(logbook, at, name, PlaceDetails(room="porch", bench=name, usual_c=19.0))
        put_place(logbook, at, APART, PlaceDetails(room="stair", apart=True, usual_c=18.0))
        came = local_noon(today - timedelta(days=min(APART_DAYS, span.days)))
        here = [_add(logbook, at, n, PLACES[n]) for n in range(len(PLACES))]
        apart = _add(logbook, came, len(PLACES), APART)
        for zone in ZONES:
            code_id(logbook.file, "zone", zone)
        code_id(logbook.file, "pest", "mealybug")
        for number in range(len(PLACES) + 1, span.plants):
            is_apart = number > span.plants - span.apart
            _add_like(logbook.file, apart if is_apart else here[number % len(here)], number)


def _add(logbook: Logbook, at: Moment, number: int, place: str) -> int:
    details = PlantDetails(name="Thole", place=place, already_here=place != APART)
    return add_plant(logbook, at, _code(number), details).id


def _code(number: int) -> str:
    return f"W{number:05}"


def _add_like(file: LogbookFile, other: int, number: int) -> None:
    """A plant of which the same is said as of another: each is told from all before it, else."""
    code, plant_id = _code(number), file.next_id()
    file.connection.execute(
        "INSERT INTO plant SELECT ?, ?, ?, first_day FROM plant WHERE id = ?",
        (plant_id, code, code.casefold(), other),
    )
    for statement in _OF_A_PLANT:
        file.connection.execute(statement, (file.next_id(), plant_id, other))
    facts = file.connection.execute(
        "SELECT from_day, at_ms, what, value FROM plant_fact WHERE plant_id = ?", (other,)
    ).fetchall()
    file.connection.executemany(
        "INSERT INTO plant_fact VALUES (?, ?, ?, ?, ?, ?)",
        [(file.next_id(), plant_id, *fact) for fact in facts],
    )


_OF_A_PLANT = (
    "INSERT INTO move SELECT ?, ?, day, at_ms, place_id, spot FROM move WHERE plant_id = ?",
    "INSERT INTO period SELECT ?, ?, day, at_ms, kind, began_because, NULL FROM period "
    "WHERE plant_id = ?",
)

_TYPICAL = " ".join(f"WHEN '{zone}' THEN {seconds}" for zone, seconds in ZONES.items())

_TRIGGERS = [text for text in PAST_TABLES if "TRIGGER" in text]
"""They drop what was worked out; there is nothing yet, and each would run for each row."""

_PREPARE = (
    f"""
    CREATE TEMP TABLE typical AS
    SELECT id AS zone_id, CASE code {_TYPICAL} END AS seconds FROM zone ORDER BY id
    """,
    "CREATE TEMP TABLE step (position INTEGER PRIMARY KEY, plant_id, zone_id, seconds, chance)",
)

_LOOK_ID = f"((:number + position) << {ORIGIN_BITS} | :origin)"
_DAY = (
    "DELETE FROM step",
    # a mixing of bits in place of chance: the same file each time
    """
    INSERT INTO step
    SELECT row_number() OVER (), plant.id, zone_id, seconds,
        (((:day * 73856093) + (plant.id * 19349663) + (zone_id * 83492791)) * 2654435761 >> 16)
            & 0xFFFF
    FROM plant CROSS JOIN typical
    WHERE first_day <= :day AND (plant.id / 1048576 + :day) % :every = 0
    ORDER BY plant.id, zone_id
    """,
    """
    INSERT INTO round SELECT :round, :day, NULL, :at, :at + 15 * count(*), 60.0, 'walked'
    FROM step
    """,
    """
    INSERT INTO round_step
    SELECT :round, position, plant_id, zone_id, seconds, 'unseen', 'looked', 0 FROM step
    """,
    f"""
    INSERT INTO look
    SELECT :day, plant_id, {_LOOK_ID}, zone_id, position, :at + 15 * position,
        seconds * (600 + chance % 801), 0, NULL, 0
    FROM step
    """,
    f"""
    INSERT INTO tally
    SELECT :day, plant_id, (:number + (SELECT count(*) FROM step) + row_number() OVER ())
            << {ORIGIN_BITS} | :origin,
        {_LOOK_ID}, 1000 * (:at + 15 * position), 'removed', 'young', pest.id, 1
    FROM step CROSS JOIN pest
    WHERE pest.code = 'mealybug' AND plant_id / 1048576 % {FOUND_ON} = 0
        AND chance % {FINDS_IN} = 0
    """,
    """
    UPDATE log_head SET last_number = :number + (SELECT count(*) FROM step)
        + (SELECT count(*) FROM tally WHERE day = :day)
    """,
)
