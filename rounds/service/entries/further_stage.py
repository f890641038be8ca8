"""A further stage of a look that was entered before: one look, its seconds counted once."""

from collections.abc import Mapping
from typing import Any

from rounds.core.collection import Plant
from rounds.core.log.effective import Corrections
from rounds.core.log.entries import Look
from rounds.errors import Refused
from rounds.service.entries.looks import (
    LookEntered,
    LookWritten,
    check_look,
    pest_counted,
    write_tallies,
)
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import read_entry_name
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_plant
from rounds.store import log, walks


def add_stage(
    logbook: Logbook,
    moment: Moment,
    code: str,
    entered: LookEntered,
    seconds: float | None,
    before: Mapping[str, Any],
) -> tuple[LookWritten, Plant] | None:
    """Write what was counted of other stages into the look of an earlier call.

    Args:
        logbook: inside a transaction.
        moment: of the day of that look.
        code: of its plant.
        entered: its zone, with counts of stages it has none of yet.
        seconds: its own, or None.
        before: what the earlier call answered.

    Returns:
        What was written; None where it does not belong to that look.

    Raises:
        Refused: that look was taken back meanwhile.
        BadInput: such a look cannot be.
    """
    plant = find_plant(logbook, code)
    look = _look_of(logbook, moment, plant, before)
    if look is None or not _is_the_same(logbook, moment, look, entered, seconds):
        return None
    checked = check_look(logbook, plant, moment.day, entered).entered
    entries = log.entries_of(logbook.file, plant.id, moment.day, moment.day)
    pest = pest_counted(logbook, plant, moment.day, checked)
    counted = {(t.stage, t.pest) for t in entries.tallies if t.look_id == look.id}
    if not counted or counted & {(stage, pest) for _, stage, _ in checked.tallies}:
        return None
    if Corrections(entries.withdrawals).heir(look.id) is None:
        raise Refused("look-of-key-withdrawn", field="key")
    return write_tallies(logbook, moment, plant, (look.id,), checked), plant


def _look_of(
    logbook: Logbook, moment: Moment, plant: Plant, before: Mapping[str, Any]
) -> Look | None:
    """The one look of an earlier call, if that was of this plant and day."""
    names = [read_entry_name(name) for name in before.get("look_ids", ())]
    if len(names) != 1 or (names[0].owner_id, names[0].day) != (plant.id, moment.day):
        return None
    looks = log.entries_of(logbook.file, plant.id, moment.day, moment.day).looks
    return next((look for look in looks if look.id == names[0].entry_id), None)


def _is_the_same(
    logbook: Logbook, moment: Moment, look: Look, entered: LookEntered, seconds: float | None
) -> bool:
    """Whether all that is said of the look itself agrees, and there is something counted."""
    who = walks.who_by_round(logbook.file, [look.round_id])[look.round_id]
    return (
        bool(entered.tallies)
        and [zone.casefold() for zone in entered.zones] == [look.zone]
        and (seconds is None or round(seconds * 1000) == round(look.seconds * 1000))
        and (entered.unpotted, moment.who) == (look.unpotted, who)
        and entered.cannot_see is None
        and entered.note is None
    )
