"""What was seen on a plant looked at in one go, until it is said at which zone."""

from collections.abc import Sequence

from rounds.core.log.entries import Unplaced
from rounds.store.connect import LogbookFile


def put_unplaced(file: LogbookFile, round_id: int, seen: Sequence[Unplaced]) -> None:
    """All that waits for its zone in a round, in place of what waited before."""
    with file.writing() as connection:
        connection.execute("DELETE FROM unplaced WHERE round_id = ?", (round_id,))
        connection.executemany(
            "INSERT INTO unplaced (round_id, position, at_ms, kind, count, pest, stage) "
            "VALUES (?,?,?,?,?,?,?)",
            [
                (round_id, position, one.at_ms, one.kind, one.count, one.pest, one.stage)
                for position, one in enumerate(seen, 1)
            ],
        )


def unplaced_of(file: LogbookFile, round_id: int) -> tuple[Unplaced, ...]:
    """What waits for its zone in a round, as it was pressed."""
    with file.reading() as connection:
        rows = connection.execute(
            "SELECT at_ms, kind, count, pest, stage FROM unplaced WHERE round_id = ? "
            "ORDER BY position",
            (round_id,),
        )
        return tuple(Unplaced(*row) for row in rows)
