"""Version 7 of the file: tables of the kept pasts, which triggers drop on a correction.

With triggers, no code that writes an entry about an older day can forget to drop them, not even an
older program that still has the file open.
"""

OF_ENTRIES = ("look", "tally", "tally_stage", "withdrawal", "sign", "second_look", "open_look")

_TABLE = """
CREATE TABLE past (
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    until INTEGER NOT NULL,
    key TEXT NOT NULL,
    result TEXT NOT NULL,
    PRIMARY KEY (plant_id, until)
) STRICT, WITHOUT ROWID
"""

_RESTS_ON = """
CREATE TABLE past_from (
    source_id INTEGER NOT NULL,
    plant_id INTEGER NOT NULL,
    PRIMARY KEY (source_id, plant_id)
) STRICT, WITHOUT ROWID
"""
# a part rests on what was seen of the plant it was divided from, too

_DROPS = """
CREATE TRIGGER {table}_drops_past AFTER INSERT ON {table} BEGIN
    DELETE FROM past
    WHERE plant_id IN (SELECT plant_id FROM past_from WHERE source_id = NEW.plant_id)
    AND until >= NEW.day;
END
"""

PAST_TABLES = (_TABLE, _RESTS_ON, *(_DROPS.format(table=table) for table in OF_ENTRIES))
