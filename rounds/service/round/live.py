"""Figures while a plant is looked at: those of the look as planned, worked out at each key.

Every step of the plant counts as walked: the zone at hand for the greater of its planned and its
elapsed seconds, besides what the insects counted took; those to come as planned, with nothing
found. So no press moves a figure because the clock has just begun, and none does by closing a zone
when its time is over. A zone that is closed stands with its seconds as entered.

Where there are many finds, more of them are taken together than on the pages of the day; the
figures are then moved by as much as so rough a sum misses the figure of the morning.
"""

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from math import exp, log, prod

from rounds.core.inference.answer import LIVE_BUDGET, answer
from rounds.core.inference.evidence import gather
from rounds.core.inference.observed import ImpossibleEntry
from rounds.core.inference.scale import ChanceOutOfRange
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.quarantine.days import handling_seconds
from rounds.core.walks import Step
from rounds.service.entries.looks import share_seconds
from rounds.service.inference.kept import NotKept, only_kept
from rounds.service.plant.record import PlantRecord
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.course import Course

PAUSE_BUDGET = 64
"""coefficients between keys, for a plant with more finds than the frame of a key tells apart"""
KEY_WORK = 2000
"""work that the frame of a key has time for: days, each as much as `DAY_WORK` coefficients and
those of the finds; some ten milliseconds"""
DAY_WORK = 8
"""coefficients that take as long as all else of a day does: measured"""
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
    method: str
    """exact; or pooled, where early finds were taken together"""
    is_rough: bool = False
    """more of them than need be, or they are those before the key: better ones follow in a pause"""
    low: float | None = None
    """of the band of the chance clean, once the plant is done and there was a pause for it"""
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Missed:
    """By how much a rough sum misses a figure that is known."""

    log_odds: float = 0.0
    """of the chance clean, to be added"""
    times: float = 1.0
    """as many insects are left"""

    def chance(self, rough: float) -> float:
        """The chance clean in place of a rough one."""
        if not 0 < rough < 1 or not self.log_odds:
            return rough
        return 1 / (1 + (1 - rough) / rough * exp(-self.log_odds))

    @property
    def cautiously(self) -> "Missed":
        """The same where something was found since: no figure of before makes it likelier clean."""
        return Missed(min(0.0, self.log_odds), max(1.0, self.times))


NOTHING_MISSED = Missed()


class LiveFigure:
    """The figures of the plant at hand after every press; those shown before are kept.

    Where they take longer than a key may and were not made ready, the last ones stand, as rough,
    until the next pause.
    """

    def __init__(self) -> None:
        self._record: PlantRecord | None = None
        """what all is worked out with: read anew, with its past, once an answer changed it"""
        self._known: dict[Hashable, Likely | None] = {}
        self._shown: Likely | None = None
        self._band: tuple[Hashable, Iterator[None]] | None = None
        """the band that is worked out in steps, and the looks it is of"""
        self._missed: dict[int, Missed] = {}
        """by the coefficients of the sum: how far it is from the figure of the morning"""
        self._before: dict[int, float | None] = {}
        """by plant, its chance clean as it was first opened, where it was kept"""
        self._past = (0, 1)
        """days that are read, and coefficients of what was found on those before today"""

    def at(self, plant: PlantAtHand, course: Course, seconds: float) -> Likely | None:
        """The figures of the look as planned; None where there can be none.

        Args:
            plant: with all its entries.
            course: the steps. With no look in progress the plant stands as entered.
            seconds: that the look in progress has taken so far.
        """
        looks = as_planned(plant, course, seconds)
        if looks is None:
            return None
        self._begin(plant)
        if _key(looks) not in self._known and self._shown and self._takes_long(looks):
            return replace(self._shown, is_rough=True)
        self._shown = self._of(plant, looks, LIVE_BUDGET)
        return self._shown

    def before(self, plant: PlantAtHand) -> float | None:
        """The chance clean as the plant was first opened here; None where none was kept then."""
        if plant.plant.id not in self._before:
            self._before[plant.plant.id] = _kept_chance(plant.record)
        return self._before[plant.plant.id]

    def look_ahead(self, plant: PlantAtHand, course: Course, seconds: float) -> bool:
        """Work out between keys what the next may need: one piece, and whether there was one."""
        looks = as_planned(plant, course, seconds)
        if looks is None:
            return False
        self._begin(plant)
        now = self._known.get(_key(looks))
        if _key(looks) not in self._known or (now is not None and now.is_rough):
            self._known.pop(_key(looks), None)
            self._of(plant, looks, PAUSE_BUDGET)
            return True
        for after in _after_next_key(plant, course, seconds):
            if after is not None and _key(after) not in self._known:
                self._of(plant, after, LIVE_BUDGET)
                return True
        return course.opened is None and self._work_on_band(plant, looks)

    def _work_on_band(self, plant: PlantAtHand, looks: Looks) -> bool:
        """A step towards the band of a plant that is done; whether there was one left."""
        key = _key(looks)
        known = self._known.get(key)
        if known is None or known.low is not None:
            return False
        if self._band is None or self._band[0] != key:
            self._band = key, self._banded(plant, looks, known)
        next(self._band[1], None)
        return True

    def _banded(self, plant: PlantAtHand, looks: Looks, known: Likely) -> Iterator[None]:
        """Work out the band, in steps so short that no key waits."""
        # slow to import, and not needed before a plant is done
        from rounds.core.inference.band import band_in_steps

        chance = known.chance_clean
        facts = replace(plant.record.likely.facts, looks=(*plant.past_of_pest, *looks))
        low = high = chance
        with suppress(ImpossibleEntry, ChanceOutOfRange):
            steps = band_in_steps(facts, plant.day, plant.record.parameters, figure=chance)
            found = yield from steps
            low, high = min(found.low, chance), max(found.high, chance)
        self._known[_key(looks)] = replace(known, low=low, high=high)

    def _begin(self, plant: PlantAtHand) -> None:
        """Forget what another plant, or another past of this one, had."""
        if self._record is not plant.record:
            if self._record is None or self._record.plant.id != plant.record.plant.id:
                self._missed = {}
            self._record, self._known, self._shown, self._band = plant.record, {}, None, None

    def _takes_long(self, looks: Looks) -> bool:
        """Whether figures not known yet take longer than the frame of a key has."""
        days, size = self._past
        size *= prod(tally.count + 1 for look in looks for tally in look.tallies if tally.is_live)
        return days * (DAY_WORK + min(size, LIVE_BUDGET)) > KEY_WORK

    def _of(self, plant: PlantAtHand, looks: Looks, budget: int) -> Likely | None:
        """Figures that are kept, or kept from now on."""
        key = _key(looks)
        if key not in self._known:
            found = self._worked_out(plant, looks, budget)
            sure = _without_doubts(plant, looks)
            if found is not None and sure != looks:
                # after finds an unseen zone may look likelier clean: a doubt is no good news
                known = self._of(plant, sure, budget)
                found = min((each for each in (found, known) if each), key=_chance)
            self._known[key] = found
            for oldest in list(self._known)[:-KEPT]:
                del self._known[oldest]
        return self._known[key]

    def _missed_by(self, plant: PlantAtHand, budget: int) -> Missed:
        """By how much a sum of so few coefficients misses the figure of the morning.

        What it was before an answer changed the past stands for what is not kept.
        """
        if budget not in self._missed:
            self._missed[budget] = NOTHING_MISSED
            with suppress(NotKept, ImpossibleEntry, ChanceOutOfRange):
                self._missed[budget] = _missed(plant.record, budget)
        return self._missed[budget]

    def _worked_out(self, plant: PlantAtHand, looks: Looks, budget: int) -> Likely | None:
        result = plant.record.likely
        facts = replace(result.facts, looks=(*plant.past_of_pest, *looks))
        try:
            evidence = gather(facts, plant.day, plant.record.parameters).log
            found = answer(evidence, budget, with_interval=False)
        except (ImpossibleEntry, ChanceOutOfRange):
            return None
        before = [find for day in evidence.days[1:-1] for look in day.looks for find in look.finds]
        self._past = len(evidence.days), prod(find.count + 1 for find in before)
        missed = NOTHING_MISSED if found.method == "exact" else self._missed_by(plant, budget)
        if any(tally.is_live for look in looks for tally in look.tallies):
            missed = missed.cautiously
        left, harm = (missed.times * float(of) for of in result.harm.counted @ found.mean)
        return Likely(
            chance_clean=missed.chance(found.chance_clean),
            left=left,
            risk=result.harm.score(harm),
            method=found.method,
            is_rough=found.method != "exact" and budget < PAUSE_BUDGET,
        )


def _kept_chance(record: PlantRecord) -> float | None:
    """The chance clean that is kept of a plant; None where it would have to be worked out."""
    with suppress(NotKept, ImpossibleEntry, ChanceOutOfRange), only_kept(record.logbook):
        return record.likely.chance_clean
    return None


def _missed(record: PlantRecord, budget: int) -> Missed:
    """How far a sum of so few coefficients is from the figures that are kept. NotKept without."""
    with only_kept(record.logbook):
        known, insects = record.likely.chance_clean, float(record.likely.mean.sum())
    evidence = gather(record.likely.facts, record.on, record.parameters).log
    rough = answer(evidence, budget, with_interval=False)
    left = float(rough.mean.sum())
    if not (0 < known < 1 and 0 < rough.chance_clean < 1 and left and insects):
        return NOTHING_MISSED
    return Missed(_log_odds(known) - _log_odds(rough.chance_clean), insects / left)


def _log_odds(chance: float) -> float:
    return log(chance / (1 - chance))


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
    inspection = plant.record.table.inspection
    handling = handling_seconds(at_hand.tallies, inspection) if at_hand else 0.0
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
    """The looks after one more was removed, and after a stage of what was counted last."""
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


def _without_doubts(plant: PlantAtHand, looks: Looks) -> Looks:
    """The looks without the specks nobody is sure of, and without the seconds these took."""
    return tuple(_surely(plant, look) if look.open_doubts() else look for look in looks)


def _surely(plant: PlantAtHand, look: EffectiveLook) -> EffectiveLook:
    tallies = tuple(tally for tally in look.tallies if not tally.is_open_doubt)
    unsure = (tally for tally in look.tallies if tally.is_open_doubt)
    seconds = look.seconds - handling_seconds(unsure, plant.record.table.inspection)
    return replace(look, tallies=tallies, seconds=seconds)


def _chance(likely: Likely) -> float:
    return likely.chance_clean


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
