"""The chance clean on days to come, if looks go on as they have and stay clean."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from statistics import median

import numpy as np

from rounds.core.away import DAY
from rounds.core.biology.day import Values
from rounds.core.body import MEDIUM, ROOTS, Body
from rounds.core.inference.ahead import DaysAhead
from rounds.core.inference.evidence import Evidence, gather, killing
from rounds.core.inference.facts import PlantFacts, Refit, Treated
from rounds.core.inference.levels import Looks, settle
from rounds.core.inference.observed import LoggedDay, Look
from rounds.core.inference.passes import OUT_OF_POT, OUTSIDE
from rounds.core.parameters import Inspection, Parameters
from rounds.core.quarantine.days import DayLooked, credited_seconds, is_complete, is_long_enough
from rounds.core.quarantine.interval import USUAL_LOOKS
from rounds.core.quarantine.warmth import LIMIT_DAYS

AT_ONCE = 30
"""days worked out together where the chances themselves are asked for"""


class NotWorkedOut(Exception):
    """Raised for a day that takes long; iterating over `steps` works it out."""

    def __init__(self, steps: Iterator[None]) -> None:
        super().__init__("not worked out yet")
        self.steps = steps


class Outlook:
    """The chance clean by day from `on` on; each day is worked out when it is first asked for.

    Where levels are given, a call returns a lower bound that reaches the same levels as the chance.
    Days go as far ahead as a forecast looks.

    Args:
        facts: of the plant.
        on: the last day known.
        parameters: the table.
        to_come: days with looks after `on`, supposed to be clean.
        past: days looked up to `on`.
        mean_c: temperature of the days to come, degC.
        refit: other rates, for a band.
        levels: all that will be asked is whether the chance reaches them; none: the chance itself.
        in_steps: whether NotWorkedOut is raised for a day that takes long.
        today: what is still supposed on the day `on` itself, besides what was seen on it.
        times: how many times as long as usual the looks to come are.
        coming: crawlers from infested neighbours on the days to come, by day.
        treated: what courses under way will use; not before the first day that is supposed.
    """

    def __init__(
        self,
        facts: PlantFacts,
        on: date,
        parameters: Parameters,
        to_come: Sequence[DayLooked],
        past: Sequence[DayLooked],
        mean_c: float,
        refit: Refit | None = None,
        *,
        levels: Sequence[float] = (),
        in_steps: bool = False,
        today: DayLooked | None = None,
        times: float = 1.0,
        coming: Mapping[date, float] | None = None,
        treated: Sequence[Treated] = (),
    ) -> None:
        self._levels, self._in_steps = levels, in_steps
        self._evidence = gather(facts, on, parameters, refit)
        # what is still supposed on the last day known is a day of its own, without a step
        self._is_open = today is not None
        self._last = on - DAY if self._is_open else on
        self._supposed = {looked.day: looked for looked in to_come if looked.day > on}
        if today is not None:
            self._supposed[on] = today
        usual = usual_times(facts, on, parameters, self._evidence, past)
        self._times = np.minimum(times * usual, parameters.inspection.credited_at_most)
        self._coming = coming or {}
        process = self._evidence.process
        self._treated: dict[date, tuple[Look, ...]] = {}
        for used in treated:
            day = max(used.day, self._last + DAY)
            before = self._treated.get(day, ())
            self._treated[day] = (*before, killing(process, used.kills))
        self._today, self._later = process.day(*facts.range_c(on)), process.day(mean_c, mean_c)
        apart = facts.apart(on)
        infestation = parameters.infestation
        usual_arrivals = infestation.arrivals_apart if apart else infestation.arrivals_collection
        self._arrivals = (refit or Refit()).arrivals * usual_arrivals
        days = {self._number(day): looked for day, looked in self._supposed.items()}
        roots = sorted(number for number, looked in days.items() if looked.roots_seen)
        self._looks = Looks(days.__contains__, roots)
        self._days = DaysAhead(self._evidence.log, self._day, self._number(on) + LIMIT_DAYS)

    @property
    def is_exact(self) -> bool:
        """Whether no finds are taken together."""
        return self._days.is_exact

    def __call__(self, day: date) -> float:
        """The chance clean at the end of a day, not before the last day known.

        Raises:
            ImpossibleEntry: something was entered that cannot happen.
            NotWorkedOut: it takes longer, and is to be done in steps.
        """
        number = self._number(day)
        if not self._is_told(number):
            steps = self._steps(number)
            if self._in_steps:
                raise NotWorkedOut(steps)
            for _ in steps:
                pass
        return self._days.bounds(number)[0]

    def work_out(self, days: Iterable[date]) -> Iterator[None]:
        """Work out the chances themselves on some days, in short steps; those between stay open."""
        return self._days.work_out([self._number(day) for day in days])

    def _number(self, day: date) -> int:
        """Days ahead of the log, 0 being its end."""
        return (day - self._last).days

    def _is_told(self, number: int) -> bool:
        least, greatest = self._days.bounds(number)
        if self._levels:
            return not any(least < level <= greatest for level in self._levels)
        return least == greatest

    def _steps(self, number: int) -> Iterator[None]:
        if self._levels:
            return settle(self._days, number, self._levels, self._looks)
        return self._days.work_out(range(number, min(number + AT_ONCE, self._days.last + 1)))

    def _day(self, number: int) -> LoggedDay:
        day = self._last + timedelta(days=number)
        looked = self._supposed.get(day)
        times = np.zeros_like(self._times)
        if looked is not None and looked.complete:
            times = self._times.copy()
        if looked is not None and looked.roots_seen:
            times[OUT_OF_POT, self._evidence.process.zone_codes.index(ROOTS)] = 1.0
        unseen = self._evidence.process.unseen(times)
        looks = (Look(unseen), *self._treated.get(day, ()))
        if self._is_open and number == 1:
            return LoggedDay(None, 0.0, looks)
        step = self._today if number == 1 + self._is_open else self._later
        return LoggedDay(step, self._arrivals + self._coming.get(day, 0.0), looks)


def usual_times(
    facts: PlantFacts,
    on: date,
    parameters: Parameters,
    evidence: Evidence,
    past: Sequence[DayLooked],
) -> Values:
    """(2, Z): reference seconds a complete look usually gives each zone outside."""
    codes = evidence.process.zone_codes
    times = np.zeros((2, len(codes)))
    for zone, usual in usual_look(facts, on, parameters, past).items():
        times[OUTSIDE, codes.index(zone)] = usual
    return times


def usual_look(
    facts: PlantFacts, on: date, parameters: Parameters, past: Sequence[DayLooked]
) -> dict[str, float]:
    """Reference seconds a complete look usually gives each zone outside, by zone.

    The median of the last few complete looks. Where the medians together would be no complete look,
    the seconds of the newest one; once the reference seconds where there is none.
    """
    body = facts.body_on(on)
    days = [looked.day for looked in past if looked.complete and looked.day <= on][-USUAL_LOOKS:]
    for those in (days, days[-1:]):
        found = {z.zone: _usual(facts, those, z.zone, parameters) for z in body.outside}
        if is_complete(_seen(found, body, parameters.inspection), body, parameters.inspection):
            return found
    return {zone.zone: 1.0 for zone in body.outside}


def sees_medium(
    facts: PlantFacts,
    on: date,
    parameters: Parameters,
    past: Sequence[DayLooked],
    times: float = 1.0,
) -> bool:
    """Whether a look so many times as long as the usual one sees the medium's surface."""
    usual = usual_look(facts, on, parameters, past)
    found = {zone: times * seconds for zone, seconds in usual.items()}
    return MEDIUM in _seen(found, facts.body_on(on), parameters.inspection)


def least_times(
    facts: PlantFacts, on: date, parameters: Parameters, past: Sequence[DayLooked]
) -> float:
    """How many times as long as usual a look is, at least, that is complete."""
    body, inspection = facts.body_on(on), parameters.inspection
    usual = usual_look(facts, on, parameters, past)
    tried = sorted(inspection.seen_from / seconds for seconds in usual.values() if seconds)
    for times in tried:
        found = {zone: times * seconds for zone, seconds in usual.items()}
        if is_complete(_seen(found, body, inspection), body, inspection):
            return times
    return 1.0


def _seen(times: Mapping[str, float], body: Body, inspection: Inspection) -> frozenset[str]:
    """The zones that get enough to count as seen."""
    return frozenset(
        zone.zone
        for zone in body.outside
        if is_long_enough(
            times[zone.zone] * zone.reference_seconds, zone.reference_seconds, inspection
        )
    )


def _usual(facts: PlantFacts, days: Sequence[date], zone: str, parameters: Parameters) -> float:
    spent = []
    for day in days:
        reference = next(
            (z.reference_seconds for z in facts.body_on(day).zones if z.zone == zone), None
        )
        if reference is not None:
            looks = [look for look in facts.looks if look.day == day and look.zone == zone]
            seconds = sum(credited_seconds(k, reference, parameters.inspection) for k in looks)
            spent.append(seconds / reference)
    return float(median(spent)) if spent else 1.0
