"""Take back what was said of a plant by mistake: put apart, a quarantine ended, gone for good."""

from rounds.core.collection import Plant
from rounds.core.log.entries import Withdrawal
from rounds.errors import BadInput, Place
from rounds.service.entry_ids import EntryName
from rounds.service.logbook import Logbook
from rounds.service.moment import Moment
from rounds.store import log, plants


def withdraw_said(
    logbook: Logbook, moment: Moment, name: EntryName, plant: Plant, why: str | None = None
) -> list[str]:
    """Take back an entry of one of SAID_OF_A_PLANT; its name.

    What was written in one go with it goes too: the move to a place apart, the watch on those it
    touched, that nothing touches it any more. BadInput where there is no such entry.
    """
    if name.entry_id not in _entries_of(plant, name):
        raise BadInput("unknown-entry", given=str(name), places=[Place(argument="ENTRY")])
    with logbook.file.writing():
        for plant_id, entry_id, day in plants.written_with(logbook.file, name.entry_id):
            log.append_withdrawal(
                logbook.file,
                Withdrawal(
                    id=logbook.file.next_id(),
                    day=day,
                    plant_id=plant_id,
                    target_id=entry_id,
                    at_ms=moment.at_ms,
                    why=log.OF_A_RECORD,
                    note=why,
                ),
            )
    return [str(name)]


def _entries_of(plant: Plant, name: EntryName) -> list[int | None]:
    """The entries of a kind that were made about a day and stand."""
    if name.kind == "gone":
        return [f.id for f in plant.facts if f.what == "gone" and f.from_day == name.day]
    if name.kind == "ended":
        return [p.end_id for p in plant.periods if p.ended_on == name.day]
    return [p.id for p in plant.periods if p.is_put_apart and p.began_on == name.day]
