"""Two stages, every number of insects written out, forwards: chances joint with what was shown."""

import math

import numpy as np

from rounds.core.biology.day import Values

MOST = 26
"""insects of a kind that are written out; more have less than 1e-12 in these logs"""


TOO_RARE = 1e-17


def binomial(n: int, chance: float) -> Values:
    spread = [math.comb(n, k) * chance**k * (1 - chance) ** (n - k) for k in range(n + 1)]
    return np.array([*spread, *[0.0] * (MOST - n)])


def poisson(mean: float) -> Values:
    return np.array([math.exp(-mean) * mean**n / math.factorial(n) for n in range(MOST + 1)])


def gamma_poisson(mean: float, shape: float) -> Values:
    log_odds = [
        math.lgamma(shape + n) - math.lgamma(shape) - math.lgamma(n + 1)
        + n * math.log(mean / (shape + mean)) + shape * math.log(shape / (shape + mean))
        for n in range(MOST + 1)
    ]  # fmt: skip
    return np.exp(log_odds)


def started(infested: float, mean: tuple[float, float], shape: float) -> Values:
    """(eggs, adults): a level shared by both."""
    both = gamma_poisson(sum(mean), shape)
    joint = np.zeros((MOST + 1, MOST + 1))
    for total in range(MOST + 1):
        spread = binomial(total, mean[0] / sum(mean))
        for eggs in range(total + 1):
            joint[eggs, total - eggs] = both[total] * spread[eggs]
    joint *= infested
    joint[0, 0] += 1 - infested
    return joint


def a_day(
    joint: Values, survival: tuple[float, float], hatch: float, eggs: float, nu: tuple[float, float]
) -> Values:
    result = np.zeros_like(joint)
    for (e, a), chance in np.ndenumerate(joint):
        if chance > TOO_RARE:
            result += chance * _one(e, a, survival, hatch, eggs)
    return _shifted(_shifted(result, poisson(nu[0]), 0), poisson(nu[1]), 1)


def _one(e: int, a: int, survival: tuple[float, float], hatch: float, eggs: float) -> Values:
    """Where e eggs and a adults end."""
    born = np.zeros((MOST + 1, MOST + 1))
    lived = binomial(a, survival[1])
    for adults in range(a + 1):
        born[:, adults] = lived[adults] * poisson(eggs * adults)
    grown = np.zeros((MOST + 1, MOST + 1))
    alive = binomial(e, survival[0])
    for left in range(e + 1):
        turned = binomial(left, hatch)
        for adults in range(left + 1):
            grown[left - adults, adults] += alive[left] * turned[adults]
    return _convolved(born, grown)


def _convolved(one: Values, other: Values) -> Values:
    result = np.zeros_like(one)
    for (e, a), chance in np.ndenumerate(other):
        if chance > TOO_RARE:
            result[e:, a:] += chance * one[: MOST + 1 - e, : MOST + 1 - a]
    return result


def _shifted(joint: Values, by: Values, axis: int) -> Values:
    added = np.zeros_like(joint)
    added[(slice(None), 0) if axis == 0 else (0, slice(None))] = by
    return _convolved(joint, added) if by[0] < 1 else joint


def looked(joint: Values, found: tuple[float, float], shown: int | tuple[int, int]) -> Values:
    result = np.zeros_like(joint)
    for (e, a), chance in np.ndenumerate(joint):
        if chance == 0:
            continue
        seen = np.outer(binomial(e, found[0])[: e + 1], binomial(a, found[1])[: a + 1])
        for (x, y), likely in np.ndenumerate(seen):
            if (x, y) == shown or x + y == shown:
                result[e - x, a - y] += chance * likely
    return result
