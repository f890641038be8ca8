"""Every number of insects written out, forwards, against the method that runs backwards."""

import math

import numpy as np
import pytest

from rounds.core.biology.day import make_day
from rounds.core.inference.answer import answer
from rounds.core.inference.observed import Find, Log, LoggedDay, Look, Start

from .enumeration import MOST, a_day, binomial, gamma_poisson, looked, started
from .trials import tiny_day, tiny_log


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
