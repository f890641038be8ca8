"""How long a Poisson CUSUM runs until it signals.

To each count x it adds x - K, never falls below 0, and signals at H or above: Lucas 1985,
Technometrics 27:129-144. Its average run length is that of a Markov chain (Brook & Evans 1972,
Biometrika 59:539-549).
"""

import math
from fractions import Fraction

import numpy as np

MOST_STATES = 3000
"""of the chain; more take seconds"""


class TooFine(ValueError):
    """Reference value and limit share no step coarse enough for the chain."""


def average_run_length(
    mean: float, reference: float, limit: float, head_start: float = 0.0
) -> float:
    """Counts until a signal, on average; infinite where it never comes.

    Args:
        mean: of the counts; not negative.
        reference: K, above 0.
        limit: H, above 0; it signals at H or above.
        head_start: where the sum begins, from 0 to below the limit.

    Raises:
        TooFine: with more than `MOST_STATES` steps below the limit.
    """
    shares = [Fraction(str(value)) for value in (reference, limit, head_start)]
    step = Fraction(1, math.lcm(*(share.denominator for share in shares)))
    fall, most, begins = (int(share / step) for share in shares)
    if most > MOST_STATES:
        raise TooFine(most)
    one = int(1 / step)
    chances = _poisson(mean, (most + fall) // one + 1)
    moves = np.zeros((most, most))
    for count, chance in enumerate(chances):
        for state in range(most):
            after = max(0, state + count * one - fall)
            if after < most:
                moves[state, after] += chance
    stays = np.eye(most) - moves
    try:
        lengths = np.linalg.solve(stays, np.ones(most))
    except np.linalg.LinAlgError:
        return math.inf
    found = float(lengths[begins])
    return found if found >= 1 and math.isfinite(found) else math.inf


def _poisson(mean: float, number: int) -> list[float]:
    """The chances of 0, 1 ... number - 1."""
    if not mean:
        return [1.0] + [0.0] * (number - 1)
    return [math.exp(n * math.log(mean) - mean - math.lgamma(n + 1)) for n in range(number)]
