"""What a plant may cost if it is not looked at: the insect-days its insects would still cause."""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from rounds.core.biology.day import Values, mean_matrix
from rounds.core.biology.process import IN_REACH, Process
from rounds.core.parameters import Risk
from rounds.core.plan.score import Neighbour, Part, PlantRisk, Word

LAYING, YOUNG, EGGS, NEIGHBOURS = "laying-adults", "young", "eggs", "neighbours"
EGG, LAYING_ADULT = "egg", "A"


def insect_days(process: Process, celsius: float, days: int) -> Values:
    """(T,): insect-days expected on the next days from one insect, by its stage.

    Eggs count; nothing is looked for and nothing arrives. Sub-stages of a stage are taken evenly.
    """
    return _insect_days(process, celsius, days)


def harm_in_reach(process: Process, mean: Values, celsius: float, days: int) -> Values:
    """(Z, K): insect-days on the next days from what is in reach, by zone and stage.

    Args:
        process: of the plant.
        mean: (T,) expected number left now.
        celsius: mean temperature of its place, lately.
        days: looked ahead.
    """
    caused = mean * insect_days(process, celsius, days) * process.of_reach(IN_REACH)
    by_zone = caused.reshape(len(process.zones), process.sub_stages, 2).sum(axis=2)
    of_stage = process.stage_of[:, None] == np.arange(len(process.stages))
    return np.asarray(by_zone @ of_stage)


def crawlers_leaving(process: Process, mean: Values, celsius: float, days: int) -> float:
    """Crawlers expected to leave the plant on the next days.

    Args:
        process: of the plant.
        mean: (T,) expected number left now.
        celsius: mean temperature.
        days: until it is looked at again.
    """
    return float(mean @ _leaving(process, celsius, days))


def plant_risk(
    process: Process,
    mean: Values,
    celsius: float,
    risk: Risk,
    value: float = 1.0,
    neighbours: Sequence[Neighbour] = (),
    days_until_look: int = 1,
) -> PlantRisk:
    """The risk of leaving a plant alone.

    Args:
        process: of the plant.
        mean: (T,) expected number left now.
        celsius: mean temperature of its place, lately.
        risk: days looked ahead, and from which scores on the words hold.
        value: what the grower says the plant is worth.
        neighbours: plants it may infest.
        days_until_look: for how long it may.
    """
    ahead = insect_days(process, celsius, risk.days_ahead)
    leaving = crawlers_leaving(process, mean, celsius, days_until_look)
    of_eggs, of_laying = process.of_stages((EGG,)), process.of_stages((LAYING_ADULT,))
    caused = value * mean * ahead
    harm = {
        LAYING: float(caused @ of_laying),
        YOUNG: float(caused @ (1 - of_eggs - of_laying)),
        EGGS: float(caused @ of_eggs),
        NEIGHBOURS: leaving * sum(n.share * n.value for n in neighbours),
    }
    of_one_adult = float(ahead[of_laying > 0][0])
    scale = 100 / (sum(harm.values()) + of_one_adult)
    parts = sorted((Part(code, scale * h) for code, h in harm.items()), key=lambda p: -p.value)
    score = scale * sum(harm.values())
    return PlantRisk(score, risk_word(score, risk), tuple(parts))


def risk_word(score: float, risk: Risk) -> Word:
    """What a score asks for."""
    if score >= risk.look_first_from:
        return "look first"
    return "today" if score >= risk.today_from else "can wait"


@lru_cache(maxsize=256)
def _insect_days(process: Process, celsius: float, days: int) -> Values:
    means = mean_matrix(process.day(celsius, celsius))
    alive = np.ones(process.size)
    total = np.zeros(process.size)
    for _ in range(days):
        alive = means @ alive
        total += alive
    return _evenly(process, total)


@lru_cache(maxsize=1024)
def _leaving(process: Process, celsius: float, days: int) -> Values:
    means = mean_matrix(process.day(celsius, celsius))
    on_a_day = process.leaving(celsius, celsius)
    total = np.zeros(process.size)
    for _ in range(days):
        total = on_a_day + means @ total
    return total


def _evenly(process: Process, by_type: Values) -> Values:
    """Each stage's mean over its sub-stages, zone by zone and reach by reach."""
    shaped = by_type.reshape(len(process.zones), process.sub_stages, 2)
    even = np.empty_like(shaped)
    for stage in range(len(process.stages)):
        here = process.stage_of == stage
        even[:, here] = shaped[:, here].mean(axis=1, keepdims=True)
    return even.reshape(-1)
