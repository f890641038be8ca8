"""The chance clean on days to come, if looks go on as they have and stay clean."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from statistics import median

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.body import ROOTS
from rounds.core.inference.ahead import DaysAhead
from rounds.core.inference.evidence import Evidence, gather
from rounds.core.inference.facts import PlantFacts, Refit
from rounds.core.inference.levels import Looks, settle
from rounds.core.inference.observed import LoggedDay, Look
from rounds.core.inference.passes import OUT_OF_POT, OUTSIDE
from rounds.core.parameters import Parameters
from rounds.core.quarantine.days import DayLooked, credited_seconds
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
    ) -> None:
        self._on, self._levels, self._in_steps = on, levels, in_steps
        self._evidence = gather(facts, on, parameters, refit)
        self._to_come = {looked.day: looked for looked in to_come if looked.day > on}
        self._times = usual_times(facts, on, parameters, self._evidence, past)
        process = self._evidence.process
        self._today, self._later = process.day(*facts.range_c(on)), process.day(mean_c, mean_c)
        apart = facts.apart(on)
        infestation = parameters.infestation
        self._arrivals = infestation.arrivals_apart if apart else infestation.arrivals_collection
        days = {(day - on).days: looked for day, looked in self._to_come.items()}
        roots = sorted(number for number, looked in days.items() if looked.roots_seen)
        self._looks = Looks(days.__contains__, roots)
        self._days = DaysAhead(self._evidence.log, self._day, LIMIT_DAYS)

    def __call__(self, day: date) -> float:
        """The chance clean at the end of a day, not before the last day known.

        Raises:
            ImpossibleEntry: something was entered that cannot happen.
            NotWorkedOut: it takes longer, and is to be done in steps.
        """
        number = (day - self._on).days
        if not self._is_told(number):
            steps = self._steps(number)
            if self._in_steps:
                raise NotWorkedOut(steps)
            for _ in steps:
                pass
        return self._days.bounds(number)[0]

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
        looked = self._to_come.get(self._on + timedelta(days=number))
        times = np.zeros_like(self._times)
        if looked is not None and looked.complete:
            times = self._times.copy()
        if looked is not None and looked.roots_seen:
            times[OUT_OF_POT, self._evidence.process.zone_codes.index(ROOTS)] = 1.0
        unseen = self._evidence.process.unseen(times)
        step = self._today if number == 1 else self._later
        return LoggedDay(step, self._arrivals, (Look(unseen),))


def usual_times(
    facts: PlantFacts,
    on: date,
    parameters: Parameters,
    evidence: Evidence,
    past: Sequence[DayLooked],
) -> Values:
    """(2, Z): reference seconds a complete look usually gives each zone outside.

    The median of the last few complete looks; once the reference seconds where there are none.
    """
    days = [looked.day for looked in past if looked.complete and looked.day <= on][-USUAL_LOOKS:]
    codes = evidence.process.zone_codes
    times = np.zeros((2, len(codes)))
    for number, zone in enumerate(codes):
        if zone != ROOTS:
            times[OUTSIDE, number] = _usual(facts, days, zone, parameters)
    return times


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
