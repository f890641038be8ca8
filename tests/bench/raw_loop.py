"""The least a program can do with a key: write a row, print the count. No part of rounds in it."""

import os
import sqlite3
import sys
import termios
import time
import tty

LEAVE = b"\x11"
FRAME = "\x1b[?2026h\x1b[1;1Hoff {count}\x1b[?2026l"
TABLE = """
CREATE TABLE tally (
    day INTEGER NOT NULL, plant_id INTEGER NOT NULL, id INTEGER NOT NULL, look_id INTEGER NOT NULL,
    at_ms INTEGER NOT NULL, kind TEXT NOT NULL, stage TEXT, pest_id INTEGER NOT NULL,
    count INTEGER NOT NULL, PRIMARY KEY (day, plant_id, id)
) STRICT, WITHOUT ROWID
"""


class Rows:
    """A table of counts in a file that is kept as the logbook is: each row on disk when added."""

    def __init__(self, path: str) -> None:
        self._connection = sqlite3.connect(path, isolation_level=None)
        self._connection.execute("PRAGMA journal_mode = WAL")
        self._connection.execute("PRAGMA synchronous = FULL")
        self._connection.execute(TABLE)
        self._count = 0

    def add(self) -> int:
        """Commit one more; how many there are."""
        self._count += 1
        at_ms = round(time.time() * 1000)
        self._connection.execute("BEGIN IMMEDIATE")
        self._connection.execute(
            "INSERT INTO tally VALUES (?,?,?,?,?,?,?,?,?)",
            (739000, 1, self._count << 20, 1 << 20, at_ms, "removed", None, 1, 1),
        )
        self._connection.execute("COMMIT")
        return self._count


def main(path: str) -> None:
    """Count keys until the one that leaves."""
    rows = Rows(path)
    before = termios.tcgetattr(sys.stdin)
    tty.setraw(sys.stdin)
    _paint(0)
    while os.read(sys.stdin.fileno(), 1) not in (LEAVE, b""):
        _paint(rows.add())
    termios.tcsetattr(sys.stdin, termios.TCSADRAIN, before)


def _paint(count: int) -> None:
    os.write(sys.stdout.fileno(), FRAME.format(count=count).encode())


if __name__ == "__main__":
    main(sys.argv[1])
