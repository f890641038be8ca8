"""What a plant may cost if it is not looked at: the insect-days its insects would still cause."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from rounds.core.biology.day import Values, mean_matrix
from rounds.core.biology.process import IN_REACH, Process
from rounds.core.biology.stages import EGG
from rounds.core.biology.stages import LAYING as LAYING_ADULT
from rounds.core.parameters import Risk
from rounds.core.plan.score import Neighbour, Part, PlantRisk, Word

LAYING, YOUNG, EGGS, NEIGHBOURS = "laying-adults", "young", "eggs", "neighbours"


def insect_days(process: Process, celsius: float, days: int) -> Values:
    """(T,): insect-days expected on the next days from one insect, by its stage.

    Eggs count; nothing is looked for and nothing arrives. Sub-stages of a stage are averaged.
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
    return _by_zone_and_stage(process, mean * insect_days(process, celsius, days))


def number_in_reach(process: Process, mean: Values) -> Values:
    """(Z, K): expected number in reach, by zone and stage, of (T,) expected to be left."""
    return _by_zone_and_stage(process, mean)


def _by_zone_and_stage(process: Process, by_type: Values) -> Values:
    in_reach = by_type * process.of_reach(IN_REACH)
    by_zone = in_reach.reshape(len(process.zones), process.sub_stages, 2).sum(axis=2)
    of_stage = process.stage_of[:, None] == np.arange(len(process.stages))
    return np.asarray(by_zone @ of_stage)


@dataclass(frozen=True, slots=True, eq=False)
class Harm:
    """What leaving one insect of each type alone may cost, by part: insect-days, and crawlers."""

    by_part: Mapping[str, Values]
    """(T,) by code"""
    one_adult: float
    """insect-days of one laying adult, what a score is told against"""

    @property
    def of_one(self) -> Values:
        """(T,): all parts together."""
        return np.asarray(sum(self.by_part.values()))

    @property
    def counted(self) -> Values:
        """(2, T): weights of an insect of each type: 1, and what it may cost."""
        return np.stack([np.ones_like(self.of_one), self.of_one])

    def score(self, harm: float) -> float:
        """The score, 0 to 100, of the harm that all insects left may cause."""
        return 100 * harm / (harm + self.one_adult)


def harm_of_one(
    process: Process,
    celsius: float,
    risk: Risk,
    value: float = 1.0,
    neighbours: Sequence[Neighbour] = (),
    days_until_look: int = 1,
) -> Harm:
    """The harm that one insect of each type left on a plant may cause.

    Args:
        process: of the plant.
        celsius: mean temperature of its place, lately.
        risk: days looked ahead.
        value: what the grower says the plant is worth.
        neighbours: plants it may infest.
        days_until_look: for how long it may.
    """
    ahead = insect_days(process, celsius, risk.days_ahead)
    leaving = _leaving(process, celsius, days_until_look)
    of_eggs, of_laying = process.of_stages((EGG,)), process.of_stages((LAYING_ADULT,))
    return Harm(
        by_part={
            LAYING: value * ahead * of_laying,
            YOUNG: value * ahead * (1 - of_eggs - of_laying),
            EGGS: value * ahead * of_eggs,
            NEIGHBOURS: leaving * sum(n.share * n.value for n in neighbours),
        },
        one_adult=float(ahead[of_laying > 0][0]),
    )


def plant_risk(harm: Harm, mean: Values, risk: Risk) -> PlantRisk:
    """The risk of leaving a plant alone.

    Args:
        harm: of one insect of each type.
        mean: (T,) expected number left now.
        risk: from which scores on the words hold.
    """
    by_part = {code: float(weights @ mean) for code, weights in harm.by_part.items()}
    whole = sum(by_part.values())
    scale = 100 / (whole + harm.one_adult)
    parts = sorted((Part(code, scale * h) for code, h in by_part.items()), key=lambda p: -p.value)
    return PlantRisk(scale * whole, risk_word(scale * whole, risk), tuple(parts))


def risk_word(score: float, risk: Risk) -> Word:
    """The word for a score: look first, today, or can wait."""
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
    """(T,): each value replaced by the mean over the sub-stages of its stage, zone and reach."""
    shaped = by_type.reshape(len(process.zones), process.sub_stages, 2)
    even = np.empty_like(shaped)
    for stage in range(len(process.stages)):
        here = process.stage_of == stage
        even[:, here] = shaped[:, here].mean(axis=1, keepdims=True)
    return even.reshape(-1)
