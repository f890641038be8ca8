"""Days on which nobody looks."""

from datetime import date

from rounds.core.away import Away
from rounds.core.log.effective import Corrections
from rounds.store.connect import LogbookFile
from rounds.store.log import withdrawals_of_places


def append_away(file: LogbookFile, first_day: date, last_day: date, at_ms: int) -> int:
    """Write that nobody looks from one day to another, both counted; the entry's id."""
    with file.writing_records() as connection:
        entry_id = file.next_id()
        connection.execute(
            "INSERT INTO away VALUES (?,?,?,?)",
            (entry_id, first_day.toordinal(), last_day.toordinal(), at_ms),
        )
        return entry_id


def days_away(file: LogbookFile) -> tuple[Away, ...]:
    """The days away that stand, in the order they come."""
    corrections = Corrections(withdrawals_of_places(file))
    with file.reading() as connection:
        rows = connection.execute(
            "SELECT id, first_day, last_day FROM away ORDER BY first_day, last_day, id"
        ).fetchall()
    return tuple(
        Away(entry_id, date.fromordinal(first), date.fromordinal(last))
        for entry_id, first, last in rows
        if corrections.stands(entry_id)
    )


def looked_since(file: LogbookFile, left_on: date, back_from: date, before: date) -> bool:
    """Whether a round was walked after `left_on`, or any look entered from `back_from` on.

    Up to the day before `before`. What a stand-in entered for the days between is neither.
    """
    with file.reading() as connection:
        row = connection.execute(
            "SELECT 1 FROM round WHERE day < :before AND "
            "((how = 'walked' AND day > :left) OR day >= :back) LIMIT 1",
            {
                "before": before.toordinal(),
                "left": left_on.toordinal(),
                "back": back_from.toordinal(),
            },
        ).fetchone()
    return row is not None
