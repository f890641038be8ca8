"""Very many left: two moments in place of one number after the other."""

import numpy as np
import pytest

from rounds.core.inference.answer import answer, joint, joint_of, left_interval, left_of_clean
from rounds.core.inference.backward import prepare
from rounds.core.inference.left import interval, means

from .asked import left_distribution
from .trials import plant_log

PLANT = (1.0, 30.0, 3.0)


def test_the_interval_from_two_moments_is_near_that_of_every_number() -> None:
    # found on two days, then not looked at: a colony of some hundreds
    log = plant_log(PLANT, 18, 20, {(1, 0): 2, (2, 1): 3}, every=99, looked_at=(0, 1))
    course = prepare(log, 64)
    mean, _ = means(course, joint_of(log, course).scale)
    chances = left_distribution(log, budget=64, missing=1e-4)
    assert mean.sum() == pytest.approx(float(chances @ np.arange(len(chances))), rel=1e-2)
    told_apart = interval(chances)
    rough = joint(log, 64).wide
    assert mean.sum() > 80
    assert told_apart.low < mean.sum() < told_apart.high
    assert rough.high == pytest.approx(told_apart.high, rel=0.15)
    assert rough.low == pytest.approx(told_apart.low, abs=0.15 * mean.sum())


def test_next_to_nobody_looked_at_has_an_interval_around_its_mean() -> None:
    log = plant_log(PLANT, 26, 120, {(1, 0): 4}, looked_at=())
    course = prepare(log, 64)
    mean, _ = means(course, joint_of(log, course).scale)
    assert mean.sum() > 10_000
    found = left_interval(log)
    assert found.low < mean.sum() < found.high


@pytest.mark.parametrize(
    ("start", "finds"),
    [
        ((0.4, 1.0, 0.7), {}),
        ((0.4, 1.0, 0.7), {(1, 0): 2, (4, 2): 1}),
        ((1.0, 3.0, 2.0), {(0, 0): 2, (3, 1): 1}),
    ],
)
def test_both_moments_are_those_of_the_whole_distribution(
    start: tuple[float, float, float], finds: dict[tuple[int, int], int]
) -> None:
    log = plant_log(start, 18, 9, finds, every=2)
    found = joint(log, 64).moments
    chances = left_distribution(log, budget=64, missing=1e-12)
    numbers = np.arange(len(chances))
    assert found.mean == pytest.approx(float(chances @ numbers), rel=1e-7)
    assert found.mean == pytest.approx(float(found.by_type.sum()), rel=1e-12)
    pairs = float(chances @ (numbers * (numbers - 1))) / 2
    assert found.pairs == pytest.approx(pairs, rel=1e-6)


@pytest.mark.parametrize(
    ("start", "last", "every"),
    [
        # 1 to 30, 0 to 9 left; one that takes 128 points; a colony of which two moments are told
        ((0.9, 6.0, 0.7), 3, 2),
        ((0.3, 3.0, 0.5), 20, 7),
        ((0.7, 30.0, 3.0), 12, 5),
        ((1.0, 60.0, 3.0), 40, 99),
    ],
)
def test_of_a_log_without_finds_one_run_tells_the_interval_that_three_do(
    start: tuple[float, float, float], last: int, every: int
) -> None:
    log = plant_log(start, 20, last, {}, every=every)
    whole = answer(log, with_interval=False)
    mean = float(whole.mean.sum())
    assert left_of_clean(log, whole.chance_clean, mean) == left_interval(log)
