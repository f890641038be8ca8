"""Version 7 of the file: what the looks of older days amount to, dropped where one is put right.

Triggers drop it, so that nothing that writes an entry about a settled day can forget to, an older
program that still has the file open among them.
"""

OF_ENTRIES = ("look", "tally", "tally_stage", "withdrawal", "sign", "second_look", "open_look")

_TABLE = """
CREATE TABLE settled (
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    until INTEGER NOT NULL,
    key TEXT NOT NULL,
    result TEXT NOT NULL,
    PRIMARY KEY (plant_id, until)
) STRICT, WITHOUT ROWID
"""

_RESTS_ON = """
CREATE TABLE settled_from (
    source_id INTEGER NOT NULL,
    plant_id INTEGER NOT NULL,
    PRIMARY KEY (source_id, plant_id)
) STRICT, WITHOUT ROWID
"""
# a part rests on what was seen of the plant it was divided from, too

_UNSETTLES = """
CREATE TRIGGER {table}_unsettles AFTER INSERT ON {table} BEGIN
    DELETE FROM settled
    WHERE plant_id IN (SELECT plant_id FROM settled_from WHERE source_id = NEW.plant_id)
    AND until >= NEW.day;
END
"""

SETTLED_TABLES = (_TABLE, _RESTS_ON, *(_UNSETTLES.format(table=table) for table in OF_ENTRIES))
