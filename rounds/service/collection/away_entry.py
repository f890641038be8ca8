"""Days away: entered, and taken back."""

from datetime import date

from rounds.core.away import Away
from rounds.core.log.entries import Withdrawal
from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.store import away, log

LONGEST_DAYS = 366
TAKEN_BACK = "taken-back"


def enter_away(
    logbook: Logbook, moment: Moment, first_day: date, last_day: date
) -> tuple[EntryName, Away]:
    """Write that nobody looks from one day to another, both counted.

    BadInput where the last comes before the first, where they lie too far apart, or where the same
    days stand already.
    """
    check_away(logbook, first_day, last_day)
    with logbook.file.writing():
        entry_id = away.append_away(logbook.file, first_day, last_day, moment.at_ms)
    entered = Away(entry_id, first_day, last_day)
    return name_of(entered), entered


def check_away(logbook: Logbook, first_day: date, last_day: date) -> None:
    """BadInput where these days away cannot be entered."""
    if last_day < first_day:
        raise BadInput("away-backwards", field="last_day", first=first_day, last=last_day)
    if (last_day - first_day).days + 1 > LONGEST_DAYS:
        raise BadInput(
            "away-too-long", field="last_day", first=first_day, last=last_day, most=LONGEST_DAYS
        )
    if any((a.first_day, a.last_day) == (first_day, last_day) for a in logbook.collection().away):
        raise BadInput("away-known", field="first_day", first=first_day, last=last_day)


def withdraw_away(
    logbook: Logbook, moment: Moment, name: EntryName, why: str | None = None
) -> list[str]:
    """Take days away back. BadInput where there are none of that name."""
    if not any(str(name_of(entered)) == str(name) for entered in logbook.collection().away):
        raise BadInput("unknown-entry", field="entry", given=str(name))
    with logbook.file.writing():
        log.append_withdrawal(
            logbook.file,
            Withdrawal(
                id=logbook.file.next_id(),
                day=name.day,
                plant_id=log.OF_A_PLACE,
                target_id=name.entry_id,
                at_ms=moment.at_ms,
                why=TAKEN_BACK,
                note=why,
            ),
        )
    return [str(name)]


def name_of(entered: Away) -> EntryName:
    """The entry's name."""
    return EntryName("away", entered.first_day, log.OF_A_PLACE, entered.id)
