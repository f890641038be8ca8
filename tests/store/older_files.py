"""A logbook file as an older version of the program wrote it, and what is in it by plain SQL."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

VERSIONS = sorted(
    int(file.parent.name.removeprefix("version_"))
    for file in Path(__file__).parent.glob("version_*/logbook.sql")
)
"""A file of each lies in a folder of its own, as the program of that version wrote it.

There was a version 1, but no program that could be started.
"""

VERSION_4 = Path(__file__).parent / "version_4"

Rows = dict[str, list[tuple[Any, ...]]]

LOOKS = (
    "SELECT day, plant_id, id, zone_id, round_id, began_at, milliseconds, outcome, reason, "
    "unpotted FROM look ORDER BY day, plant_id, id"
)
NEW_LOOK = "INSERT INTO look VALUES (?,?,?,?,?,?,?,?,?,?)"
"""How version 4 asks for looks and writes one, which it may do while a later one has the file."""


def write_version(path: Path, version: int) -> Path:
    """The file of an older version."""
    text = (Path(__file__).parent / f"version_{version}" / "logbook.sql").read_text("utf-8")
    with closing(sqlite3.connect(path)) as raw:
        raw.executescript(text)
    return path


def write_version_4(path: Path, *, copies: int = 0) -> Path:
    """The file of version 4; with so many copies of its looks and rounds on later days."""
    with closing(sqlite3.connect(write_version(path, 4))) as raw:
        for copy in range(1, copies + 1):
            days, ids = 40 * copy, copy << 42
            raw.execute(
                "INSERT INTO round SELECT id + ?, day + ?, who, began_at, ended_at, minutes, how "
                "FROM round WHERE id < 1 << 42",
                (ids, days),
            )
            raw.execute(
                "INSERT INTO look SELECT day + ?, plant_id, id + ?, zone_id, round_id + ?, "
                "began_at, milliseconds, outcome, reason, unpotted FROM look WHERE id < 1 << 42",
                (days, ids, ids),
            )
        raw.commit()
    return path


def version_of(path: Path) -> int:
    """The version of a file, without opening it as a logbook."""
    with closing(sqlite3.connect(path)) as raw:
        return int(raw.execute("PRAGMA user_version").fetchone()[0])


def rows_of(path: Path) -> Rows:
    """All that was entered by table; not the migrations it has seen, not what is derived."""
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert raw.execute("PRAGMA foreign_key_check").fetchall() == []
        names = [
            name
            for (name,) in raw.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
            if not name.startswith(("sqlite_", "_sqlite", "past"))
        ]
        return {
            name: raw.execute(LOOKS if name == "look" else f"SELECT * FROM {name}").fetchall()
            for name in names
        }
