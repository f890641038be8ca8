"""Logs with finds from whole insects, what the sums say of each, and what was true."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rounds.core.inference.answer import chance_clean
from rounds.core.inference.evidence import gather

from .colonies import Season, infested_plant, look_over, pass_day
from .logs import PARAMETERS, facts, on, tally, whole

LAST_DAY = 35
INTERVALS = (1, 2, 3, 7)
PLACES_C = (18.0, 22.0, 25.0)


@dataclass(frozen=True)
class Judged:
    """The chance clean of each log on its day, and whether its plant was clean."""

    chance: NDArray[np.float64]
    clean: NDArray[np.float64]


def judged(logs: int, seed: int, budget: int) -> Judged:
    """So many logs with at least one find, each on a day drawn at random."""
    rng = np.random.default_rng(seed)
    chances: list[float] = []
    clean: list[bool] = []
    while len(chances) < logs:
        found = _one(rng, budget)
        if found is not None:
            chances.append(found[0])
            clean.append(found[1])
    return Judged(np.array(chances), np.array(clean, dtype=float))


def mean_z(of: Judged) -> float:
    """Sum of truth less chance, in standard errors."""
    error = np.sqrt((of.chance * (1 - of.chance)).sum())
    return float((of.clean - of.chance).sum() / error)


def spiegelhalter_z(of: Judged) -> float:
    """Whether chances are too bold or too timid. Spiegelhalter 1986, Stat Med 5:421-433."""
    p, y = of.chance, of.clean
    bold = 1 - 2 * p
    return float(((y - p) * bold).sum() / np.sqrt((bold**2 * p * (1 - p)).sum()))


def _one(rng: np.random.Generator, budget: int) -> tuple[float, bool] | None:
    day = int(rng.integers(0, LAST_DAY + 1))
    every, celsius = int(rng.choice(INTERVALS)), float(rng.choice(PLACES_C))
    season = Season(day, every, celsius, PARAMETERS.infestation.arrivals_apart)
    colony, looks, any_found = infested_plant(rng), [], False
    for date in range(day + 1):
        if date:
            pass_day(colony, season, rng)
        if date % every == 0:
            found = look_over(colony)
            any_found |= bool(found)
            looks += whole(date, {zone: [tally(k)] for zone, k in found.items()})
    if not any_found:
        return None
    log = gather(facts(looks, celsius=celsius), on(day), PARAMETERS).log
    return chance_clean(log, budget), not len(colony.types)
