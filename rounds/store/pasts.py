"""The kept pasts of plants; see `past_tables` for how they are dropped."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from rounds.store.connect import LogbookFile
from rounds.store.sealed import sealed, unsealed

SLOT_DAYS = 28
"""Length in days of the slots of which one older row each is kept, in case newer are dropped."""

OLDER_KEPT = 2
NEWEST_KEPT = 2


@dataclass(frozen=True, slots=True)
class PastRow:
    """A past as text, and the key of what it was made with besides the looks."""

    plant_id: int
    until: date
    key: str
    result: str
    sources: tuple[int, ...] = ()
    """the plants whose looks it was made from; read back empty"""


def pasts_before(
    file: LogbookFile, day: date, plant_id: int | None = None
) -> dict[int, list[PastRow]]:
    """By plant, or of one, the kept pasts that end before a day, newest first."""
    found: dict[int, list[PastRow]] = defaultdict(list)
    of_one = "" if plant_id is None else " AND plant_id = ?"
    values = (day.toordinal(),) if plant_id is None else (day.toordinal(), plant_id)
    with file.reading() as connection:
        rows = connection.execute(
            "SELECT plant_id, until, CAST(key AS BLOB), CAST(result AS BLOB) FROM past "
            f"WHERE until < ?{of_one} ORDER BY plant_id, until DESC",
            values,
        )
        for plant_id, until, key, kept in rows:
            result = unsealed(kept)
            if result is not None:
                day, of = date.fromordinal(until), key.decode(errors="replace")
                found[plant_id].append(PastRow(plant_id, day, of, result))
    return found


def keep_pasts(file: LogbookFile, rows: Iterable[PastRow], read_at: tuple[int, int]) -> bool:
    """Keep the pasts of plants, each beside a few older rows of its plant; whether it was kept.

    Args:
        file: the logbook.
        rows: a past for each plant.
        read_at: what `file.changes()` was before the looks were read. Where anything was written
            since, it may have been about these days: nothing is kept then.
    """
    with file.writing() as connection:
        if file.changes() != read_at:
            return False
        for row in rows:
            connection.executemany(
                "INSERT OR IGNORE INTO past_from VALUES (?, ?)",
                [(source, row.plant_id) for source in row.sources],
            )
            connection.execute(
                "INSERT OR REPLACE INTO past VALUES (?, ?, ?, ?)",
                (row.plant_id, row.until.toordinal(), row.key, sealed(row.result)),
            )
            connection.execute(_FORGET_OLDER, {"plant": row.plant_id})
    return True


_FORGET_OLDER = f"""
DELETE FROM past WHERE plant_id = :plant AND until NOT IN (
    SELECT until FROM (
        SELECT until FROM past WHERE plant_id = :plant ORDER BY until DESC LIMIT {NEWEST_KEPT}
    )
    UNION
    SELECT until FROM (
        SELECT min(until) AS until FROM past WHERE plant_id = :plant
        GROUP BY until / {SLOT_DAYS} ORDER BY until DESC LIMIT {OLDER_KEPT}
    )
)
"""
