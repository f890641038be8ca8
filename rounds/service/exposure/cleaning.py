"""A place or a spot in it was cleaned: entered, and withdrawn."""

from rounds.core.collection import CLEANED, Place, same_spot
from rounds.core.log.entries import Withdrawal
from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_place, unknown
from rounds.store import log, places

TAKEN_BACK = "taken-back"


def enter_cleaned(
    logbook: Logbook, moment: Moment, place_name: str, spot: str | None
) -> tuple[EntryName, Place]:
    """Write that a spot was cleaned on a day, or where none is named all of a place.

    BadInput, naming the nearest, for a spot where no plant ever stood.
    """
    place, named = find_place(logbook, place_name), (spot or "").strip()
    if named:
        _check_spot(logbook, place, named)
    entry_id = places.append_place_fact(
        logbook.file, place.id, moment.day, moment.at_ms, CLEANED, named
    )
    return EntryName(CLEANED, moment.day, place.id, entry_id), place


def _check_spot(logbook: Logbook, place: Place, spot: str) -> None:
    """Spots are named by the plants that stand there."""
    plants = logbook.collection().plants.values()
    known = {move.spot for of in plants for move in of.moves if move.place_id == place.id}
    if not any(same_spot(spot, other) for other in known):
        raise unknown("spot", spot, filter(None, known), "spot")


def withdraw_cleaned(
    logbook: Logbook, moment: Moment, name: EntryName, why: str | None = None
) -> list[str]:
    """Take a cleaning back. BadInput where there is none of that name."""
    place = logbook.collection().places.get(name.owner_id)
    said = place.facts if place else ()
    if not any((f.what, f.id, f.from_day) == (CLEANED, name.entry_id, name.day) for f in said):
        raise BadInput("unknown-entry", given=str(name), field="entry")
    with logbook.file.writing():
        log.append_withdrawal(
            logbook.file,
            Withdrawal(
                logbook.file.next_id(), name.day, log.OF_A_PLACE, name.entry_id, moment.at_ms,
                TAKEN_BACK, note=why,
            ),
        )  # fmt: skip
    return [str(name)]
