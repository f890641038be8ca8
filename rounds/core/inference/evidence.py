"""From what was entered about a plant to what the inference reads."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from rounds.core.biology.process import Process, make_process
from rounds.core.inference.facts import PlantFacts, Refit, begins_on
from rounds.core.inference.observed import Log, LoggedDay, Look, Start
from rounds.core.inference.passes import Reading, passes_of_day
from rounds.core.inference.prior import one_at_least
from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import Infestation, Parameters
from rounds.core.quarantine.days import days_looked, open_doubts

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """The log as the inference reads it, in the types of `process`, from `begins` on."""

    process: Process
    begins: date
    log: Log


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
    refit = refit or Refit()
    zones = facts.body_on(on).zones
    process = make_process(zones, parameters, facts.pest, refit.detection, refit.exchange)
    by_day = _looks_by_day(facts, on)
    doubts = open_doubts(facts.looks, facts.pest)
    live = days_looked(facts.looks, facts.body_on, facts.pest, parameters.inspection)
    found_on = [looked.day for looked in live if looked.live and looked.day <= on]
    if facts.insects_seen:
        found_on.insert(0, facts.first_day)
    begins = begins_on(found_on, facts.first_day, on, parameters.infestation)
    days = []
    for number in range((on - begins).days + 1):
        day = begins + timedelta(days=number)
        step = process.day(*facts.range_c(day - ONE_DAY)) if number else None
        arrivals = _arrivals(facts, day, parameters.infestation) if number else 0.0
        reading = Reading(process, facts.body_on(day), facts.pest, parameters, day, doubts)
        looks = _looks_and_divisions(facts, by_day.get(day, ()), reading)
        days.append(LoggedDay(step, arrivals, tuple(looks)))
    start = _start(facts, begins, process, parameters.infestation)
    return Evidence(process, begins, Log(start, process.arrival, tuple(days)))


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


def _arrivals(facts: PlantFacts, day: date, infestation: Infestation) -> float:
    usual = infestation.arrivals_apart if facts.apart(day) else infestation.arrivals_collection
    return usual + facts.neighbours.get(day, 0.0)


def _looks_and_divisions(
    facts: PlantFacts, looks: Sequence[EffectiveLook], reading: Reading
) -> Iterable[Look]:
    """The passes of a day in order; a division stands among them as a look that only kills."""
    size, rest = reading.process.size, list(looks)
    for division in facts.divisions:
        if division.day == reading.day:
            known = division.earlier
            before = [look for look in rest if known is None or look.id in known]
            yield from passes_of_day(before, reading)
            yield Look(np.ones(size), kills=np.full(size, 1 - division.share))
            rest = [look for look in rest if look not in before]
    yield from passes_of_day(rest, reading)
