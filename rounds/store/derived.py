"""Derived results, kept until what they rest on changes; they may be dropped at any time."""

from rounds.store.connect import LogbookFile
from rounds.store.sealed import sealed, unsealed


def kept(file: LogbookFile, plant_id: int, what: str) -> tuple[str, str] | None:
    """The key something was worked out under, and the result; None where nothing is kept."""
    with file.reading() as connection:
        row = connection.execute(
            "SELECT CAST(key AS BLOB), CAST(result AS BLOB) FROM derived "
            "WHERE plant_id = ? AND what = ?",
            (plant_id, what),
        ).fetchone()
    result = unsealed(row[1]) if row else None
    return None if result is None else (row[0].decode(errors="replace"), result)


def keep(
    file: LogbookFile,
    plant_id: int,
    what: str,
    key: str,
    result: str,
    *,
    before_as: str | None = None,
) -> None:
    """Keep a result in place of the one before, which stays under the name `before_as` if given."""
    with file.writing() as connection:
        if before_as is not None:
            connection.execute(
                "INSERT OR REPLACE INTO derived SELECT plant_id, ?, key, result FROM derived "
                "WHERE plant_id = ? AND what = ?",
                (before_as, plant_id, what),
            )
        connection.execute(
            "INSERT OR REPLACE INTO derived VALUES (?, ?, ?, ?)",
            (plant_id, what, key, sealed(result)),
        )


def forget_all(file: LogbookFile) -> None:
    """Drop all derived results: they come out the same when worked out again."""
    with file.writing() as connection:
        connection.execute("DELETE FROM derived")
        connection.execute("DELETE FROM past")
