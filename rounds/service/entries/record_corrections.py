"""Take back what was said of a plant by mistake: put apart, quarantine ended, gone, divided."""

from datetime import date

from rounds.core.collection import CAME_IN, Plant
from rounds.errors import BadInput, Refused
from rounds.service.collection.division import withdraw_division
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.store import log, plants

NOT_ALONE = {
    "arrived": "apart-arrived",
    "moved-apart": "apart-moved-apart",
    CAME_IN: "apart-came-in",
    "divided": "apart-divided",
}
"""By what a time apart began with, why it is not taken back by itself."""


def withdraw_said(
    logbook: Logbook, moment: Moment, name: EntryName, plant: Plant, why: str | None = None
) -> list[str]:
    """Take back an entry of one of SAID_OF_A_PLANT; its name.

    What was written in one go with it goes too: the move to a place apart, the watch on those it
    touched or that stood near it, that nothing touches it any more; with a division the plants that
    came of it.
    BadInput where there is no such entry, Refused for a time apart that nobody decided by itself:
    it goes with the arrival, the move or the division that began it.
    """
    _check_decided(plant, name)
    if name.entry_id not in _entries_of(plant, name):
        raise BadInput("unknown-entry", given=str(name), field="entry")
    if name.kind == "divided":
        withdraw_division(logbook, moment, name, plant, why)
        return [str(name)]
    with logbook.file.writing():
        for plant_id, entry_id, day in _written_in_one_go(logbook, name):
            log.withdraw_of_record(logbook.file, plant_id, entry_id, day, moment.at_ms, why)
    return [str(name)]


def _check_decided(plant: Plant, name: EntryName) -> None:
    began = next(
        (
            p.began_because
            for p in plant.periods
            if (name.kind, p.kind) == ("apart", "quarantine")
            and (p.id, p.began_on) == (name.entry_id, name.day)
            and not p.is_put_apart
        ),
        None,
    )
    if began is not None:
        raise Refused(NOT_ALONE[began], code=plant.code, field="entry")


def _written_in_one_go(logbook: Logbook, name: EntryName) -> list[tuple[int, int, date]]:
    """The plant, id and day of what goes with an entry; a repotting goes alone."""
    if name.kind == "repotted":
        return [(name.owner_id, name.entry_id, name.day)]
    return plants.written_with(logbook.file, name.entry_id)


def _entries_of(plant: Plant, name: EntryName) -> list[int | None]:
    """The entries of a kind that were made about a day and stand."""
    if name.kind in ("gone", "repotted", "divided"):
        return [f.id for f in plant.facts if f.what == name.kind and f.from_day == name.day]
    if name.kind == "ended":
        return [p.end_id for p in plant.periods if p.ended_on == name.day]
    return [
        p.id
        for p in plant.periods
        if (p.is_put_apart or p.is_watch_near) and p.began_on == name.day
    ]
