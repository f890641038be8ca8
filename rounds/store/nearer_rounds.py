"""Version 5 of the file: a look stores its round as a distance, in one or two bytes for six.

`round_back` is what `ids.kept_back` says; `round_id` is computed of it where it is read, and is
still held to the table of rounds. A program of version 4 that has the file open meanwhile goes on
writing whole ids into the same column, which are read as such.
"""

import sqlite3

LOOKS = """
CREATE TABLE look_nearer (
    day INTEGER NOT NULL,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    id INTEGER NOT NULL,
    zone_id INTEGER NOT NULL REFERENCES zone (id),
    round_back INTEGER NOT NULL,
    began_at INTEGER NOT NULL,
    milliseconds INTEGER NOT NULL,
    outcome INTEGER NOT NULL,
    reason TEXT,
    unpotted INTEGER NOT NULL,
    round_id INTEGER NOT NULL
        AS (CASE WHEN round_back < 1048576 THEN id - (round_back << 20) ELSE round_back END)
        REFERENCES round (id),
    PRIMARY KEY (day, plant_id, id)
) STRICT, WITHOUT ROWID
"""

_NEARER = """
INSERT INTO look_nearer
SELECT
    day, plant_id, id, zone_id,
    CASE
        WHEN (id - round_id) % 1048576 = 0 AND (id - round_id) / 1048576 BETWEEN 0 AND 1048575
        THEN (id - round_id) / 1048576
        ELSE round_id
    END,
    began_at, milliseconds, outcome, reason, unpotted
FROM look WHERE day BETWEEN ? AND ?
"""

DAYS_AT_A_TIME = 8


def bring_rounds_nearer(connection: sqlite3.Connection) -> None:
    """Rewrite the looks. Inside a transaction, with foreign keys off.

    A few days at a time, deleted once rewritten: the next rows reuse their pages, and the file
    needs no room for both tables.
    """
    connection.execute(LOOKS)
    while (first := connection.execute("SELECT min(day) FROM look").fetchone()[0]) is not None:
        days = (first, first + DAYS_AT_A_TIME - 1)
        connection.execute(_NEARER, days)
        connection.execute("DELETE FROM look WHERE day BETWEEN ? AND ?", days)
    connection.execute("DROP TABLE look")
    connection.execute("ALTER TABLE look_nearer RENAME TO look")
