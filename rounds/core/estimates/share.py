"""A share with its interval, where what is counted comes in clusters: finds on the same plant.

The interval is Wilson's (1927, J. Am. Stat. Assoc. 22, 209-212). Its number of cases is the
effective one: what is counted, divided by the design effect of the clusters (Kish 1965, Survey
Sampling), whose variance is that of a ratio of sums over the clusters. Both from memory; the
interval alone is checked against printed examples.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

Z_90 = 1.6448536269514722
"""of the standard normal distribution, for an interval of 90 in 100"""


@dataclass(frozen=True, slots=True)
class Share:
    """A share and the ends of its interval, 0 to 1."""

    value: float
    low: float
    high: float


def wilson(hits: float, cases: float, z: float = Z_90) -> Share:
    """The share of cases that are hits, with its score interval.

    Args:
        hits: 0 to `cases`; may be no whole number where cases are effective ones.
        cases: more than 0.
        z: of the standard normal distribution; for 90 in 100 by default.

    Raises:
        ValueError: no cases, or more hits than these.
    """
    if not 0 <= hits <= cases or cases <= 0:
        raise ValueError(f"{hits} of {cases}")
    share, squared = hits / cases, z * z
    middle = share + squared / (2 * cases)
    half = z * sqrt(share * (1 - share) / cases + squared / (4 * cases * cases))
    whole = 1 + squared / cases
    low = (middle - half) / whole if hits else 0.0
    high = (middle + half) / whole if hits < cases else 1.0
    return Share(share, low, high)


def clustered_share(clusters: Sequence[tuple[int, int]], z: float = Z_90) -> Share:
    """The share of hits among all cases, which come in clusters.

    One cluster alone tells nothing of how clusters differ: it counts as a single case.

    Args:
        clusters: hits and cases of each; one case at least in each.
        z: of the standard normal distribution.

    Raises:
        ValueError: no cluster, or more hits than cases.
    """
    hits, cases = sum(h for h, _ in clusters), sum(n for _, n in clusters)
    if not cases:
        raise ValueError("no cases")
    effective = cases / _design_effect(clusters, hits / cases, cases)
    return wilson(effective if hits == cases else hits / cases * effective, effective, z)


def _design_effect(clusters: Sequence[tuple[int, int]], share: float, cases: int) -> float:
    """How many times as uncertain the share is as if all cases were on their own; 1 at least."""
    count = len(clusters)
    if count == 1:
        return float(cases)
    # all or none everywhere: nothing differs between clusters, nor within them
    if share in (0.0, 1.0):
        return cases / count
    squares = sum((hits - share * size) ** 2 for hits, size in clusters)
    variance = count / (count - 1) * squares / cases**2
    return min(float(cases), max(1.0, variance * cases / (share * (1 - share))))
