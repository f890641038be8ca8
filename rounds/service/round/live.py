"""Likely clean while a plant is looked at: worked out for the keys to come, then looked up."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rounds.core.biology.process import Process
from rounds.core.inference.evidence import gather
from rounds.core.inference.live import LiveTable, live_table
from rounds.core.inference.observed import ImpossibleEntry, Look
from rounds.core.inference.passes import planned_look
from rounds.core.inference.scale import ChanceOutOfRange
from rounds.core.log.effective import StandingLook
from rounds.core.walks import Step
from rounds.service.round.at_hand import PlantAtHand


@dataclass(frozen=True, slots=True)
class _Table:
    """A table, the closed looks it was made with, and the zones it looks ahead to."""

    table: LiveTable
    known: tuple[StandingLook, ...]
    zones: tuple[str, ...]


class LiveChance:
    """The chance clean of the plant at hand after every press.

    Zones closed clean in their order, and counts at the next, are looked up. Anything else that
    was closed makes the table be built anew. Planned seconds stand for those to come; what is
    kept after the plant is finished is worked out from what was entered.
    """

    def __init__(self) -> None:
        self._table: _Table | None = None

    def at(self, plant: PlantAtHand, to_come: Sequence[Step]) -> float | None:
        """The chance once the zone at hand ends as it stands; None where no sum serves.

        Args:
            plant: with all its entries.
            to_come: its steps not done yet, the open one first; at least one.
        """
        if any(t.kind == "left" or t.settled_as for k in plant.today for t in k.tallies):
            # alive and left there: nothing to work out
            return 0.0
        closed = tuple(look for look in plant.today if not look.is_open)
        found = sum(look.live() for look in plant.today if look.is_open)
        ahead = self._ahead(closed, [step.zone for step in to_come])
        if ahead is None:
            self._table, ahead = _built(plant, closed, to_come), 0
        if self._table is None:
            return None
        return self._table.table.chance_clean(ahead, found)

    def _ahead(self, closed: tuple[StandingLook, ...], zones: list[str]) -> int | None:
        """How many zones of the table were closed clean since; None where it says no more."""
        if self._table is None or closed[: len(self._table.known)] != self._table.known:
            return None
        since = closed[len(self._table.known) :]
        walked = [look.zone for look in since]
        as_planned = (*walked, *zones) == self._table.zones
        clean = all(look.outcome == "looked" and not look.tallies for look in since)
        return len(since) if as_planned and clean else None


def _built(
    plant: PlantAtHand, closed: tuple[StandingLook, ...], to_come: Sequence[Step]
) -> _Table | None:
    result = plant.record.likely
    facts = replace(result.facts, looks=(*plant.past, *closed))
    try:
        evidence = gather(facts, plant.day, plant.record.logbook.parameters)
        looks = [_planned(evidence.process, plant, step) for step in to_come]
        table = live_table(evidence.log, looks)
    except (ImpossibleEntry, ChanceOutOfRange):
        return None
    return _Table(table, closed, tuple(step.zone for step in to_come))


def _planned(process: Process, plant: PlantAtHand, step: Step) -> Look:
    return planned_look(process, plant.body, step.zone, step.planned_seconds)
