"""The interval of a number too great for its whole distribution: from its first two moments."""

from statistics import NormalDist

from rounds.core.inference.left import LEVEL, Interval

LEAST_SHAPE = 0.05
"""least shape of the gamma; below it the low quantiles are all but 0"""


def wide_interval(mean: float, pairs: float, chance_clean: float) -> Interval:
    """As `left.interval`, of the number left in all: a mass at 0, else a gamma fitted by moments.

    Quantiles of the gamma by Wilson & Hilferty 1931 (PNAS 17:684-688).

    Args:
        mean: E N.
        pairs: E N (N - 1) / 2.
        chance_clean: that nothing is left; below 1.
    """
    infested = 1 - chance_clean
    mean_infested = mean / infested
    spread = (2 * pairs + mean) / infested - mean_infested**2
    shape = max(LEAST_SHAPE, mean_infested**2 / max(spread, mean_infested))
    low, high = (
        _quantile(level, chance_clean, shape, mean_infested)
        for level in ((1 - LEVEL) / 2, (1 + LEVEL) / 2)
    )
    return Interval(low, high)


def _quantile(level: float, nothing: float, shape: float, mean: float) -> int:
    if level <= nothing:
        return 0
    beyond = (level - nothing) / (1 - nothing)
    spread = 1 / (9 * shape)
    root = 1 - spread + NormalDist().inv_cdf(beyond) * spread**0.5
    # there is one at least, where the level is not among those with nothing left
    return max(1, int(mean * max(0.0, root) ** 3))
