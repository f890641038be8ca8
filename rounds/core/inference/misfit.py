"""Whether the finds of a plant are such as the model foretold: too many, too few, too clumped.

Each day with looks is bet on, at the odds the model itself gives: whoever believes that too little
is foretold puts z ** k on k finds, over what the model expects of that. Under the model the capital
is a martingale that begins at 1, so that it ever reaches 1 / a with chance a at most, however often
one asks (Ville 1939, Etude critique de la notion de collectif; both sources from memory: Shafer
2021, J R Stat Soc A 184:407-431). No draw by lot, and no normal approximation.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import exp, log
from typing import Literal

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.foretold import TOLD_APART, DayForetold

Kind = Literal["too-many", "too-few", "too-clumped"]
ODDS = (1.5, 3.0)
"""times as many, or a fraction of as many, on which is put: a little off, and far off"""

NUMBERS = np.arange(TOLD_APART + 1)
Stake = Callable[[Values], Values]
"""from the chances of the numbers of finds to what is put on each, of mean 1 under these"""


@dataclass(frozen=True, slots=True)
class FitRules:
    """When the finds of a plant are said not to fit."""

    times: float
    """that the whole has grown, where a day lies in a tail of `tail` at most"""
    tail: float
    times_alone: float
    """that it has grown, whatever the days: under the model it ever has in one of so many plants
    at most"""


@dataclass(frozen=True, slots=True)
class Capital:
    """Logarithms of what each belief had won; 0 at the beginning."""

    of: dict[Kind, float]

    @property
    def whole(self) -> float:
        """Of a third put on each: its chance to reach 1 / a under the model is a at most."""
        return _log_mean(self.of.values())

    @property
    def best(self) -> Kind:
        """The belief that won most."""
        return max(self.of, key=lambda kind: self.of[kind])


def capitals(days: Iterable[DayForetold]) -> Iterator[Capital]:
    """What the three beliefs have won after each of some days, and before the first."""
    won = {kind: [0.0] * len(ODDS) for kind in STAKES}
    yield _capital(won)
    for day in days:
        chances = np.array(day.chances)
        for kind, stakes in STAKES.items():
            for at, stake in enumerate(stakes):
                won[kind][at] += log(float(stake(chances)[day.found]))
        yield _capital(won)


def greatest(days: Iterable[DayForetold]) -> Capital:
    """The capital on the day on which the whole was greatest.

    That it is ever so great is what is bounded; and what was told on that day is not untold by
    days on which less was left to be found.
    """
    return max(capitals(days), key=lambda capital: capital.whole)


def _capital(won: Mapping[Kind, list[float]]) -> Capital:
    return Capital({kind: _log_mean(logs) for kind, logs in won.items()})


def least_tail(days: Iterable[DayForetold]) -> float:
    """How far out the farthest of some days lies; 1 without any.

    Of each day: the chance that the log before it gave to as many finds as there were or more, or
    to as few or fewer, whichever is less: a two-sided tail of the posterior prediction.
    """
    least = 1.0
    for day in days:
        as_many, as_few = sum(day.chances[day.found :]), sum(day.chances[: day.found + 1])
        least = min(least, as_many, as_few)
    return least


def misfit(won: Capital, tail: float, rules: FitRules) -> Kind | None:
    """How the finds of a plant do not fit; None where the model may well hold.

    Said where the whole grew greatly; where it grew less, only with a day far out besides. Bets
    alone are won on the first find of a plant long clean, which is rare and proves little.

    Args:
        won: by the beliefs.
        tail: the least of its days.
        rules: how great and how far out is asked for.
    """
    is_far = won.whole >= log(rules.times) and tail <= rules.tail
    return won.best if is_far or won.whole >= log(rules.times_alone) else None


def collection_misfit(plants: Iterable[Mapping[str, float]], times: float) -> str | None:
    """The assumption under which all finds of a collection are far likelier; None without one.

    What is put on each assumption grows by how much likelier it makes the log of each plant. Under
    the model the mean of all is 1 / a or more with chance a at most, as its mean is 1 (Markov).

    Args:
        plants: of each, by code of what is assumed otherwise, the logarithm of how much likelier.
        times: that the mean has grown once it is said.
    """
    total: dict[str, float] = {}
    for of_plant in plants:
        for code, logarithm in of_plant.items():
            total[code] = total.get(code, 0.0) + logarithm
    if not total or _log_mean(total.values()) < log(times):
        return None
    return max(total, key=lambda code: total[code])


def _tilted(odds: float) -> Stake:
    """On so many times as many finds as are foretold."""
    weights: Values = np.asarray(odds**NUMBERS, dtype=float)
    return lambda chances: np.asarray(weights / float(chances @ weights))


def _both_ways(odds: float) -> Stake:
    """On far more and far fewer by turns, half on each, day by day."""
    more, fewer = _tilted(odds), _tilted(1 / odds)
    return lambda chances: np.asarray((more(chances) + fewer(chances)) / 2)


STAKES: Mapping[Kind, tuple[Stake, ...]] = {
    "too-many": tuple(_tilted(odds) for odds in ODDS),
    "too-few": tuple(_tilted(1 / odds) for odds in ODDS),
    "too-clumped": tuple(_both_ways(odds) for odds in ODDS),
}


def _log_mean(logs: Iterable[float]) -> float:
    values = list(logs)
    most = max(values)
    return most + log(sum(exp(value - most) for value in values) / len(values))
