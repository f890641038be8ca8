"""Open the logbook file: its pragmas, its version, who may read it, and the write lock."""

import os
import sqlite3
import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rounds.errors import LogbookUnusable
from rounds.store.ids import LEAST_ID, ORIGIN_BITS, entry_id
from rounds.store.migrations import VERSION, migrate

APPLICATION = 0x726E6473
"""Says in the file's head that it is one of ours ("rnds")."""

SYNCHRONOUS = "FULL"
"""What is committed is on the disk itself, so that a power cut takes nothing that was seen."""

WAIT_SECONDS = 30.0
"""for another program that writes; a large file being imported takes so long at the most"""
RETRY_SECONDS = 0.01


class LogbookFile:
    """One connection to a logbook. Belongs to the thread that opened it."""

    def __init__(self, path: Path) -> None:
        self.path = path
        with _readable_errors(path):
            self.connection = _connect(path)
            self._opened = _identity(path)
        self.rollbacks = 0
        self.code_ids: dict[tuple[str, str], int] = {}
        """zones and pests met so far; see `codes`"""
        self._own_record_changes = 0
        self._others: int | None = None
        """what others had written when `as_of_now` began; None outside it"""

    def close(self) -> None:
        """Let go of the file."""
        self.connection.close()

    def leave_to_another_process(self) -> None:
        """In a copy of the process that opened it: it is neither used nor closed from now on."""
        # held, as a connection that nothing refers to closes itself
        self._of_another_process = self.connection
        del self.connection

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """The connection; SQLite's errors about the file are raised as LogbookUnusable.

        So are numbers read from it that no entry can have, such as a day before the year 1.
        """
        with _readable_errors(self.path):
            try:
                yield self.connection
            except (ValueError, OverflowError) as fault:
                raise LogbookUnusable(DAMAGED, file=self.path, reason=str(fault)) from fault

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction that takes the write lock first; rolled back on any exception.

        Within another one it joins that one.
        """
        with _readable_errors(self.path):
            if self.connection.in_transaction:
                yield self.connection
                return
            self._check_in_place()
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                yield self.connection
                self.connection.execute("COMMIT")
            except BaseException:
                self.rollbacks += 1
                # a number given within the transaction is not written
                self.code_ids.clear()
                _roll_back(self.connection)
                raise

    def _check_in_place(self) -> None:
        """LogbookUnusable where the file was taken away: nobody would see what is written."""
        try:
            in_place = _identity(self.path) == self._opened
        except FileNotFoundError:
            in_place = False
        if not in_place:
            raise LogbookUnusable("logbook-taken-away", file=self.path)

    @contextmanager
    def writing_part(self) -> Iterator[sqlite3.Connection]:
        """A part of a transaction: on any exception it alone is rolled back, if that is caught."""
        with self.writing() as connection:
            connection.execute("SAVEPOINT part")
            try:
                yield connection
            except BaseException:
                self.rollbacks += 1
                self.code_ids.clear()
                # SQLite may have given up all of it, as on a full disk
                if connection.in_transaction:
                    connection.execute("ROLLBACK TO part")
                    connection.execute("RELEASE part")
                raise
            connection.execute("RELEASE part")

    @contextmanager
    def writing_records(self) -> Iterator[sqlite3.Connection]:
        """As `writing`, for records of plants and places: it changes `records_stamp`."""
        with self.writing() as connection:
            self._own_record_changes += 1
            yield connection

    def records_stamp(self) -> tuple[int, int, int]:
        """A value that changes whenever records of plants and places may have changed.

        Looks and counts written here leave it; any write of another connection changes it.
        """
        return self._own_record_changes, self.rollbacks, self._others_told()

    def settings_stamp(self) -> tuple[int, int, int]:
        """A value that changes whenever a setting may have changed, as any write may change one."""
        return self.connection.total_changes, self.rollbacks, self._others_told()

    def _others_told(self) -> int:
        return self.changes_by_others() if self._others is None else self._others

    @contextmanager
    def as_of_now(self) -> Iterator[None]:
        """Within the block only what is written here changes the stamps above.

        For one answer, which rests on one state of the records: of many plants it asks for it
        thousands of times.
        """
        self._others = self.changes_by_others()
        try:
            yield
        finally:
            self._others = None

    def next_id(self) -> int:
        """The id of the next entry. Only inside `writing`, where the numbers have one order."""
        return self.next_ids(1)[0]

    def next_ids(self, count: int) -> range:
        """The ids of the next entries, in their order. Only inside `writing`."""
        (number, origin) = self.connection.execute(
            "UPDATE log_head SET last_number = last_number + ? RETURNING last_number, origin_id",
            (count,),
        ).fetchone()
        first = entry_id(int(number) - count + 1, int(origin))
        return range(first, first + count * LEAST_ID, LEAST_ID)

    def name_new_origin(self) -> None:
        """Give entries made from now on an origin of their own; those that stand keep theirs."""
        with self.writing() as connection:
            origin = _new_origin(connection)
            connection.execute("UPDATE log_head SET origin_id = ?", (origin,))

    def last_number(self) -> int:
        """How many entries have been numbered so far."""
        with self.reading() as connection:
            row = connection.execute("SELECT last_number FROM log_head").fetchone()
        return int(row[0])

    def origin_uuid(self) -> str:
        """The name of this logbook, unlike that of any other."""
        with self.reading() as connection:
            row = connection.execute(
                "SELECT uuid FROM origin JOIN log_head ON origin.id = log_head.origin_id"
            ).fetchone()
        return str(row[0])

    def changes(self) -> tuple[int, int]:
        """A value that changes whenever anything was written, here or by another connection."""
        return self.connection.total_changes, self.changes_by_others()

    def changes_by_others(self) -> int:
        """A number that changes whenever another connection has written."""
        try:
            # asked for thousands of times a page, so that `reading` is entered only for a fault
            return int(self.connection.execute("PRAGMA data_version").fetchone()[0])
        except sqlite3.Error as fault:
            with self.reading():
                raise fault


def _identity(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_dev, found.st_ino


def _connect(path: Path) -> sqlite3.Connection:
    _create_for_owner(path)
    connection = sqlite3.connect(path, timeout=WAIT_SECONDS, isolation_level=None)
    try:
        _prepare(connection)
    except BaseException:
        connection.close()
        raise
    return connection


def _create_for_owner(path: Path) -> None:
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except FileExistsError:
        return


def _prepare(connection: sqlite3.Connection) -> None:
    if _version(connection) != VERSION or not _is_ours(connection):
        _bring_up(connection)
    connection.execute(f"PRAGMA synchronous = {SYNCHRONOUS}")
    connection.execute("PRAGMA foreign_keys = ON")


def _version(connection: sqlite3.Connection) -> int:
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    if version > VERSION:
        raise LogbookUnusable("logbook-newer", version=version, known=VERSION)
    return version


def _bring_up(connection: sqlite3.Connection) -> None:
    """Migrate under the write lock; a program that starts at the same time finds it done.

    Foreign keys are still off, as a migration that rebuilds a table needs them to be.
    """
    _leave_others_alone(connection)
    _keep_a_write_ahead_log(connection)
    connection.execute("BEGIN IMMEDIATE")
    try:
        if _version(connection) != VERSION:
            migrate(connection)
            _name_origin(connection)
        connection.execute("COMMIT")
    except BaseException:
        _roll_back(connection)
        raise


def _roll_back(connection: sqlite3.Connection) -> None:
    """Give up a transaction, unless SQLite has done so itself, as on a full disk."""
    if connection.in_transaction:
        connection.execute("ROLLBACK")


def _leave_others_alone(connection: sqlite3.Connection) -> None:
    """LogbookUnusable for a database that is none of ours, before a byte of it is changed.

    Both are read in one transaction, as another program may be making a logbook of it.
    """
    connection.execute("BEGIN")
    try:
        _version(connection)
        if _has_tables(connection) and not _is_ours(connection):
            raise LogbookUnusable("logbook-foreign")
    finally:
        connection.execute("ROLLBACK")


def _keep_a_write_ahead_log(connection: sqlite3.Connection) -> None:
    """Switch to a write-ahead log; retried while busy, as SQLite does not wait here by itself."""
    for _ in range(int(WAIT_SECONDS / RETRY_SECONDS)):
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                raise
        time.sleep(RETRY_SECONDS)
    connection.execute("PRAGMA journal_mode = WAL")


def _name_origin(connection: sqlite3.Connection) -> None:
    if connection.execute("SELECT 1 FROM log_head").fetchone() is None:
        connection.execute("INSERT INTO log_head VALUES (1, 0, ?)", (_new_origin(connection),))
        connection.execute(f"PRAGMA application_id = {APPLICATION}")


def _new_origin(connection: sqlite3.Connection) -> int:
    origin = int.from_bytes(os.urandom(8)) % ((1 << ORIGIN_BITS) - 1) + 1
    connection.execute("INSERT INTO origin VALUES (?, ?)", (origin, str(uuid.uuid4())))
    return origin


def _is_ours(connection: sqlite3.Connection) -> bool:
    return bool(connection.execute("PRAGMA application_id").fetchone()[0] == APPLICATION)


def _has_tables(connection: sqlite3.Connection) -> bool:
    row = connection.execute(
        "SELECT 1 FROM sqlite_schema WHERE name NOT LIKE 'sqlite%' "
        "AND name NOT LIKE '\\_sqlite%' ESCAPE '\\' LIMIT 1"
    ).fetchone()
    return row is not None


@contextmanager
def _readable_errors(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as fault:
        reason = fault.strerror or str(fault)
        raise LogbookUnusable("logbook-unreachable", file=path, reason=reason) from fault
    except UnicodeDecodeError as fault:
        raise LogbookUnusable(DAMAGED, file=path, reason=str(fault)) from fault
    except sqlite3.Error as fault:
        code = _fault_code(fault)
        raise LogbookUnusable(code, file=path, reason=str(fault)) from fault


DAMAGED = "logbook-damaged"

NO_TEXT = "Could not decode"
"""How Python says that a text of the file is none; SQLite itself does not look."""

_FAULTS = {
    sqlite3.SQLITE_BUSY: "logbook-locked",
    sqlite3.SQLITE_LOCKED: "logbook-locked",
    sqlite3.SQLITE_FULL: "logbook-full",
    sqlite3.SQLITE_READONLY: "logbook-read-only",
    sqlite3.SQLITE_CORRUPT: DAMAGED,
    sqlite3.SQLITE_NOTADB: DAMAGED,
    sqlite3.SQLITE_IOERR: "logbook-unreachable",
    sqlite3.SQLITE_CANTOPEN: "logbook-unreachable",
}


def _fault_code(fault: sqlite3.Error) -> str:
    """The code of the sentence for an error of the file; an error of our SQL is raised again."""
    if str(fault).startswith(NO_TEXT):
        return DAMAGED
    extended = getattr(fault, "sqlite_errorcode", None)
    if extended is None or extended & 0xFF not in _FAULTS:
        raise fault
    return _FAULTS[extended & 0xFF]
