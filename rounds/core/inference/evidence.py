"""From what was entered about a plant to what the inference reads."""

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from rounds.core.biology.day import Day
from rounds.core.biology.process import Process, make_process
from rounds.core.body import ZoneReference
from rounds.core.inference.facts import Division, PlantFacts, Refit, Treated, begins_on
from rounds.core.inference.observed import Log, LoggedDay, Look, Start
from rounds.core.inference.passes import Pass, Reading, passes_of_day
from rounds.core.inference.prior import one_at_least
from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import Infestation, Kills, Parameters
from rounds.core.quarantine.days import days_looked, open_doubts

ONE_DAY = timedelta(days=1)
READ_LATELY = 64
"""plants whose entries are held as they were read"""


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """The log as the inference reads it, in the types of `process`, from `begins` on."""

    process: Process
    begins: date
    log: Log


Passed = Pass | Division | Treated


@dataclass(frozen=True, slots=True, eq=False)
class _DayEntered:
    """One day as it was entered, whatever is assumed of the insects."""

    range_c: tuple[float, float] | None
    """of the day before, degC; None on the first"""
    usual: float
    """mean number that comes from nowhere in particular since the day before"""
    sent: float
    """and from neighbours"""
    passed: tuple["Passed", ...]
    """in order"""


@dataclass(frozen=True, eq=False)
class Entered:
    """What was entered about a plant up to the end of `on`, read once for all refits."""

    facts: PlantFacts
    on: date
    parameters: Parameters
    zones: tuple[ZoneReference, ...]
    begins: date
    days: tuple[_DayEntered, ...]

    @cached_property
    def as_it_is(self) -> Evidence:
        """The log without any refit."""
        return self._read(Refit())

    def under(self, refit: Refit | None) -> Evidence:
        """The log as the inference reads it under other rates."""
        return self.as_it_is if refit is None or refit == Refit() else self._read(refit)

    def _read(self, refit: Refit) -> Evidence:
        facts, infestation = self.facts, self.parameters.infestation
        process = make_process(
            self.zones, self.parameters, facts.pest, refit.detection, refit.exchange, refit.tucked
        )
        steps, looks = self._steps(refit, process), self._looks(refit, process)
        days = tuple(
            LoggedDay(step, refit.arrivals * day.usual + day.sent, seen)
            for day, step, seen in zip(self.days, steps, looks, strict=True)
        )
        start = _start(facts, self.begins, process, infestation).supposing(refit.infested)
        return Evidence(process, self.begins, Log(start, process.arrival, days))

    def _steps(self, refit: Refit, process: Process) -> tuple[Day | None, ...]:
        """The days lived through: refits of what is seen alone share them."""
        lived = refit.exchange, refit.tucked
        if lived not in self._steps_lived:
            self._steps_lived[lived] = tuple(
                None if day.range_c is None else process.day(*day.range_c) for day in self.days
            )
        return self._steps_lived[lived]

    def _looks(self, refit: Refit, process: Process) -> tuple[tuple[Look, ...], ...]:
        """The looks of each day: where insects go moves none of them, so that refits share them."""
        if refit.detection not in self._looks_seen:
            infestation = self.parameters.infestation
            self._looks_seen[refit.detection] = tuple(
                tuple(_look(passed, process, infestation) for passed in day.passed)
                for day in self.days
            )
        return self._looks_seen[refit.detection]

    @cached_property
    def _steps_lived(self) -> dict[tuple[float, float], tuple[Day | None, ...]]:
        return {}

    @cached_property
    def _looks_seen(self) -> dict[float, tuple[tuple[Look, ...], ...]]:
        return {}


def gather(
    facts: PlantFacts, on: date, parameters: Parameters, refit: Refit | None = None
) -> Evidence:
    """The log of a plant up to the end of `on`, day by day, as the inference reads it.

    Args:
        facts: of the plant, for one pest.
        on: the day spoken about; not before its first day.
        parameters: the table.
        refit: other rates, for a band.
    """
    return _entered(facts, on, parameters).under(refit)


_lately: deque[Entered] = deque(maxlen=READ_LATELY)


def _entered(facts: PlantFacts, on: date, parameters: Parameters) -> Entered:
    """Read, or found among those read lately: figure, band and forecast ask one after another."""
    for known in tuple(_lately):
        # of the very same facts, which are frozen: comparing their looks would take as long
        if known.facts is facts and known.parameters is parameters and known.on == on:
            return known
    found = _read_entries(facts, on, parameters)
    _lately.append(found)
    return found


def _read_entries(facts: PlantFacts, on: date, parameters: Parameters) -> Entered:
    zones = facts.body_on(on).zones
    by_day = _looks_by_day(facts, on)
    doubts = open_doubts(facts.looks, facts.pest)
    begins = begins_on(
        _found_on(facts, on, parameters), facts.first_day, on, parameters.infestation
    )
    codes = tuple(zone.zone for zone in zones)
    days = []
    for number in range((on - begins).days + 1):
        day = begins + timedelta(days=number)
        reading = Reading(codes, facts.body_on(day), facts.pest, parameters, day, doubts)
        passed = tuple(_all_of_day(facts, by_day.get(day, ()), reading))
        if number:
            usual, sent = _arrivals(facts, day, parameters.infestation)
            days.append(_DayEntered(facts.range_c(day - ONE_DAY), usual, sent, passed))
        else:
            days.append(_DayEntered(None, 0.0, 0.0, passed))
    return Entered(facts, on, parameters, zones, begins, tuple(days))


def _found_on(facts: PlantFacts, on: date, parameters: Parameters) -> list[date]:
    live = days_looked(facts.looks, facts.body_on, facts.pest, parameters.inspection)
    found_on = [looked.day for looked in live if looked.live and looked.day <= on]
    return [facts.first_day, *found_on] if facts.insects_seen else found_on


def _start(facts: PlantFacts, begins: date, process: Process, infestation: Infestation) -> Start:
    as_arrived = facts.arrived and begins == facts.first_day
    supposed = infestation.priors["arrival" if as_arrived else "established"]
    mean, chance = supposed.mean * process.start_mean, supposed.chance
    if facts.insects_seen and begins == facts.first_day:
        return one_at_least(mean, supposed.shape)
    if as_arrived and facts.chance_infested is not None:
        chance = facts.chance_infested
    return Start(chance, mean, supposed.shape)


def _looks_by_day(facts: PlantFacts, on: date) -> dict[date, list[EffectiveLook]]:
    by_day: dict[date, list[EffectiveLook]] = {}
    for look in facts.looks:
        if look.day <= on:
            by_day.setdefault(look.day, []).append(look)
    return by_day


def _arrivals(facts: PlantFacts, day: date, infestation: Infestation) -> tuple[float, float]:
    usual = infestation.arrivals_apart if facts.apart(day) else infestation.arrivals_collection
    return usual, facts.neighbours.get(day, 0.0)


def _all_of_day(
    facts: PlantFacts, looks: Sequence[EffectiveLook], reading: Reading
) -> Iterable[Passed]:
    """The passes of a day in order, with the divisions among them; then what was used."""
    rest = list(looks)
    for division in facts.divisions:
        if division.day == reading.day:
            known = division.earlier
            before = [look for look in rest if known is None or look.id in known]
            yield from passes_of_day(before, reading)
            yield division
            rest = [look for look in rest if look not in before]
    yield from passes_of_day(rest, reading)
    yield from (treated for treated in facts.treated if treated.day == reading.day)


def _look(passed: Passed, process: Process, infestation: Infestation) -> Look:
    """A pass; of a division, and of a treatment, a look that only kills."""
    if isinstance(passed, Treated):
        return killing(process, passed.kills)
    if isinstance(passed, Division):
        size = process.size
        return Look(np.ones(size), kills=np.full(size, 1 - passed.share))
    return passed.read(process, infestation.sac_gone)


def killing(process: Process, kills: Kills) -> Look:
    """A treatment: a look that shows nothing and kills."""
    return Look(np.ones(process.size), kills=process.killed(kills))
