"""Figures while a plant is looked at: a table worked out ahead, then looked up at each key."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rounds.core.biology.process import Process
from rounds.core.inference.evidence import gather
from rounds.core.inference.live import MOST_FOUND, LiveFigures, LiveTable, live_table
from rounds.core.inference.observed import ImpossibleEntry, Look
from rounds.core.inference.passes import planned_look, planned_looks_at_once
from rounds.core.inference.scale import ChanceOutOfRange
from rounds.core.log.effective import EffectiveLook
from rounds.core.plan.risk import risk_word
from rounds.core.walks import Step
from rounds.service.plant.record import PlantRecord
from rounds.service.round.at_hand import PlantAtHand


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
    is_more: bool = False
    """more was found than the table holds: what is left is more, the chance clean less"""


def as_known(record: PlantRecord) -> Likely:
    """The figures of a plant without an open zone, from its record."""
    known = record.likely
    return Likely(
        chance_clean=known.chance_clean,
        left=float(known.mean.sum()),
        risk=known.risk.value,
        risk_word=known.risk.word,
        method=known.method,
    )


ALL_AT_ONCE = "all at once"
"""Stands for the zones of a plant that is looked at in one go."""


@dataclass(frozen=True, slots=True)
class _Table:
    """A table, the past and the closed looks it was made with, and the zones it looks ahead to."""

    table: LiveTable
    record: PlantRecord
    """of the plant; read anew, with its past, after an answer has changed it"""
    known: tuple[EffectiveLook, ...]
    zones: tuple[str, ...]


MOST_TOLD = 15
"""greatest count at one look in a table made between keys; a greater one is shown as more, until
the zone is closed"""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the figures rest on: closed looks, zones to come, finds at the first of them."""

    closed: tuple[EffectiveLook, ...]
    found: int
    to_come: Sequence[Step]
    longer: bool
    """the zone at hand has the least seconds of a find, which are more than were planned"""
    as_one: bool

    @property
    def zones(self) -> list[str]:
        """The zones, by which a table is told from another."""
        return [ALL_AT_ONCE] if self.as_one else [step.zone for step in self.to_come]


class LiveFigure:
    """The figures of the plant at hand after every press.

    Zones closed clean in their order, and counts at the next, are looked up. Anything else makes
    the table be built anew. Planned seconds stand for those to come; what is counted is taken for
    taken off, of whatever stage, until its zone is closed. What is kept after the plant is
    finished is worked out from what was entered.
    """

    def __init__(self) -> None:
        self._tables: dict[bool, _Table | None] = {}
        """by `longer`: with seconds as planned, and with the least seconds of a find"""

    def at(
        self, plant: PlantAtHand, to_come: Sequence[Step], *, as_one: bool = False
    ) -> Likely | None:
        """The figures once the zone at hand ends as it stands; None where there can be none.

        Args:
            plant: with all its entries.
            to_come: its steps not done yet, the open one first; at least one.
            as_one: they are looked at in one go, and nothing was found yet.
        """
        to_come = _still_there(plant, to_come)
        if not to_come:
            return None
        asked = _asked(plant, to_come, as_one=as_one)
        made, ahead = self._told_by(plant, asked)
        if ahead is None:
            made, ahead = _built(plant, asked, MOST_FOUND), 0
            self._tables[asked.longer] = made
        if made is None:
            return None
        told = min(asked.found, made.table.most_found)
        figures = made.table.figures(ahead, told)
        return _likely(plant, figures, is_more=asked.found > told) if figures else None

    def look_ahead(self, plant: PlantAtHand, to_come: Sequence[Step]) -> bool:
        """Build between keys the table that the next key may need.

        Before a find, the one for a first find where too few seconds are planned; after one, a
        table of greater counts. Whether the figures shown are better now.
        """
        to_come = _still_there(plant, to_come)
        if not to_come:
            return False
        asked = _asked(plant, to_come, as_one=False)
        made, ahead = self._told_by(plant, asked)
        if not asked.found:
            first = _first_find(plant, asked)
            if ahead is not None and first and self._told_by(plant, first)[1] is None:
                self._tables[first.longer] = _built(plant, first, MOST_TOLD)
            return False
        if ahead is None or not made or made.table.most_found > MOST_FOUND:
            return False
        longer = _built(plant, asked, MOST_TOLD)
        if longer is not None:
            self._tables[asked.longer] = longer
        return longer is not None

    def _told_by(self, plant: PlantAtHand, asked: _Asked) -> tuple[_Table | None, int | None]:
        """The table at hand, and how many of its zones were closed since; None if it is stale."""
        made = self._tables.get(asked.longer)
        return made, _ahead(made, plant, asked.closed, asked.zones)


def _still_there(plant: PlantAtHand, to_come: Sequence[Step]) -> list[Step]:
    """The steps at zones the plant has; none where its corrected form lacks the zone at hand."""
    zones = {zone.zone for zone in plant.body.zones}
    return [step for step in to_come if step.zone in zones] if to_come[0].zone in zones else []


def _asked(plant: PlantAtHand, to_come: Sequence[Step], *, as_one: bool) -> _Asked:
    opened = [look for look in plant.today if look.is_open]
    here = [t for look in opened for t in look.tallies if t.pest == plant.pest]
    closed = tuple(look for look in plant.today if not look.is_open)
    found = sum(t.count for t in here if t.is_live)
    if any(t.is_open_doubt for t in here):
        # a zone with a doubt counts as unseen, and the table holds clean zones and finds alone
        closed, found = (*closed, *(_ended(look, 0.0) for look in opened)), 0
        to_come = [replace(to_come[0], planned_seconds=0.0), *to_come[1:]]
    elif any(t.kind == "left" or t.settled_as == "alive" for t in here):
        # tables hold only what is taken off: with insects left, work out as if the zone were closed
        planned = to_come[0].planned_seconds
        closed, found = (*closed, *(_ended(k, planned + _finding(plant, k)) for k in opened)), 0
        to_come = [replace(to_come[0], planned_seconds=0.0), *to_come[1:]]
    asked = _Asked(closed, found, to_come, longer=False, as_one=as_one)
    return _first_find(plant, asked) or asked if found else asked


def _first_find(plant: PlantAtHand, asked: _Asked) -> _Asked | None:
    """What is asked after a find, where its least seconds exceed those planned; else None.

    A look with a find is read as at least `seconds_with_find` long.
    """
    least, here = plant.record.logbook.parameters.inspection.seconds_with_find, asked.to_come[0]
    if here.planned_seconds >= least:
        return None
    return replace(asked, to_come=[replace(here, planned_seconds=least)], longer=True)


def _likely(plant: PlantAtHand, figures: LiveFigures, *, is_more: bool) -> Likely:
    left, harm = figures.sums
    risk = plant.record.likely.harm.score(harm)
    word = risk_word(risk, plant.record.logbook.parameters.risk)
    return Likely(figures.chance_clean, left, risk, word, figures.method, is_more)


def _finding(plant: PlantAtHand, look: EffectiveLook) -> float:
    """Seconds that what was counted took, of which none is credited."""
    return look.counted() * plant.record.logbook.parameters.inspection.seconds_per_find


def _ahead(
    made: _Table | None,
    plant: PlantAtHand,
    closed: tuple[EffectiveLook, ...],
    zones: list[str],
) -> int | None:
    """How many zones of a table were closed clean since; None where it no longer applies."""
    if made is None or made.record is not plant.record:
        return None
    if closed[: len(made.known)] != made.known:
        return None
    since = closed[len(made.known) :]
    walked = [look.zone for look in since]
    as_planned = (*walked, *zones)[: len(made.zones)] == made.zones
    clean = all(look.outcome == "looked" and not look.tallies for look in since)
    return len(since) if as_planned and clean and len(since) < len(made.zones) else None


def _built(plant: PlantAtHand, asked: _Asked, most_found: int) -> _Table | None:
    """A table of the zones to come; for counts above `MOST_FOUND`, of the zone at hand alone."""
    steps = asked.to_come if most_found == MOST_FOUND else asked.to_come[:1]
    result = plant.record.likely
    facts = replace(result.facts, looks=(*plant.past, *asked.closed))
    try:
        evidence = gather(facts, plant.day, plant.record.parameters)
        if asked.as_one:
            seconds = {step.zone: step.planned_seconds for step in asked.to_come}
            looks = [planned_looks_at_once(evidence.process, plant.body, seconds)]
        else:
            looks = [_planned(evidence.process, plant, step) for step in steps]
        table = live_table(evidence.log, looks, result.harm.counted, most_found=most_found)
    except (ImpossibleEntry, ChanceOutOfRange):
        return None
    return _Table(table, plant.record, asked.closed, tuple(asked.zones[: len(table.chances)]))


def _ended(look: EffectiveLook, seconds: float) -> EffectiveLook:
    """An open look as if it had been closed after so many seconds."""
    return replace(look, is_open=False, outcome="looked", seconds=seconds)


def _planned(process: Process, plant: PlantAtHand, step: Step) -> Look:
    return planned_look(process, plant.body, step.zone, step.planned_seconds)
