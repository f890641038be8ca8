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
from rounds.service.standing import PlantRecord


@dataclass(frozen=True, slots=True)
class _Table:
    """A table, the past and the closed looks it was made with, and the zones it looks ahead to."""

    table: LiveTable
    record: PlantRecord
    """of the plant; read anew, with its past, after an answer has changed it"""
    known: tuple[StandingLook, ...]
    zones: tuple[str, ...]


class LiveChance:
    """The chance clean of the plant at hand after every press.

    Zones closed clean in their order, and counts at the next, are looked up. Anything else that
    was closed makes the table be built anew. Planned seconds stand for those to come, and what is
    counted is taken for taken off, of whatever stage, until its zone is closed; what is kept after
    the plant is finished is worked out from what was entered.
    """

    def __init__(self) -> None:
        self._tables: dict[bool, _Table | None] = {}
        """of the zones to come; and of the zone at hand alone, where a find took longer"""

    def at(
        self, plant: PlantAtHand, to_come: Sequence[Step], *, all_at_once: bool = False
    ) -> float | None:
        """The chance once the zone at hand ends as it stands; None where no sum serves.

        Args:
            plant: with all its entries.
            to_come: its steps not done yet, the open one first; at least one.
            all_at_once: they are one, and nothing was found yet.
        """
        opened = [look for look in plant.today if look.is_open]
        here = [t for look in opened for t in look.tallies if t.pest == plant.pest]
        if any(t.kind == "left" or t.settled_as == "alive" for t in here):
            # alive and left there: nothing to work out
            return 0.0
        closed = tuple(look for look in plant.today if not look.is_open)
        found = sum(t.count for t in here if t.is_live)
        if any(t.is_open_doubt for t in here):
            # a zone with a doubt counts as unseen, and the table holds clean zones and finds alone
            closed, found = (*closed, *map(_as_closed, opened)), 0
            to_come = [replace(to_come[0], planned_seconds=0.0), *to_come[1:]]
        # it took a find's time to see it, however little was planned
        least = plant.record.logbook.parameters.inspection.seconds_per_find
        longer = found > 0 and to_come[0].planned_seconds < least
        if longer:
            to_come = [replace(to_come[0], planned_seconds=least)]
        ahead = _ahead(self._tables.get(longer), plant, closed, [step.zone for step in to_come])
        if ahead is None:
            self._tables[longer], ahead = _built(plant, closed, to_come), 0
        made = self._tables[longer]
        if all_at_once:
            ahead += len(to_come) - 1
        return None if made is None else made.table.chance_clean(ahead, found)


def _ahead(
    made: _Table | None,
    plant: PlantAtHand,
    closed: tuple[StandingLook, ...],
    zones: list[str],
) -> int | None:
    """How many zones of a table were closed clean since; None where it says no more."""
    if made is None or made.record is not plant.record:
        return None
    if closed[: len(made.known)] != made.known:
        return None
    since = closed[len(made.known) :]
    walked = [look.zone for look in since]
    as_planned = (*walked, *zones) == made.zones
    clean = all(look.outcome == "looked" and not look.tallies for look in since)
    return len(since) if as_planned and clean else None


def _built(
    plant: PlantAtHand, closed: tuple[StandingLook, ...], to_come: Sequence[Step]
) -> _Table | None:
    result = plant.record.likely
    facts = replace(result.facts, looks=(*plant.past, *closed))
    try:
        evidence = gather(facts, plant.day, plant.record.parameters)
        looks = [_planned(evidence.process, plant, step) for step in to_come]
        table = live_table(evidence.log, looks)
    except (ImpossibleEntry, ChanceOutOfRange):
        return None
    return _Table(table, plant.record, closed, tuple(step.zone for step in to_come))


def _as_closed(look: StandingLook) -> StandingLook:
    return replace(look, is_open=False, outcome="looked", seconds=0.0)


def _planned(process: Process, plant: PlantAtHand, step: Step) -> Look:
    return planned_look(process, plant.body, step.zone, step.planned_seconds)
