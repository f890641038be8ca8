"""Version 8 of the file: values of the parameter files that a grower changed."""

VALUE_CHANGES = """
-- a value of the parameter files is another from the day on; NULL is the usual one again
CREATE TABLE value_change (
    id INTEGER PRIMARY KEY,
    day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    code TEXT NOT NULL,
    value REAL,
    why TEXT,
    who TEXT
) STRICT
"""
