"""Every number of insects written out, forwards, against the method that runs backwards."""

import math

import numpy as np
import pytest

from rounds.core.biology.day import Values, make_day
from rounds.core.inference.answer import answer
from rounds.core.inference.observed import Find, Log, LoggedDay, Look, Start

from .trials import tiny_day, tiny_log

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


@pytest.mark.parametrize(
    ("start", "hatch", "eggs", "nu", "found", "looks"),
    [
        ((0.4, (0.3, 0.2), 0.9), 0.3, 0.25, (0.0, 0.0), (0.3, 0.7), [[1], [0], [2], [0]]),
        ((1.0, (0.2, 0.3), 2.0), 0.3, 0.3, (0.0, 0.01), (0.2, 0.6),
         [[(1, 2)], [0], [(0, 1), (1, 0)], [0]]),
        ((0.1, (0.2, 0.1), 0.5), 0.2, 0.2, (0.02, 0.03), (0.3, 0.7), 
         [[0], [(1, 0)], [3], [0], [1]]),
    ],
)  # fmt: skip
def test_two_stages_with_eggs_and_arrivals(
    start: tuple[float, tuple[float, float], float],
    hatch: float,
    eggs: float,
    nu: tuple[float, float],
    found: tuple[float, float],
    looks: list[list[int | tuple[int, int]]],
) -> None:
    survival = (0.9, 0.85)
    joint = started(*start)
    for day, of_day in enumerate(looks):
        if day:
            joint = a_day(joint, survival, hatch, eggs, nu)
        for shown in of_day:
            joint = looked(joint, found, shown)
    got = answer(tiny_log(start, tiny_day(survival, hatch, eggs), nu, found, looks))
    chance = joint.sum()
    numbers = np.arange(MOST + 1)
    assert got.log_probability == pytest.approx(math.log(chance), abs=1e-9)
    assert got.chance_clean == pytest.approx(joint[0, 0] / chance, abs=1e-9)
    expected = [joint.sum(axis=1) @ numbers / chance, joint.sum(axis=0) @ numbers / chance]
    assert got.mean == pytest.approx(expected, abs=1e-8)


@pytest.mark.parametrize("stays", [0.05, 1.0])
@pytest.mark.parametrize("on_day", [0, 2])
def test_one_stage_four_days_killed_or_left(stays: float, on_day: int) -> None:
    """One stage, three found in all: the two found together are killed in place, or left there."""
    survival, found, mean, shape, infested = 0.9, 0.6, 1.0, 0.7, 0.4
    shown = {on_day: (2, stays), 1: (1, 0.0)}
    numbers = infested * gamma_poisson(mean, shape)
    numbers[0] += 1 - infested
    days = []
    none = np.array([], dtype=np.intp)
    same = make_day(np.array([[[survival]]]), np.zeros(1), np.ones(1), none, none, 0.0)
    for day in range(4):
        if day:
            numbers = sum((c * binomial(n, survival) for n, c in enumerate(numbers)), np.zeros(1))
        count, left = shown.get(day, (0, 0.0))
        after = np.zeros(MOST + 1)
        for n, chance in enumerate(numbers):
            if n >= count:
                still = binomial(count, left)
                for k in range(count + 1):
                    after[n - count + k] += chance * binomial(n, found)[count] * still[k]
        numbers = after
        chances = np.array([found])
        finds = (Find(chances, count, left, entry=day),) if count else ()
        days.append(LoggedDay(same if day else None, looks=(Look(1 - chances, finds),)))
    got = answer(Log(Start(infested, np.array([mean]), shape), np.ones(1), tuple(days)))
    assert got.log_probability == pytest.approx(math.log(numbers.sum()), abs=1e-9)
    assert got.chance_clean == pytest.approx(numbers[0] / numbers.sum(), abs=1e-9)
    assert got.mean[0] == pytest.approx(numbers @ np.arange(MOST + 1) / numbers.sum(), abs=1e-9)
