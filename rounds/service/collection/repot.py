"""Repot a plant, and see its roots: a fact of its record, and a look at what is out of the pot."""

from dataclasses import dataclass

from rounds.core.body import ROOTS
from rounds.core.collection import Plant
from rounds.errors import BadInput
from rounds.service.collection.plants import check_here
from rounds.service.entries.looks import LookEntered, LookWritten, check_look, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_plant
from rounds.store import plants

REPOTTED = "repotted"
INTO_FRESH_MEDIUM = "yes"


@dataclass(frozen=True, slots=True)
class RootsSeen:
    """How long the roots were looked at out of the pot, and what was counted there."""

    seconds: float
    counts: dict[str, int]
    stage: str | None = None
    note: str | None = None

    @property
    def look(self) -> LookEntered:
        """The look at the roots, as any look is entered."""
        return LookEntered(
            zones=(ROOTS,),
            seconds=self.seconds,
            counts=self.counts,
            stage=self.stage,
            unpotted=True,
            note=self.note,
        )


@dataclass(frozen=True, slots=True)
class RepottingWritten:
    """A repotting as written; `entry` is its name, None where the plant was only unpotted."""

    plant: Plant
    entry: str | None
    look: LookWritten | None


def check_repotting(
    logbook: Logbook, moment: Moment, code: str, *, repotted: bool, roots: RootsSeen | None
) -> None:
    """BadInput or Refused where it may not be written."""
    plant = find_plant(logbook, code)
    check_here(plant, moment.day)
    if not repotted and roots is None:
        raise BadInput("nothing-done", code=plant.code, field="roots_seen")
    if repotted and _is_repotted(plant, moment):
        raise BadInput("repotted-already", code=plant.code, day=moment.day, field="day")
    if roots is not None:
        check_look(logbook, plant, moment.day, roots.look)


def repot(
    logbook: Logbook, moment: Moment, code: str, *, repotted: bool, roots: RootsSeen | None
) -> RepottingWritten:
    """Write that a plant was repotted, its roots seen, or both. No clock is moved by it."""
    with logbook.file.writing():
        check_repotting(logbook, moment, code, repotted=repotted, roots=roots)
        plant = find_plant(logbook, code)
        written = None
        if roots is not None:
            written, _ = enter_look(logbook, moment, code, roots.look)
        entry = None
        if repotted:
            with plants.in_one_go(logbook.file):
                entry_id = plants.append_plant_fact(
                    logbook.file, plant.id, moment.day, moment.at_ms, REPOTTED, INTO_FRESH_MEDIUM
                )
            entry = str(EntryName(REPOTTED, moment.day, plant.id, entry_id))
    return RepottingWritten(logbook.collection().plants[plant.id], entry, written)


def _is_repotted(plant: Plant, moment: Moment) -> bool:
    return any(f.what == REPOTTED and f.from_day == moment.day for f in plant.facts)
