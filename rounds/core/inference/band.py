"""How far the chance clean moves with the rates nobody has measured."""

from dataclasses import dataclass
from datetime import date

from rounds.core.inference.answer import chance_clean
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts, Refit
from rounds.core.parameters import Infestation, Parameters

BAND_BUDGET = 1024
"""coefficients of each of the refits"""


@dataclass(frozen=True, slots=True)
class Band:
    """The chance clean, and its least and greatest value over all refits."""

    value: float
    low: float
    high: float


def refits(infestation: Infestation) -> tuple[Refit, ...]:
    """The five refits: no change, then detection rates and exchange each lowered and raised."""
    low, high = infestation.band_low, infestation.band_high
    return (Refit(), Refit(low), Refit(high), Refit(exchange=low), Refit(exchange=high))


def band(facts: PlantFacts, on: date, parameters: Parameters, budget: int = BAND_BUDGET) -> Band:
    """The band of the chance clean at the end of `on`: five refits of the whole log.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
    """
    chances = [
        chance_clean(gather(facts, on, parameters, refit).log, budget)
        for refit in refits(parameters.infestation)
    ]
    return Band(chances[0], min(chances), max(chances))
