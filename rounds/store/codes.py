"""Codes of zones and pests, kept once in the file and named by a number everywhere else.

The parameter files know them. A code is written when the first entry that names it is, in the same
transaction: a logbook of any version takes a new one, and one that is only read is left as it is.
"""

import sqlite3
from typing import Literal

from rounds.store.connect import LogbookFile

Kind = Literal["zone", "pest"]


def code_id(file: LogbookFile, kind: Kind, code: str) -> int:
    """The number of a code, given to it now where it has none. Inside a transaction."""
    if (kind, code) not in file.code_ids:
        file.code_ids[kind, code] = _read_or_write(file.connection, kind, code)
    return file.code_ids[kind, code]


def _read_or_write(connection: sqlite3.Connection, kind: Kind, code: str) -> int:
    row = connection.execute(f"SELECT id FROM {kind} WHERE code = ?", (code,)).fetchone()
    if row is None:
        row = connection.execute(
            f"INSERT INTO {kind} (code) VALUES (?) RETURNING id", (code,)
        ).fetchone()
    return int(row[0])


def codes_used(file: LogbookFile) -> list[tuple[Kind, str]]:
    """The zones and pests this logbook has named so far."""
    with file.reading() as connection:
        return connection.execute(
            "SELECT 'zone', code FROM zone UNION ALL SELECT 'pest', code FROM pest"
        ).fetchall()
