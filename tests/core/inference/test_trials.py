"""Nine logs whose figures were confirmed by enumeration (1 to 3) or by whole insects (4 to 9).

No published source: trial processes, kept as data in `trials`.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from rounds.core.inference.answer import answer, chance_clean, left_interval
from rounds.core.inference.left import interval
from rounds.core.inference.observed import Log

from .asked import left_distribution
from .trials import by_zone, plant_log, tiny_day, tiny_log

SHOWN = 5e-7
"""the figures are given to six decimals"""


@dataclass(frozen=True)
class Trial:
    log: Log
    log_probability: float
    chance_clean: float
    mean: float


TINY = (0.4, (0.3, 0.2), 0.9)
PLANT = (0.3, 6.0, 0.8)
STEP = tiny_day((0.9, 0.85), 0.3, 0.25)

TRIALS = {
    1: Trial(
        tiny_log(TINY, STEP, (0, 0), (0.3, 0.7), [[1], [0], [2], [0]]),
        -8.179765, 0.856090, 0.161575,
    ),
    2: Trial(
        tiny_log(TINY, STEP, (0.02, 0.03), (0.3, 0.7), [[1, 1], [0], [0, 2], [1], [0]]),
        -14.135615, 0.916328, 0.089683,
    ),
    3: Trial(
        tiny_log(
            (1, (0.2, 0.3), 2), tiny_day((0.9, 0.85), 0.3, 0.3), (0, 0.01), (0.2, 0.6),
            [[(1, 2)], [0], [(0, 1), (1, 0)], [0], [0]],
        ),
        -12.678181, 0.890807, 0.121454,
    ),
    4: Trial(
        plant_log(PLANT, 22, 46, {(0, 0): 2, (0, 1): 1, (1, 1): 1}),
        -12.108796, 0.932238, 0.411038,
    ),
    5: Trial(
        plant_log(PLANT, 22, 41, {(0, 0): 1, (6, 2): 2, (7, 0): 1, (20, 4): 1}),
        -24.161157, 0.882940, 0.638795,
    ),
    6: Trial(plant_log(PLANT, 22, 45, {(0, 0): {"adult": 8}}), -29.217600, 0.871421, 0.789396),
    7: Trial(
        plant_log(PLANT, 22, 56, {(0, 0): 3, (14, 3): 1}, every=7),
        -13.571218, 0.911815, 0.857009,
    ),
    8: Trial(
        plant_log(
            (0.5, 8.0, 1.5), 18, 60,
            {(0, 1): {"young": 1, "adult": 1}, (4, 0): 1, (10, 3): 2},
            every=2, effort=0.5, looked_at=range(5),
        ),
        -20.245145, 0.855320, 1.184677,
    ),
    9: Trial(
        plant_log(
            (0.2, 5.0, 0.6), 24, 45, {(0, 0): 1, (3, 0): 1, (9, 1): 1, (9, 2): 1}, arrivals=0.01
        ),
        -18.407971, 0.911165, 0.440869,
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", TRIALS)
def test_a_trial_log_gives_its_figures(case: int) -> None:
    trial = TRIALS[case]
    got = answer(trial.log)
    assert got.method == "exact"
    assert got.log_probability == pytest.approx(trial.log_probability, abs=SHOWN)
    assert got.chance_clean == pytest.approx(trial.chance_clean, abs=SHOWN)
    assert got.mean.sum() == pytest.approx(trial.mean, abs=SHOWN)
    assert got.left is not None
    assert (got.left.low, got.left.high) == (0, 1)


@pytest.mark.parametrize("case", TRIALS)
def test_the_distribution_agrees_with_the_chance_and_with_the_mean(case: int) -> None:
    log = TRIALS[case].log
    chances = left_distribution(log)
    assert chances.sum() == pytest.approx(1, abs=1e-9)
    assert chances[0] == pytest.approx(chance_clean(log), abs=1e-8)
    mean = answer(log, with_interval=False).mean.sum()
    assert chances @ np.arange(len(chances)) == pytest.approx(mean, abs=1e-8)


@pytest.mark.parametrize(
    ("case", "expected"),
    [
        (4, [0.0336928, 0.0153323, 0.0123233, 0.0154967, 0.0357750, 0.298418]),
        (7, [0.108959, 0.0550856, 0.0421383, 0.0480987, 0.0974623, 0.505266]),
    ],
)
def test_means_by_zone(case: int, expected: list[float]) -> None:
    got = by_zone(answer(TRIALS[case].log, with_interval=False).mean)
    assert got == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize(
    ("case", "day", "expected"), [(4, 15, 0.4434), (6, 21, 0.4327), (7, 28, 0.5111)]
)
def test_a_trial_log_cut_short(case: int, day: int, expected: float) -> None:
    log = TRIALS[case].log
    cut = Log(log.start, log.landing, log.days[: day + 1])
    assert chance_clean(cut) == pytest.approx(expected, abs=5e-5)


def test_the_number_in_one_zone_has_an_interval_of_its_own() -> None:
    log = TRIALS[7].log
    in_zone_5 = np.repeat(np.arange(6) == 5, 18).astype(float)
    chances = left_distribution(log, in_zone_5)
    assert chances @ np.arange(len(chances)) == pytest.approx(0.505266, abs=1e-6)
    assert interval(chances).high <= left_interval(log).high
