"""The statements of the looks that wait to be written.

`round` in the temporary tables is the number of a waiting round, which comes before its looks.
"""

from rounds.store.ids import LEAST_ID


def _id(number: str) -> str:
    """The id of a waiting entry by its number."""
    return f"(:first + ({number} - :least) * {LEAST_ID})"


CREATE = (
    "CREATE TEMP TABLE waiting_round (number INTEGER PRIMARY KEY, day INTEGER, who TEXT, "
    "round_id INTEGER)",
    "CREATE TEMP TABLE waiting_look (round INTEGER, number INTEGER PRIMARY KEY, line INTEGER, "
    "plant_id INTEGER, zone TEXT, began_at INTEGER, milliseconds INTEGER, outcome INTEGER, "
    "unpotted INTEGER)",
    "CREATE TEMP TABLE waiting_tally (look INTEGER, number INTEGER, at_ms INTEGER, kind TEXT, "
    "stage TEXT, pest TEXT, count INTEGER, PRIMARY KEY (look, number)) WITHOUT ROWID",
    "CREATE TEMP TABLE waiting_note (look INTEGER PRIMARY KEY, text TEXT)",
    "CREATE TEMP TABLE waiting_key (line INTEGER PRIMARY KEY, key TEXT, asked TEXT, rows INTEGER)",
    "CREATE TEMP TABLE waiting_known (look INTEGER PRIMARY KEY)",
    "CREATE TEMP VIEW waiting_new AS SELECT * FROM waiting_look "
    "WHERE number NOT IN (SELECT look FROM waiting_known)",
    "CREATE INDEX temp.waiting_key_by_key ON waiting_key (key, line)",
)
DROP = (
    "DROP VIEW IF EXISTS temp.waiting_new",
    "DROP TABLE IF EXISTS temp.waiting_round",
    "DROP TABLE IF EXISTS temp.waiting_look",
    "DROP TABLE IF EXISTS temp.waiting_tally",
    "DROP TABLE IF EXISTS temp.waiting_note",
    "DROP TABLE IF EXISTS temp.waiting_key",
    "DROP TABLE IF EXISTS temp.waiting_known",
)

ADD_ROUND = "INSERT INTO waiting_round (number, day, who) VALUES (?,?,?)"
ADD_LOOK = "INSERT INTO waiting_look VALUES (?,?,?,?,?,?,?,?,?)"
ADD_TALLY = "INSERT INTO waiting_tally VALUES (?,?,?,?,?,?,?)"
ADD_NOTE = "INSERT INTO waiting_note VALUES (?,?)"
ADD_KEY = "INSERT INTO waiting_key VALUES (?,?,?,?)"

BY_ROUND = "CREATE INDEX IF NOT EXISTS temp.waiting_look_by_round ON waiting_look (round)"
"""Needed only where looks of a round are to be compared: it is made then."""

REUSED_KEYS = """
SELECT line, key FROM waiting_key AS row WHERE asked != coalesce(
    (SELECT content FROM entry_key WHERE key = row.key),
    (SELECT asked FROM waiting_key WHERE key = row.key ORDER BY line LIMIT 1)
) ORDER BY line
"""

ROUNDS_TO_COMPARE = """
SELECT number, day, who FROM waiting_round
WHERE EXISTS (SELECT 1 FROM look WHERE look.day = waiting_round.day) ORDER BY number
"""

_IS_HELD = "EXISTS (SELECT 1 FROM entry_key WHERE entry_key.key = row.key)"
_IS_ABOVE = "EXISTS (SELECT 1 FROM waiting_key AS o WHERE o.key = row.key AND o.line < row.line)"

_ROWS = """
SELECT look.line, look.number, plant_id, zone, began_at, milliseconds, outcome, unpotted, text,
    kind, stage, pest, count
FROM waiting_look AS look
LEFT JOIN waiting_note AS note ON note.look = look.number
LEFT JOIN waiting_tally AS tally ON tally.look = look.number
LEFT JOIN waiting_key AS row ON row.line = look.line
"""
ROWS_WITHOUT_KEY = f"{_ROWS} WHERE look.round = ? AND row.key IS NULL ORDER BY look.number"
ROWS_OF_HELD_KEYS = (
    f"{_ROWS} WHERE look.round = ? AND row.key IS NOT NULL AND {_IS_HELD} AND NOT {_IS_ABOVE} "
    "ORDER BY look.number"
)

FORGET_KNOWN = "DELETE FROM waiting_known"
MARK_KNOWN = "INSERT INTO waiting_known VALUES (?)"
MARK_KNOWN_KEYS = f"""
INSERT INTO waiting_known SELECT look.number
FROM waiting_look AS look CROSS JOIN waiting_key AS row ON row.line = look.line
WHERE {_IS_HELD} OR {_IS_ABOVE}
"""
COUNT_KNOWN_KEYS = (
    f"SELECT coalesce(sum(rows), 0) FROM waiting_key AS row WHERE {_IS_HELD} OR {_IS_ABOVE}"
)

_FIRST_NEW = """
SELECT began_at FROM waiting_new AS look
WHERE look.round = waiting_round.number AND look.number > waiting_round.number
ORDER BY look.number LIMIT 1
"""
LEAVE_OUT_ROUNDS = f"DELETE FROM waiting_round WHERE NOT EXISTS ({_FIRST_NEW})"
FIND_ROUNDS = """
UPDATE waiting_round SET round_id = (
    SELECT id FROM round
    WHERE round.day = waiting_round.day AND how = 'imported' AND round.who IS waiting_round.who
    ORDER BY id LIMIT 1
)
"""
FIRST_NUMBER = """
SELECT min(number) FROM (
    SELECT min(number) AS number FROM waiting_new
    UNION ALL SELECT min(number) FROM waiting_round WHERE round_id IS NULL
)
"""

WRITE = (
    f"""
    INSERT INTO round (id, day, who, began_at, ended_at, how)
    SELECT {_id("number")}, day, who, began_at, began_at, 'imported' FROM (
        SELECT number, day, who, ({_FIRST_NEW}) AS began_at
        FROM waiting_round WHERE round_id IS NULL
    )
    """,
    f"UPDATE waiting_round SET round_id = {_id('number')} WHERE round_id IS NULL",
    "INSERT OR IGNORE INTO zone (code) "
    "SELECT zone FROM waiting_new GROUP BY zone ORDER BY min(number)",
    "INSERT OR IGNORE INTO pest (code) "
    "SELECT pest FROM waiting_tally GROUP BY pest ORDER BY min(number)",
    # how near the round is kept: as `ids.kept_back` does
    f"""
    INSERT INTO look (day, plant_id, id, zone_id, round_back, began_at, milliseconds, outcome,
        unpotted)
    SELECT day, plant_id, new.id, zone.id,
        CASE WHEN (new.id - round_id) % {LEAST_ID} = 0
            AND (new.id - round_id) / {LEAST_ID} BETWEEN 0 AND {LEAST_ID - 1}
        THEN (new.id - round_id) / {LEAST_ID} ELSE round_id END,
        began_at, milliseconds, outcome, unpotted
    FROM (
        SELECT *, {_id("look.number")} AS id
        FROM waiting_new AS look JOIN waiting_round AS round ON round.number = look.round
    ) AS new JOIN zone ON zone.code = new.zone
    """,
    f"""
    INSERT INTO tally (day, plant_id, id, look_id, at_ms, kind, stage, pest_id, count)
    SELECT round.day, look.plant_id, {_id("tally.number")}, {_id("look.number")}, at_ms, kind,
        stage, pest.id, count
    FROM waiting_tally AS tally
    JOIN waiting_new AS look ON look.number = tally.look
    JOIN waiting_round AS round ON round.number = look.round
    JOIN pest ON pest.code = tally.pest
    """,
    f"""
    INSERT INTO entry_note (entry_id, text)
    SELECT {_id("look.number")}, text FROM waiting_note AS note
    JOIN waiting_new AS look ON look.number = note.look
    """,
)

WRITTEN_WITH_KEYS = f"""
SELECT row.key, row.asked, round.day, look.plant_id, {_id("look.number")}, {_id("tally.number")},
    kind, count
FROM waiting_new AS look
CROSS JOIN waiting_key AS row ON row.line = look.line
JOIN waiting_round AS round ON round.number = look.round
LEFT JOIN waiting_tally AS tally ON tally.look = look.number
ORDER BY look.number, tally.number
"""
