"""Habits set side by side: means with 95 % intervals, differences paired by season."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.bench.evidence.ledger import Figures

Values = NDArray[np.float64]
RESAMPLES = 4000
SEED = 20260101


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure with its 95 % interval; not a number where nothing was counted."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Beside:
    """A habit beside the first one."""

    own: Estimate
    less: Estimate
    """the first one's figure less this one's, season by season"""
    times: Estimate
    """the first one's figure over this one's"""


def beside(first: Sequence[Figures], other: Sequence[Figures], measure: str) -> Beside:
    """Compare one measure over the same seasons, in the same order.

    Seasons are drawn anew with replacement, the same ones for both (bootstrap, percentiles: Efron
    1979, Annals of Statistics 7:1-26).
    """
    drawn = _drawn(len(first))
    ours, theirs = _ratios(first, measure, drawn), _ratios(other, measure, drawn)
    with np.errstate(divide="ignore", invalid="ignore"):
        return Beside(_estimate(theirs), _estimate(ours - theirs), _estimate(ours / theirs))


def alone(seasons: Sequence[Figures], measure: str) -> Estimate:
    """One measure of one habit."""
    return _estimate(_ratios(seasons, measure, _drawn(len(seasons))))


def greatest(seasons: Sequence[Figures], measure: str) -> float:
    """The most any season had."""
    return max(figures[measure][0] for figures in seasons)


def counted(seasons: Sequence[Figures], measure: str) -> float:
    """Over how many things a measure was summed."""
    return sum(figures[measure][1] for figures in seasons)


def common(by_habit: Mapping[str, Mapping[int, Figures]]) -> list[int]:
    """The seeds that every habit has lived."""
    seeds = [set(seasons) for seasons in by_habit.values()]
    return sorted(set.intersection(*seeds)) if seeds else []


def _drawn(seasons: int) -> NDArray[np.int64]:
    """(1 + RESAMPLES, seasons): the seasons themselves, then those drawn."""
    rng = np.random.default_rng(SEED)
    drawn = rng.integers(0, seasons, (RESAMPLES, seasons))
    return np.concatenate([np.arange(seasons)[None], drawn])


def _ratios(seasons: Sequence[Figures], measure: str, drawn: NDArray[np.int64]) -> Values:
    pairs = np.array([figures[measure] for figures in seasons], dtype=float)
    sums = pairs[drawn].sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(sums[:, 0] / sums[:, 1])


def _estimate(ratios: Values) -> Estimate:
    drawn = ratios[1:][np.isfinite(ratios[1:])]
    if not np.isfinite(ratios[0]) or not len(drawn):
        return Estimate(float("nan"), float("nan"), float("nan"))
    low, high = np.percentile(drawn, [2.5, 97.5])
    return Estimate(float(ratios[0]), float(low), float(high))
