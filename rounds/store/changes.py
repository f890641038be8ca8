"""Values of the table as a grower changed them: entries like all others."""

from datetime import date

from rounds.core.changes import ValueChange
from rounds.core.log.effective import Corrections
from rounds.store.connect import LogbookFile
from rounds.store.log import withdrawals_of_places


def append_change(file: LogbookFile, change: ValueChange) -> None:
    """Write that a value is another from a day on."""
    with file.writing_records() as connection:
        connection.execute(
            "INSERT INTO value_change VALUES (?,?,?,?,?,?,?)",
            (
                change.id,
                change.day.toordinal(),
                change.at_ms,
                change.code,
                change.value,
                change.why,
                change.who,
            ),
        )


def value_changes(file: LogbookFile) -> tuple[ValueChange, ...]:
    """The changes that stand, in the order of their days."""
    with file.reading() as connection:
        rows = connection.execute(
            "SELECT id, day, at_ms, code, value, why, who FROM value_change ORDER BY day, id"
        ).fetchall()
    if not rows:
        return ()
    corrections = Corrections(withdrawals_of_places(file))
    return tuple(
        ValueChange(entry_id, date.fromordinal(day), at_ms, code, value, why, who)
        for entry_id, day, at_ms, code, value, why, who in rows
        if corrections.stands(entry_id)
    )
