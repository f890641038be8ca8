"""Figures while a plant is looked at: those of the look as planned, worked out at each key.

Every step of the plant counts as walked: the zone at hand for the greater of its planned and its
elapsed seconds, besides what the insects counted took; those to come as planned, with nothing
found. So no press moves a figure because the clock has just begun, and none does by closing a zone
when its time is over. A zone that is closed stands with its seconds as entered.
"""

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from rounds.core.inference.answer import LIVE_BUDGET, answer
from rounds.core.inference.evidence import gather
from rounds.core.inference.observed import ImpossibleEntry
from rounds.core.inference.scale import ChanceOutOfRange
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.plan.risk import risk_word
from rounds.core.walks import Step
from rounds.service.entries.looks import share_seconds
from rounds.service.plant.record import PlantRecord
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.course import Course

PAUSE_BUDGET = 128
"""coefficients between keys, for a plant with more finds than the frame of a key tells apart"""
KEPT = 64
"""figures of one plant that are kept for the next press; the oldest go first"""
STAGES = ("adult", "young", "eggs")
"""those that a key gives"""

Looks = tuple[EffectiveLook, ...]


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
    is_rough: bool = False
    """more of them than between keys, so that better figures follow in the next pause"""


class LiveFigure:
    """The figures of the plant at hand after every press; those shown before are kept."""

    def __init__(self) -> None:
        self._known: dict[Hashable, Likely | None] = {}
        self._record: PlantRecord | None = None
        """what they were worked out with: read anew, with its past, once an answer changed it"""

    def at(self, plant: PlantAtHand, course: Course, seconds: float) -> Likely | None:
        """The figures of the look as planned; None where there can be none.

        Args:
            plant: with all its entries.
            course: the steps. With no look in progress the plant stands as entered.
            seconds: that the look in progress has taken so far.
        """
        looks = as_planned(plant, course, seconds)
        return None if looks is None else self._of(plant, looks)

    def look_ahead(self, plant: PlantAtHand, course: Course, seconds: float) -> bool:
        """Work out between keys what the next may need: one piece, and whether there was one."""
        looks = as_planned(plant, course, seconds)
        if looks is None or course.opened is None:
            return False
        now = self._of(plant, looks)
        if now is not None and now.is_rough:
            self._known[_key(looks)] = _worked_out(plant, looks, PAUSE_BUDGET)
            return True
        for after in _after_next_key(plant, course, seconds):
            if after is not None and _key(after) not in self._known:
                self._of(plant, after)
                return True
        return False

    def _of(self, plant: PlantAtHand, looks: Looks) -> Likely | None:
        if self._record is not plant.record:
            self._known, self._record = {}, plant.record
        key = _key(looks)
        if key not in self._known:
            found = _worked_out(plant, looks, LIVE_BUDGET)
            if found is not None and found.method != "exact":
                found = replace(found, is_rough=True)
            self._known[key] = found
            for oldest in list(self._known)[:-KEPT]:
                del self._known[oldest]
        return self._known[key]


def as_planned(plant: PlantAtHand, course: Course, seconds: float) -> Looks | None:
    """Today's looks at a plant once every step of it has been walked as planned.

    None where its corrected form lacks the zone at hand.

    Args:
        plant: with all its entries.
        course: the steps, and the look in progress.
        seconds: that it has taken so far.
    """
    return _as_planned(plant, course, seconds, plant.today)


def _as_planned(
    plant: PlantAtHand, course: Course, seconds: float, today: Sequence[EffectiveLook]
) -> Looks | None:
    opened = course.opened
    if opened is None:
        return tuple(today)
    zones = {zone.zone for zone in plant.body.zones}
    if opened.zone not in zones:
        return None
    here = [step for step in course.together() if step.zone in zones]
    before = [look for look in today if look.id != opened.id]
    at_hand = next((look for look in today if look.id == opened.id), None)
    counted = at_hand.counted() if at_hand else 0
    handling = counted * plant.record.logbook.parameters.inspection.seconds_per_find
    looked = max(sum(step.planned_seconds for step in here), seconds - handling)
    walked = list(_walked(plant, here, looked))
    if at_hand is not None:
        at = next(n for n, look in enumerate(walked) if look.zone == opened.zone)
        took = _as_kept(walked[at].seconds + handling)
        walked[at] = replace(at_hand, is_open=False, outcome="looked", seconds=took)
    together = {step.zone for step in here}
    to_come = [s for s in course.to_come() if s.zone in zones and s.zone not in together]
    return (*before, *walked, *_to_come(plant, to_come))


def _to_come(plant: PlantAtHand, steps: Sequence[Step]) -> Iterator[EffectiveLook]:
    """What is walked in one go shares its seconds."""
    for together in dict.fromkeys(step.together or step.zone for step in steps):
        shared = [step for step in steps if (step.together or step.zone) == together]
        yield from _walked(plant, shared, sum(step.planned_seconds for step in shared))


def _walked(plant: PlantAtHand, steps: Sequence[Step], seconds: float) -> Iterator[EffectiveLook]:
    """Looks at the zones of some steps, which share the seconds, with nothing found."""
    shares = share_seconds([plant.body.as_planned(step.zone) for step in steps], seconds)
    for step in steps:
        yield EffectiveLook(
            id=-step.position, day=plant.day, zone=step.zone, round_id=0, began_at=0,
            seconds=_as_kept(shares[step.zone]), outcome="looked", reason=None, unpotted=False,
            is_open=False, tallies=(),
        )  # fmt: skip


def _as_kept(seconds: float) -> float:
    """Seconds as the log keeps them: to the millisecond."""
    return round(seconds * 1000) / 1000


def _after_next_key(plant: PlantAtHand, course: Course, seconds: float) -> Iterator[Looks | None]:
    """The looks after one more was taken off, and after a stage of what was counted last."""
    at_hand = plant.look_of(course.opened.id) if course.opened else None
    if at_hand is None:
        return
    more = EffectiveTally(0, "removed", None, plant.pest, 1, 0)
    tallies = [(*at_hand.tallies, more)]
    if at_hand.tallies:
        *others, last = at_hand.tallies
        tallies += [(*others, replace(last, stage=stage)) for stage in STAGES]
    for counted in tallies:
        after = replace(at_hand, tallies=counted)
        today = [after if look.id == after.id else look for look in plant.today]
        yield _as_planned(plant, course, seconds, today)


def _key(looks: Looks) -> Hashable:
    """What the figures rest on, without ids and instants."""
    return tuple(
        (look.zone, look.seconds, look.outcome, look.unpotted, look.is_open, _counted(look.tallies))
        for look in looks
    )


def _counted(tallies: Iterable[EffectiveTally]) -> Hashable:
    found: Counter[Hashable] = Counter()
    for tally in tallies:
        found[tally.pest, tally.kind, tally.stage, tally.settled_as] += tally.count
    return frozenset(found.items())


def _worked_out(plant: PlantAtHand, looks: Looks, budget: int) -> Likely | None:
    result = plant.record.likely
    facts = replace(result.facts, looks=(*plant.past, *looks))
    try:
        evidence = gather(facts, plant.day, plant.record.parameters)
        found = answer(evidence.log, budget, with_interval=False)
    except (ImpossibleEntry, ChanceOutOfRange):
        return None
    left, harm = (float(total) for total in result.harm.counted @ found.mean)
    risk = result.harm.score(harm)
    word = risk_word(risk, plant.record.logbook.parameters.risk)
    return Likely(found.chance_clean, left, risk, word, found.method)
