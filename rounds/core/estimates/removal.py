"""How many there were, from how fast removals fall off over passes (depletion).

Carle & Strub 1978 (A new method for estimating population size from removal data, Biometrics
34:621-630), eq. 7 with an even prior, alpha = beta = 1: always a value, and never below what was
removed. Standard errors: Seber 2002 (The Estimation of Animal Abundance, 2nd edition), eq. 7.23.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, sqrt

LEAST_PASSES = 3
"""fewer fit any share found"""
MOST_ERROR = 0.3
"""standard error, as a share of the estimate, from which on it says nothing: an assumption"""
NINETY = 1.645
"""standard errors on either side of nine tenths of a normal distribution"""
ALPHA = BETA = 1.0


@dataclass(frozen=True, slots=True)
class RemovalEstimate:
    """Of a number of insects before the first pass."""

    number: int
    standard_error: float
    detection: float
    """share of those there that a pass takes off"""
    removed: int

    @property
    def left(self) -> int:
        """After the last pass."""
        return self.number - self.removed

    @property
    def interval(self) -> tuple[int, int]:
        """Of those left, with 90 in 100; never below 0."""
        within = NINETY * self.standard_error
        return max(0, round(self.left - within)), max(0, round(self.left + within))

    @property
    def is_usable(self) -> bool:
        """Whether it says anything: its error is no great part of it."""
        return self.standard_error <= MOST_ERROR * self.number


def carle_strub(catches: Sequence[int]) -> RemovalEstimate:
    """The estimate from what each of K passes took off, in their order.

    Raises:
        ValueError: fewer than two passes, or nothing was taken off.
    """
    passes, removed = len(catches), sum(catches)
    if passes < 2 or removed <= 0:
        raise ValueError("an estimate takes two passes and something removed")
    weighted = sum((passes - number) * count for number, count in enumerate(catches, 1))
    number = removed
    while _goes_on(number, passes, removed, weighted):
        number += 1
    detection = removed / (passes * number - weighted)
    return RemovalEstimate(number, _error(number, passes, detection), detection, removed)


def estimate(catches: Sequence[int]) -> RemovalEstimate | None:
    """The same where it says anything: three passes or more that fall off, and a small error."""
    if len(catches) < LEAST_PASSES or not sum(catches) or catches[-1] > catches[-2]:
        return None
    found = carle_strub(catches)
    return found if found.is_usable else None


def _goes_on(number: int, passes: int, removed: int, weighted: int) -> bool:
    """Whether eq. 7 is not met yet: the ratio of its sides is 1 or more."""
    ratio = (number + 1) / (number - removed + 1)
    for one in range(1, passes + 1):
        missed = passes * number - weighted - removed + BETA + passes - one
        ratio *= missed / (passes * number - weighted + ALPHA + BETA + passes - one)
    return ratio >= 1


def _error(number: int, passes: int, detection: float) -> float:
    missed = 1 - detection
    if missed <= 0:
        return 0.0
    gone = 1 - missed**passes
    below = gone**2 - (passes * detection) ** 2 * missed ** (passes - 1)
    return sqrt(number * gone * missed**passes / below) if below > 0 else inf
