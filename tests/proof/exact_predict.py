"""What the package says of a log of the proofs: predictors for `tests.proof.calibrate`.

    python -m tests.proof.calibrate --predict tests.proof.exact_predict:exact

The record is handed over as a grower would have entered it, so that all from there on is tried:
seconds credited, evidence, sums. Only the record is shared.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import count

from rounds.core.biology.process import Process
from rounds.core.body import make_body
from rounds.core.inference.answer import LIVE_BUDGET, Answer, answer, chance_clean
from rounds.core.inference.band import BAND_BUDGET
from rounds.core.inference.evidence import Evidence, gather
from rounds.core.inference.facts import PlantFacts, Treated
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.parameters import Kills, Parameters
from rounds.service.logbook.parameters import load_parameters
from tests.proof.records import DayLooks, Find, PlantLog, ZoneLook

PARAMETERS = load_parameters()
BODY = make_body("leafy-plant", "medium", False, PARAMETERS)
PEST = "mealybug"
FIRST = date(2025, 3, 1)
FAR_BEYOND = 10**9
"""coefficients: no log is pooled"""


def exact(log: PlantLog) -> float:
    """The chance clean, every find with a variable of its own."""
    return chance_clean(evidence(log).log, FAR_BEYOND)


def pooled(log: PlantLog) -> float:
    """The chance clean within the budget of a band and of a refit."""
    return chance_clean(evidence(log).log, BAND_BUDGET)


def live(log: PlantLog) -> float:
    """The chance clean within the budget of a key."""
    return chance_clean(evidence(log).log, LIVE_BUDGET)


def left(log: PlantLog) -> tuple[Answer, Process]:
    """All the package says, and the process whose types it speaks of."""
    of = evidence(log)
    return answer(of.log, FAR_BEYOND, with_interval=False), of.process


def evidence(log: PlantLog, parameters: Parameters = PARAMETERS) -> Evidence:
    """The record as entries of a newly arrived plant of the proofs' size, and what they say."""
    found = gather(facts_of(log, parameters), day_of(log.last_day), parameters)
    mean = log.start.mean * found.process.start_mean
    start = replace(found.log.start, infested=log.start.infested, mean=mean, shape=log.start.shape)
    return replace(found, log=replace(found.log, start=start))


def facts_of(log: PlantLog, parameters: Parameters = PARAMETERS) -> PlantFacts:
    """The record as entries of a newly arrived plant of the proofs' size."""
    usual = parameters.infestation.arrivals_apart
    days = [day_of(number) for number in range(1, log.last_day + 1)]
    return PlantFacts(
        looks=tuple(entered(log)),
        body_on=lambda _: BODY,
        range_c=lambda day: log.temperatures[(day - FIRST).days],
        apart=lambda _: True,
        first_day=FIRST,
        arrived=True,
        pest=PEST,
        treated=tuple(treated(log)),
        neighbours=dict.fromkeys(days, log.arrivals - usual) if log.arrivals != usual else {},
    )


def day_of(number: int) -> date:
    """The date of a day of the record."""
    return FIRST + timedelta(days=number)


def entered(log: PlantLog) -> Iterator[EffectiveLook]:
    """The looks as entries; the seconds a find takes are on top of those credited."""
    number = count(1)
    for looks in log.days:
        for look in looks.looks:
            tallies = tuple(_tally(next(number), find) for find in look.finds if find.count)
            spent = look.found * PARAMETERS.inspection.seconds_per_find
            yield _look(next(number), looks, look, look.seconds + spent, tallies)


def treated(log: PlantLog) -> Iterator[Treated]:
    """The treatments as a course enters them."""
    for looks in log.days:
        for used in looks.treatments:
            kills = Kills(used.in_reach, used.eggs_in_reach, used.tucked, used.in_pot)
            yield Treated(day_of(looks.day), kills)


def _look(
    number: int, of: DayLooks, look: ZoneLook, seconds: float, tallies: tuple[EffectiveTally, ...]
) -> EffectiveLook:
    return EffectiveLook(
        number, day_of(of.day), look.zone, 1, 0, seconds, "looked", None, look.unpotted, False,
        tallies,
    )  # fmt: skip


def _tally(number: int, find: Find) -> EffectiveTally:
    stage = None if find.group == "unknown" else find.group
    return EffectiveTally(number, find.done, stage, PEST, find.count, 0, None)
