"""Looks read from a file, waiting beside the logbook until all of them may be written.

They lie in temporary tables, which SQLite keeps in a file of its own: filling them takes no lock
of the logbook, and no more memory the more looks there are. Their entries are numbered as they
come, as if they were written one by one; ids are made of the numbers when they are written.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from operator import itemgetter
from sqlite3 import Connection
from typing import Any, NamedTuple

from rounds.core.log.entries import LIVE_KINDS
from rounds.store import waiting_sql as sql
from rounds.store.connect import LogbookFile
from rounds.store.held import LookContent, look_content
from rounds.store.log import OUTCOMES

_OUTCOMES = {outcome: number for number, outcome in enumerate(OUTCOMES)}

LOOKS_AT_A_TIME = 5_000
"""Most looks in memory before they are flushed into the tables."""

Tuples = list[tuple[Any, ...]]


@dataclass(frozen=True, slots=True)
class WaitingRound:
    """The looks of one person for one day; `number` is that of the round they may be in."""

    number: int
    day: date
    who: str | None


class Compared(NamedTuple):
    """The looks of a row: their numbers, and what they are."""

    numbers: tuple[int, ...]
    looks: tuple[LookContent, ...]


@dataclass(frozen=True, slots=True)
class WrittenRow:
    """What came of a row with a key."""

    key: str
    asked: str
    day: date
    plant_id: int
    look_ids: tuple[int, ...]
    tally_ids: tuple[int, ...]
    found: int


class WaitingLooks:
    """The looks of one file; a connection holds those of one file at a time."""

    def __init__(self, file: LogbookFile) -> None:
        self._file = file
        self._number = 0
        self._round_of: dict[tuple[date, str | None], int] = {}
        self._has_keys = False
        self._ids: dict[str, int] = {}
        self._empty_batch()
        with self._beside() as connection:
            for statement in (*sql.DROP, *sql.CREATE):
                connection.execute(statement)

    def close(self) -> None:
        """Let the looks go."""
        with self._beside() as connection:
            for statement in sql.DROP:
                connection.execute(statement)

    def round_number(self, day: date, who: str | None) -> int:
        """The number of the round for the looks of somebody and a day."""
        return self._round_of.get((day, who)) or self._begin_round(day, who)

    def add_look(
        self,
        in_round: int,
        line: int,
        plant_id: int,
        zone: str,
        began_at: int,
        milliseconds: int,
        outcome: str,
        unpotted: bool,
    ) -> int:
        """One more look, of a line of the file; its number. Several may be of one line.

        `began_at` is in seconds since 1970, UTC.
        """
        if len(self._looks) >= LOOKS_AT_A_TIME:
            self.flush()
        self._number = number = self._number + 1
        self._looks.append(
            (
                in_round,
                number,
                line,
                plant_id,
                zone,
                began_at,
                milliseconds,
                _OUTCOMES[outcome],
                # sqlite3 takes far longer over a bool than over an int
                1 if unpotted else 0,
            )
        )
        return number

    def add_tally(
        self, look: int, at_ms: int, kind: str, stage: str | None, pest: str, count: int
    ) -> None:
        """One more count of a look."""
        self._number += 1
        self._tallies.append((look, self._number, at_ms, kind, stage, pest, count))

    def add_notes(self, looks: Iterable[int], text: str) -> None:
        """Words that belong to each of some looks."""
        self._notes.extend((look, text) for look in looks)

    def add_key(self, line: int, key: str, asked: str, rows: int) -> None:
        """The key of a line, the digest of what it says, and how many rows of the file say it."""
        self._keys.append((line, key, asked, rows))
        self._has_keys = True

    def flush(self) -> None:
        """Put what is still in memory into the tables."""
        with self._beside() as connection:
            connection.executemany(sql.ADD_ROUND, self._rounds)
            connection.executemany(sql.ADD_LOOK, self._looks)
            connection.executemany(sql.ADD_TALLY, self._tallies)
            connection.executemany(sql.ADD_NOTE, self._notes)
            connection.executemany(sql.ADD_KEY, self._keys)
        self._empty_batch()

    def reused_keys(self) -> Iterator[tuple[int, str]]:
        """Line and key of rows whose key was first used for something else, by line."""
        if self._has_keys:
            with self._file.reading() as connection:
                yield from connection.execute(sql.REUSED_KEYS)

    def rounds_to_compare(self) -> list[WaitingRound]:
        """The waiting looks of days for which the logbook holds any."""
        with self._beside() as connection:
            found = connection.execute(sql.ROUNDS_TO_COMPARE).fetchall()
            if found:
                connection.execute(sql.BY_ROUND)
        return [WaitingRound(number, date.fromordinal(day), who) for number, day, who in found]

    def rows_without_key(self, of: WaitingRound) -> Iterator[Compared]:
        """The rows of a round without a key, in the order of the file."""
        return self._compared(sql.ROWS_WITHOUT_KEY, of)

    def rows_of_held_keys(self, of: WaitingRound) -> Iterator[Compared]:
        """Rows of a round with a key that the logbook holds, one for each key."""
        return self._compared(sql.ROWS_OF_HELD_KEYS, of) if self._has_keys else iter(())

    def forget_known(self) -> None:
        """Remove all marks from rows."""
        with self._beside() as connection:
            connection.execute(sql.FORGET_KNOWN)

    def mark_known(self, rows: Iterable[Iterable[int]]) -> None:
        """Mark rows, by the numbers of their looks, that are not to be written."""
        with self._beside() as connection:
            connection.executemany(sql.MARK_KNOWN, [(look,) for row in rows for look in row])

    def mark_known_keys(self) -> int:
        """Mark the rows whose key the logbook holds, or a row above them has; how many."""
        if not self._has_keys:
            return 0
        with self._beside() as connection:
            connection.execute(sql.MARK_KNOWN_KEYS)
            (known,) = connection.execute(sql.COUNT_KNOWN_KEYS).fetchone()
            return int(known)

    def write(self) -> None:
        """Write the looks that are not marked, in one transaction; there is one at least."""
        with self._file.writing() as connection:
            connection.execute(sql.LEAVE_OUT_ROUNDS)
            connection.execute(sql.FIND_ROUNDS)
            (least,) = connection.execute(sql.FIRST_NUMBER).fetchone()
            first = self._file.next_ids(self._number - least + 1)[0]
            self._ids = {"first": first, "least": least}
            for statement in sql.WRITE:
                connection.execute(statement, self._ids)

    def written_with_keys(self) -> Iterator[WrittenRow]:
        """The rows with a key that were written."""
        if self._has_keys and self._ids:
            with self._file.reading() as connection:
                rows = connection.execute(sql.WRITTEN_WITH_KEYS, self._ids)
                for _, of_row in groupby(rows, itemgetter(0)):
                    yield _written(list(of_row))

    def _begin_round(self, day: date, who: str | None) -> int:
        self._number += 1
        self._round_of[day, who] = self._number
        self._rounds.append((self._number, day.toordinal(), who))
        return self._number

    def _empty_batch(self) -> None:
        self._rounds: Tuples = []
        self._looks: Tuples = []
        self._tallies: Tuples = []
        self._notes: Tuples = []
        self._keys: Tuples = []

    def _compared(self, question: str, of: WaitingRound) -> Iterator[Compared]:
        with self._file.reading() as connection:
            rows = connection.execute(question, (of.number,))
            for _, of_row in groupby(rows, itemgetter(0)):
                looks = {
                    number: look_content(row[2:] for row in of_look)
                    for number, of_look in groupby(of_row, itemgetter(1))
                }
                yield Compared(tuple(looks), tuple(looks.values()))

    @contextmanager
    def _beside(self) -> Iterator[Connection]:
        """A transaction of the temporary tables alone, or a part of the one under way."""
        with self._file.reading() as connection:
            if connection.in_transaction:
                yield connection
                return
            connection.execute("BEGIN")
            with connection:
                yield connection


def _written(rows: list[tuple[Any, ...]]) -> WrittenRow:
    """A row with a key, from a row for each of its looks and counts."""
    key, asked, day, plant_id = rows[0][:4]
    return WrittenRow(
        key=key,
        asked=asked,
        day=date.fromordinal(day),
        plant_id=plant_id,
        look_ids=tuple(dict.fromkeys(row[4] for row in rows)),
        tally_ids=tuple(row[5] for row in rows if row[5] is not None),
        found=sum(row[7] for row in rows if row[6] in LIVE_KINDS),
    )
