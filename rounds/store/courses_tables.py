"""Version 9 of the file: courses of treatment, with the steps they were begun with."""

COURSES = """
-- a course was begun at a plant; what stands on a label as the grower typed it in, NULL untold
CREATE TABLE course (
    id INTEGER PRIMARY KEY,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    template TEXT NOT NULL,
    product TEXT,
    interval_days INTEGER,
    most_uses INTEGER,
    reentry_hours REAL,
    gear TEXT,
    kills REAL,
    who TEXT
) STRICT;
CREATE TABLE course_step (
    id INTEGER PRIMARY KEY,
    course_id INTEGER NOT NULL REFERENCES course (id),
    number INTEGER NOT NULL,
    kind TEXT NOT NULL,
    after_days INTEGER NOT NULL,
    due_day INTEGER NOT NULL
) STRICT;
-- a step was done, or where it is NULL the course was stopped
CREATE TABLE course_mark (
    id INTEGER PRIMARY KEY,
    plant_id INTEGER NOT NULL REFERENCES plant (id),
    day INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    course_id INTEGER NOT NULL REFERENCES course (id),
    step_id INTEGER REFERENCES course_step (id),
    who TEXT
) STRICT;
CREATE INDEX course_of ON course (plant_id);
CREATE INDEX course_step_of ON course_step (course_id);
CREATE INDEX course_mark_of ON course_mark (plant_id)
"""
