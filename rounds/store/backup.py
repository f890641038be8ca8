"""Copies of the logbook file: whole and read back, or not there at all."""

import glob
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from rounds.errors import LogbookUnusable
from rounds.store.connect import APPLICATION, LogbookFile
from rounds.store.migrations import VERSION

PAGES_AT_ONCE = 2048
"""pages copied before it is asked whether to go on"""

UNFINISHED = ".unfinished"
BESIDE = ("-wal", "-shm", "-journal")
"""what SQLite keeps beside a file while it is open"""


@dataclass(frozen=True, slots=True)
class Held:
    """What a file holds."""

    path: Path
    bytes: int
    file_version: int
    entries: int
    plants: int
    newest_day: date | None
    """the newest day that anything was looked at"""


class Interrupted(Exception):
    """The copying was to stop; nothing of the copy is left."""


def copy_file(source: Path, target: Path, goes_on: Callable[[], bool] = lambda: True) -> Held:
    """Copy a logbook as it is at this moment, read the copy back, and only then give it its name.

    Another program may go on writing meanwhile. Files are made for their owner alone.

    Args:
        goes_on: asked now and then; the copying stops once it is false.

    Raises:
        LogbookUnusable: the copy cannot be written, or does not read as a logbook.
        Interrupted: it was stopped.
    """
    # several programs may copy at once
    unfinished = target.with_name(f"{target.name}.{os.getpid()}{UNFINISHED}")
    try:
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        _forget(unfinished)
        os.close(os.open(unfinished, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
        with closing(sqlite3.connect(source)) as from_, closing(sqlite3.connect(unfinished)) as to:
            _copy(from_, to, goes_on)
            # one file, with nothing beside it
            to.execute("PRAGMA journal_mode = DELETE")
        found = held(unfinished)
        _to_disk(unfinished)
        unfinished.replace(target)
        _to_disk(target.parent)
    except Interrupted:
        _forget(unfinished)
        raise
    except (OSError, sqlite3.Error) as fault:
        _forget(unfinished)
        reason = getattr(fault, "strerror", None) or str(fault)
        raise LogbookUnusable("backup-failed", folder=target.parent, reason=reason) from fault
    return replace(found, path=target)


def _copy(
    source: sqlite3.Connection, target: sqlite3.Connection, goes_on: Callable[[], bool]
) -> None:
    def ask(_status: int, _left: int, _of: int) -> None:
        if not goes_on():
            raise Interrupted

    # held, so that what others write meanwhile does not make it begin again
    source.execute("BEGIN")
    source.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    source.backup(target, pages=PAGES_AT_ONCE, progress=ask)
    source.execute("ROLLBACK")


def held(path: Path) -> Held:
    """What a logbook holds, read without changing a byte of it.

    Raises:
        LogbookUnusable: it is damaged, none of ours, or of a newer version.
    """
    try:
        with closing(_read_only(path)) as file:
            return _held(path, file)
    except (OSError, sqlite3.Error) as fault:
        raise LogbookUnusable("backup-unreadable", file=path, reason=str(fault)) from fault


def _read_only(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)


def _held(path: Path, file: sqlite3.Connection) -> Held:
    def one(query: str) -> int:
        return int(file.execute(query).fetchone()[0] or 0)

    faults = faults_of(file)
    if faults:
        raise LogbookUnusable("backup-unreadable", file=path, reason=faults[0])
    if one("PRAGMA application_id") != APPLICATION:
        raise LogbookUnusable("logbook-foreign")
    version = one("PRAGMA user_version")
    if version > VERSION:
        raise LogbookUnusable("logbook-newer", version=version, known=VERSION)
    newest = one("SELECT max(day) FROM look")
    return Held(
        path=path,
        bytes=path.stat().st_size,
        file_version=version,
        entries=one("SELECT last_number FROM log_head"),
        plants=one("SELECT count(*) FROM plant"),
        newest_day=date.fromordinal(newest) if newest else None,
    )


def faults_of(file: sqlite3.Connection, *, full: bool = False) -> list[str]:
    """What SQLite finds wrong with a file, a line each; `full` reads indexes against tables too."""
    rows = file.execute("PRAGMA integrity_check" if full else "PRAGMA quick_check")
    return [str(row[0]) for row in rows if row[0] != "ok"]


def lost_references(file: sqlite3.Connection) -> list[str]:
    """Tables with rows that name what is not there."""
    return sorted({str(row[0]) for row in file.execute("PRAGMA foreign_key_check")})


def put_back(source: Path, logbook: Path) -> None:
    """Put the content of a copy into a logbook in one piece: all of it, or as it was.

    Programs that have the logbook open go on with the new content. It gets an origin of its own,
    so that entries made from now on are never taken for those made after the copy.

    Raises:
        LogbookUnusable: the logbook cannot be written.
    """
    try:
        with closing(LogbookFile(logbook)) as file, closing(_read_only(source)) as copy:
            copy.backup(file.connection)
    except sqlite3.Error as fault:
        raise LogbookUnusable("restore-failed", file=logbook, reason=str(fault)) from fault
    with closing(LogbookFile(logbook)) as file:
        file.name_new_origin()


def move_aside(logbook: Path, aside: Path) -> None:
    """Rename a logbook that cannot be read, with all that lies beside it; bytes stay as they are.

    Raises:
        LogbookUnusable: it cannot be renamed.
    """
    try:
        for end in ("", *BESIDE):
            with suppress(FileNotFoundError):
                logbook.with_name(logbook.name + end).replace(aside.with_name(aside.name + end))
    except OSError as fault:
        reason = fault.strerror or str(fault)
        raise LogbookUnusable("restore-failed", file=logbook, reason=reason) from fault


def drop_unfinished(target: Path, stem: str) -> None:
    """Remove what copying that was killed has left of a logbook, beside a copy that was made.

    What belongs to that copy stays: another program may be at it.
    """
    for file in target.parent.glob(f"{glob.escape(stem)}-*{UNFINISHED}*"):
        if not file.name.startswith(target.name):
            with suppress(OSError):
                file.unlink()


def _forget(path: Path) -> None:
    for end in ("", *BESIDE):
        with suppress(OSError):
            path.with_name(path.name + end).unlink()


def _to_disk(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
