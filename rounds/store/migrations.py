"""The tables of the logbook file, version by version.

Days are proleptic ordinals, instants UTC. Looks, tallies, stages and corrections carry their day
first in the key, so that no question reads more of the log than its span of days.
"""

import sqlite3
from typing import TYPE_CHECKING

from rounds.store.changes_table import VALUE_CHANGES
from rounds.store.courses_tables import COURSES
from rounds.store.nearer_rounds import bring_rounds_nearer
from rounds.store.past_tables import PAST_TABLES

if TYPE_CHECKING:
    from sqlite_utils import Database

VERSION = 9

FIRST_TABLES = """
CREATE TABLE origin (
    id INTEGER PRIMARY KEY,
    uuid TEXT NOT NULL UNIQUE
) STRICT;
CREATE TABLE log_head (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    last_number INTEGER NOT NULL,
    origin_id INTEGER NOT NULL REFERENCES origin (id)
) STRICT;
CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE zone (id INTEGER PRIMARY KEY, code TEXT NOT NULL UNIQUE) STRICT;
CREATE TABLE pest (id INTEGER PRIMARY KEY, code TEXT NOT NULL UNIQUE) STRICT;

CREATE TABLE place (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    folded TEXT NOT NULL UNIQUE
) STRICT;
CREATE TABLE place_fact (
    id INTEGER PRIMARY KEY,
    place_id INTEGER NOT NULL REFERENCES place (id),
    from_day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    what TEXT NOT NULL,
    value TEXT NOT NULL
) STRICT;
CREATE TABLE plant (
    id INTEGER PRIMARY KEY,
    code TEXT NOT NULL,
    folded TEXT NOT NULL UNIQUE,
    first_day INTEGER NOT NULL
) STRICT;
CREATE TABLE plant_fact (
    id INTEGER PRIMARY KEY,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    from_day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    what TEXT NOT NULL,
    value TEXT NOT NULL
) STRICT;
CREATE TABLE move (
    id INTEGER PRIMARY KEY,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    place_id INTEGER NOT NULL REFERENCES place (id),
    spot TEXT
) STRICT;
CREATE TABLE period (
    id INTEGER PRIMARY KEY,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    kind TEXT NOT NULL,
    began_because TEXT NOT NULL,
    move_id INTEGER REFERENCES move (id)
) STRICT;
CREATE TABLE period_end (
    id INTEGER PRIMARY KEY,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    period_id INTEGER NOT NULL REFERENCES period (id),
    early INTEGER NOT NULL,
    reason TEXT
) STRICT;
CREATE TABLE weather (
    id INTEGER PRIMARY KEY,
    place_id INTEGER NOT NULL REFERENCES place (id),
    day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    min_c REAL NOT NULL,
    max_c REAL NOT NULL
) STRICT;
CREATE INDEX plant_fact_of ON plant_fact (plant_id);
CREATE INDEX move_of ON move (plant_id);
CREATE INDEX period_of ON period (plant_id);
CREATE INDEX period_end_of ON period_end (plant_id);
CREATE INDEX weather_of ON weather (place_id, day);

CREATE TABLE round (
    id INTEGER PRIMARY KEY,
    day INTEGER NOT NULL,
    who TEXT,
    began_at INTEGER NOT NULL,
    ended_at INTEGER,
    minutes REAL,
    how TEXT NOT NULL
) STRICT;
CREATE INDEX round_by_day ON round (day, how);
CREATE TABLE round_step (
    round_id INTEGER NOT NULL REFERENCES round (id),
    position INTEGER NOT NULL,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    zone_id INTEGER NOT NULL REFERENCES zone (id),
    planned_seconds REAL NOT NULL,
    reason TEXT NOT NULL,
    ended_as TEXT,
    PRIMARY KEY (round_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE look (
    day INTEGER NOT NULL,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    id INTEGER NOT NULL,
    zone_id INTEGER NOT NULL REFERENCES zone (id),
    round_id INTEGER NOT NULL REFERENCES round (id),
    began_at INTEGER NOT NULL,
    milliseconds INTEGER NOT NULL,
    outcome INTEGER NOT NULL,
    reason TEXT,
    unpotted INTEGER NOT NULL,
    PRIMARY KEY (day, plant_id, id)
) STRICT, WITHOUT ROWID;
CREATE TABLE tally (
    day INTEGER NOT NULL,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    id INTEGER NOT NULL,
    look_id INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    kind TEXT NOT NULL,
    stage TEXT,
    pest_id INTEGER NOT NULL REFERENCES pest (id),
    count INTEGER NOT NULL CHECK (count > 0),
    PRIMARY KEY (day, plant_id, id)
) STRICT, WITHOUT ROWID;
CREATE TABLE tally_stage (
    day INTEGER NOT NULL,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    id INTEGER NOT NULL,
    tally_id INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    stage TEXT NOT NULL,
    PRIMARY KEY (day, plant_id, id)
) STRICT, WITHOUT ROWID;
-- plant_id 0 where what is withdrawn belongs to a place (weather)
CREATE TABLE withdrawal (
    day INTEGER NOT NULL,
    plant_id INTEGER NOT NULL,
    target_id INTEGER NOT NULL,
    id INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    why TEXT NOT NULL,
    replaced_by INTEGER,
    note TEXT,
    PRIMARY KEY (day, plant_id, target_id, id)
) STRICT, WITHOUT ROWID;
-- the look in progress of each round: the only row of the log that is changed in place
CREATE TABLE open_look (
    round_id INTEGER PRIMARY KEY REFERENCES round (id),
    look_id INTEGER NOT NULL,
    day INTEGER NOT NULL,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    zone_id INTEGER NOT NULL REFERENCES zone (id),
    began_at INTEGER NOT NULL,
    milliseconds INTEGER NOT NULL
) STRICT;
CREATE TABLE entry_note (entry_id INTEGER PRIMARY KEY, text TEXT NOT NULL) STRICT;
CREATE TABLE entry_key (
    key TEXT PRIMARY KEY,
    content TEXT NOT NULL,
    answer TEXT NOT NULL
) STRICT, WITHOUT ROWID;
"""

WHO_WALKS = """
CREATE TABLE walker (
    round_id INTEGER PRIMARY KEY REFERENCES round (id),
    token TEXT NOT NULL,
    who TEXT,
    since INTEGER NOT NULL,
    host TEXT NOT NULL,
    process INTEGER NOT NULL
) STRICT;
"""
"""The table of walkers: which program walks a round; it is no part of the log."""

WORKED_OUT = """
CREATE TABLE derived (
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    what TEXT NOT NULL,
    key TEXT NOT NULL,
    result TEXT NOT NULL,
    PRIMARY KEY (plant_id, what)
) STRICT, WITHOUT ROWID;
"""
"""The table of derived results by plant, with the key of what they rest on."""

MORNINGS = """
-- ants, stickiness, soot: seen at a look, no insect
CREATE TABLE sign (
    day INTEGER NOT NULL,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    id INTEGER NOT NULL,
    look_id INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    kind TEXT NOT NULL,
    PRIMARY KEY (day, plant_id, id)
) STRICT, WITHOUT ROWID;
-- id is that of the look made straight after first_id at the same zone, to learn how much is seen
CREATE TABLE second_look (
    day INTEGER NOT NULL,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    id INTEGER NOT NULL,
    first_id INTEGER NOT NULL,
    PRIMARY KEY (day, plant_id, id)
) STRICT, WITHOUT ROWID;
-- nobody looks on the days from first_day to last_day, both counted
CREATE TABLE away (
    id INTEGER PRIMARY KEY,
    first_day INTEGER NOT NULL,
    last_day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL
) STRICT;
-- the steps of a plant whose zones are looked at in one go, until a find opens them
ALTER TABLE round_step ADD COLUMN whole_plant INTEGER NOT NULL DEFAULT 0;
"""

OWN_UNITS = """
UPDATE setting SET name = 'degrees', value = CASE value WHEN 'us' THEN 'degF' ELSE 'degC' END
WHERE name = 'units'
"""
"""Rename the setting of units to that of temperatures; volumes have their own."""


def migrate(connection: sqlite3.Connection) -> None:
    """Bring a file of an older version, or an empty one, up to `VERSION`."""
    # sqlite-utils is slow to import, and almost every start finds nothing to migrate
    from sqlite_utils import Database
    from sqlite_utils.migrations import Migrations

    versions = Migrations("rounds")

    @versions()
    def first_tables(database: "Database") -> None:
        for statement in FIRST_TABLES.split(";\n"):
            database.execute(statement)

    @versions()
    def who_walks(database: "Database") -> None:
        database.execute(WHO_WALKS)

    @versions()
    def worked_out(database: "Database") -> None:
        database.execute(WORKED_OUT)

    @versions()
    def mornings(database: "Database") -> None:
        for statement in MORNINGS.split(";\n"):
            database.execute(statement)

    @versions()
    def nearer_rounds(database: "Database") -> None:
        bring_rounds_nearer(database.conn)

    @versions()
    def own_units(database: "Database") -> None:
        database.execute(OWN_UNITS)

    @versions()
    def older_days(database: "Database") -> None:
        for statement in PAST_TABLES:
            database.execute(statement)

    @versions()
    def changed_values(database: "Database") -> None:
        database.execute(VALUE_CHANGES)

    @versions()
    def courses(database: "Database") -> None:
        for statement in COURSES.split(";\n"):
            database.execute(statement)

    versions.apply(Database(connection))
    connection.execute(f"PRAGMA user_version = {VERSION}")
