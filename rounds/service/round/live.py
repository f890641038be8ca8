"""What is left while a plant is looked at: worked out for the keys to come, then looked up."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from rounds.core.biology.process import Process
from rounds.core.inference.evidence import gather
from rounds.core.inference.live import MOST_FOUND, LiveFigures, LiveTable, live_table
from rounds.core.inference.observed import ImpossibleEntry, Look
from rounds.core.inference.passes import planned_look, planned_looks_at_once
from rounds.core.inference.scale import ChanceOutOfRange
from rounds.core.log.effective import StandingLook
from rounds.core.plan.risk import risk_word
from rounds.core.walks import Step
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.standing import PlantRecord


@dataclass(frozen=True, slots=True)
class Likely:
    """A plant as it is likely to be: chance clean, insects left, and the risk of them."""

    chance_clean: float
    left: float
    """mean number"""
    risk: float
    """0 to 100"""
    risk_word: str
    method: str
    """exact; or pooled, where early finds were taken together"""


ALL_AT_ONCE = "all at once"
"""Stands for the zones of a plant that is looked at in one go."""


@dataclass(frozen=True, slots=True)
class _Table:
    """A table, the past and the closed looks it was made with, and the zones it looks ahead to."""

    table: LiveTable
    record: PlantRecord
    """of the plant; read anew, with its past, after an answer has changed it"""
    known: tuple[StandingLook, ...]
    zones: tuple[str, ...]


class LiveFigure:
    """The figures of the plant at hand after every press.

    Zones closed clean in their order, and counts at the next, are looked up. Anything else makes
    the table be built anew. Planned seconds stand for those to come; up to four counted are taken
    for taken off, of whatever stage, until their zone is closed. What is kept after the plant is
    finished is worked out from what was entered.
    """

    def __init__(self) -> None:
        self._tables: dict[bool, _Table | None] = {}
        """of the zones to come; and of the zone at hand alone, where a find took longer"""

    def at(
        self, plant: PlantAtHand, to_come: Sequence[Step], *, all_at_once: bool = False
    ) -> Likely | None:
        """The figures once the zone at hand ends as it stands; None where no sum serves.

        Args:
            plant: with all its entries.
            to_come: its steps not done yet, the open one first; at least one.
            all_at_once: they are one, and nothing was found yet.
        """
        opened = [look for look in plant.today if look.is_open]
        here = [t for look in opened for t in look.tallies if t.pest == plant.pest]
        closed = tuple(look for look in plant.today if not look.is_open)
        found = sum(t.count for t in here if t.is_live)
        if any(t.is_open_doubt for t in here):
            # a zone with a doubt counts as unseen, and the table holds clean zones and finds alone
            closed, found = (*closed, *(_ended(look, 0.0) for look in opened)), 0
            to_come = [replace(to_come[0], planned_seconds=0.0), *to_come[1:]]
        elif found > MOST_FOUND or any(t.kind == "left" or t.settled_as == "alive" for t in here):
            # beyond the table: worked out as if the zone were closed now
            planned = to_come[0].planned_seconds
            closed, found = (*closed, *(_ended(k, planned + _finding(plant, k)) for k in opened)), 0
            to_come = [replace(to_come[0], planned_seconds=0.0), *to_come[1:]]
        # it took a find's time to see it, however little was planned
        longer = found > 0 and to_come[0].planned_seconds < _seconds_per_find(plant)
        if longer:
            to_come = [replace(to_come[0], planned_seconds=_seconds_per_find(plant))]
        zones = [ALL_AT_ONCE] if all_at_once else [step.zone for step in to_come]
        ahead = _ahead(self._tables.get(longer), plant, closed, zones)
        if ahead is None:
            build = _built_whole if all_at_once else _built
            self._tables[longer], ahead = build(plant, closed, to_come), 0
        made = self._tables[longer]
        return None if made is None else _likely(plant, made.table.figures(ahead, found))


def _likely(plant: PlantAtHand, figures: LiveFigures | None) -> Likely | None:
    if figures is None:
        return None
    left, harm = figures.sums
    risk = plant.record.likely.harm.score(harm)
    word = risk_word(risk, plant.record.logbook.parameters.risk)
    return Likely(figures.chance_clean, left, risk, word, figures.method)


def _finding(plant: PlantAtHand, look: StandingLook) -> float:
    """Seconds that what was counted took, of which none is credited."""
    return look.counted() * _seconds_per_find(plant)


def _seconds_per_find(plant: PlantAtHand) -> float:
    return plant.record.logbook.parameters.inspection.seconds_per_find


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
    as_planned = (*walked, *zones)[: len(made.zones)] == made.zones
    clean = all(look.outcome == "looked" and not look.tallies for look in since)
    return len(since) if as_planned and clean and len(since) < len(made.zones) else None


def _built(
    plant: PlantAtHand, closed: tuple[StandingLook, ...], to_come: Sequence[Step]
) -> _Table | None:
    def looks(process: Process) -> list[Look]:
        return [_planned(process, plant, step) for step in to_come]

    return _made(plant, closed, looks, [step.zone for step in to_come])


def _built_whole(
    plant: PlantAtHand, closed: tuple[StandingLook, ...], steps: Sequence[Step]
) -> _Table | None:
    """A table of one look at all zones."""

    def looks(process: Process) -> list[Look]:
        seconds = {step.zone: step.planned_seconds for step in steps}
        return [planned_looks_at_once(process, plant.body, seconds)]

    return _made(plant, closed, looks, [ALL_AT_ONCE])


def _made(
    plant: PlantAtHand,
    closed: tuple[StandingLook, ...],
    looks: Callable[[Process], list[Look]],
    zones: Sequence[str],
) -> _Table | None:
    result = plant.record.likely
    facts = replace(result.facts, looks=(*plant.past, *closed))
    try:
        evidence = gather(facts, plant.day, plant.record.parameters)
        table = live_table(evidence.log, looks(evidence.process), result.harm.counted)
    except (ImpossibleEntry, ChanceOutOfRange):
        return None
    return _Table(table, plant.record, closed, tuple(zones[: len(table.chances)]))


def _ended(look: StandingLook, seconds: float) -> StandingLook:
    """An open look as if it had been closed after so many seconds."""
    return replace(look, is_open=False, outcome="looked", seconds=seconds)


def _planned(process: Process, plant: PlantAtHand, step: Step) -> Look:
    return planned_look(process, plant.body, step.zone, step.planned_seconds)
