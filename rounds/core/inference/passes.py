"""The looks of one day as passes of the eyes, in which each insect is met at most once."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.biology.process import Process
from rounds.core.body import ROOTS, Body
from rounds.core.inference.observed import Find, Look
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.parameters import Biology, Parameters
from rounds.core.quarantine.days import DoubtsByZone, credited_seconds, doubts_live

OUTSIDE, OUT_OF_POT = 0, 1


@dataclass(frozen=True, slots=True)
class Reading:
    """How the looks of one day are read."""

    zone_codes: tuple[str, ...]
    """of the plant on the day spoken about"""
    body: Body
    """as it was that day"""
    pest: str
    parameters: Parameters
    day: date
    doubts: DoubtsByZone
    """specks not settled, of all days"""

    def is_doubtful(self, zone: str) -> bool:
        """Whether an open doubt makes the zone count as unseen that day."""
        return self.day in self.doubts.get(zone, {})

    def doubts_are_live(self, zone: str) -> bool:
        """Whether the open doubts of the zone have become so many that they count as live."""
        return doubts_live(self.day, self.doubts.get(zone, {}), self.parameters.inspection)

    @property
    def biology(self) -> Biology:
        """The life of the pest."""
        return self.parameters.pests[self.pest]

    def stages(self, recorded: str | None) -> tuple[str, ...] | None:
        """Stages a find may be of; None, which stands for any, where none was recorded.

        So it is for a stage that the pest does not have: what was seen was something of it.
        """
        return None if recorded is None else self.biology.recorded.get(recorded)

    def reference_seconds(self, zone: str) -> float | None:
        """Reference seconds of the zone that day; None where there is no such zone then or now."""
        if zone not in self.zone_codes:
            return None
        return next((z.reference_seconds for z in self.body.zones if z.zone == zone), None)


@dataclass(frozen=True, slots=True, eq=False)
class _Tallied:
    """Insects counted at a look in one way, whatever the chances to find them are."""

    times: Values
    """(2, Z): as in `Pass`, of that look"""
    stages: tuple[str, ...] | None
    """None where no stage was recorded"""
    count: int
    stays: float
    entry: int

    @property
    def zones(self) -> tuple[int, ...]:
        """Numbers of the zones that were looked at."""
        return tuple(np.flatnonzero(self.times.any(axis=0)).tolist())


@dataclass(frozen=True, slots=True, eq=False)
class Pass:
    """One look, or several that do not meet the same insects; whoever looks, whatever hides."""

    times: Values
    """(2, Z): reference seconds in each zone, from outside and out of the pot"""
    finds: tuple[_Tallied, ...] = ()
    sacs: tuple[Values, ...] = ()
    """times of the looks at which an adult went with her sac"""

    def meets(self, other: "Pass") -> bool:
        """Whether both looked at some zone in common, and either of them found something."""
        if not (self.finds or other.finds):
            return False
        return bool(((self.times > 0).any(axis=0) & (other.times > 0).any(axis=0)).any())

    def with_other(self, other: "Pass") -> "Pass":
        """Both merged into one pass."""
        finds, sacs = (*self.finds, *other.finds), (*self.sacs, *other.sacs)
        return Pass(self.times + other.times, finds, sacs)

    def read(self, process: Process, sac_gone: float) -> Look:
        """The pass in the types of a process.

        Args:
            process: of the zones it was made of.
            sac_gone: chance that an egg in reach goes with an adult and her sac.
        """
        finds = tuple(
            Find(
                _shown(process, f.times) * process.of_stages(f.stages), f.count, f.stays, f.entry,
                f.zones, f.stages,
            )
            for f in self.finds
        )  # fmt: skip
        eggs = sac_gone * process.of_stages(("egg",)) if self.sacs else None
        kills = [eggs * (_shown(process, times) > 0) for times in self.sacs if eggs is not None]
        return Look(process.unseen(self.times), finds, np.sum(kills, axis=0) if kills else None)


def passes_of_day(looks: Iterable[EffectiveLook], reading: Reading) -> tuple[Pass, ...]:
    """The passes of one day, in order, merged where they cannot meet the same insects."""
    passes: list[Pass] = []
    for look in looks:
        one = _pass(look, reading)
        if one is None:
            continue
        if passes and not passes[-1].meets(one):
            passes[-1] = passes[-1].with_other(one)
        else:
            passes.append(one)
    return tuple(passes)


def _shown(process: Process, times: Values) -> Values:
    return 1 - process.unseen(times)


def _pass(look: EffectiveLook, reading: Reading) -> Pass | None:
    """One look as a pass; None where it is no evidence.

    A find is evidence even where no second is credited: it counts as seen in passing, as more
    seconds would claim that nothing else was there to be seen. So is each find of a pest of which
    at least so many are counted: whoever stops counting says nothing of the rest.
    """
    found = _found(look, reading)
    seconds = _seconds(look, reading)
    if found:
        in_passing = reading.parameters.inspection.seconds_with_find
        seconds = in_passing if reading.biology.counted_from else max(seconds, in_passing)
    if seconds <= 0:
        return None
    times = _times(look, seconds, reading)
    finds = (
        _Tallied(times, reading.stages(stage), sum(t.count for t in tallies), stays, tallies[0].id)
        for (stage, stays), tallies in found.items()
    )
    sac_went = any(stage == "egg-mass" and stays < 1 for stage, stays in found)
    return Pass(times, tuple(finds), (times,) if sac_went else ())


Found = dict[tuple[str | None, float], list[EffectiveTally]]
"""Tallies by recorded stage and by the chance that what was found is still there."""


def _found(look: EffectiveLook, reading: Reading) -> Found:
    found: Found = {}
    for tally in look.tallies:
        if tally.pest != reading.pest:
            continue
        counts = tally.is_live or (tally.is_open_doubt and reading.doubts_are_live(look.zone))
        if counts and tally.count:
            key = (tally.stage, _stays(tally, reading.parameters.infestation.killed))
            found.setdefault(key, []).append(tally)
    return found


def _stays(tally: EffectiveTally, killed: float) -> float:
    """Chance that what was counted is still there and alive: 0 where removed."""
    return {"removed": 0.0, "killed": 1 - killed}.get(tally.kind, 1.0)


def _seconds(look: EffectiveLook, reading: Reading) -> float:
    reference = reading.reference_seconds(look.zone)
    within_pot = look.zone == ROOTS and not (look.unpotted or reading.body.clear_pot)
    if reference is None or within_pot or reading.is_doubtful(look.zone):
        return 0.0
    return credited_seconds(look, reference, reading.parameters.inspection)


def _times(look: EffectiveLook, seconds: float, reading: Reading) -> Values:
    codes = reading.zone_codes
    times = np.zeros((2, len(codes)))
    reference = reading.reference_seconds(look.zone)
    if reference is not None:
        times[OUT_OF_POT if look.zone == ROOTS else OUTSIDE, codes.index(look.zone)] = (
            seconds / reference
        )
        return times
    # Found in a zone the plant does not have: it was somewhere, so all of it was looked at.
    outside = [number for number, code in enumerate(codes) if code != ROOTS]
    times[OUTSIDE, outside] = seconds / sum(z.reference_seconds for z in reading.body.outside)
    return times
