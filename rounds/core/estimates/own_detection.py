"""How much of what is there a grower finds: a factor of the detection rates, weighed by the logs.

With p = 1 - (1 - p_ref) ** theta for each stage, theta is 1 for the eye that the table assumes.
What a look of the reference seconds finds of laying adults in reach has a beta prior, tilted so
that theta is 1 on average before anything was found; the chances of the logs weigh it. Those are
worked out for a few theta (Chebyshev nodes of ln theta) and interpolated, as their logarithm is
smooth.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

from rounds.core.body import ROOTS
from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import SecondLooks

NODES = 7
"""theta at which logs are worked out"""
GRID = 141
"""theta between the limits, over which is summed"""
TAIL = 0.05
"""chance below, and above, the interval that is told"""
TILTS = 60
"""halvings of the range in which the tilt of the prior is sought"""


@dataclass(frozen=True, slots=True)
class Rate:
    """The factor theta: its mean, and the ends of its 90 % interval."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class OwnDetection:
    """Times the rates of the table, in which the sums are run, and what that rests on."""

    theta: float = 1.0
    low: float = 1.0
    """of its 90 % interval; 1 to 1 where nothing was found yet"""
    high: float = 1.0
    pairs: int = 0
    """zones looked at twice among the looks it rests on"""
    found: int = 0
    """insects found at these looks"""
    is_used: bool = True
    """False where it is switched off: what is assumed stands, and nothing is worked out"""


def times_tried(known: SecondLooks) -> tuple[float, ...]:
    """The factors for which the chance of a log is asked, `NODES` of them, greatest first."""
    least, most = math.log(known.least), math.log(known.most)
    return tuple(math.exp((least + most + node * (most - least)) / 2) for node, _ in _nodes())


def own_detection(
    log_chances: Iterable[Sequence[float]], found_adults: float, known: SecondLooks
) -> Rate:
    """The factor of a grower's detection rates over the table's.

    Args:
        log_chances: of each log, ln P(log | theta) up to a constant for `times_tried`.
        found_adults: share of laying adults in reach that the table's look finds.
        known: the prior and the limits.
    """
    logs = list(log_chances)
    # summed exactly, so that the order of the logs moves no digit
    at_nodes = [math.fsum(log[node] for log in logs) for node in range(NODES)]
    thetas, prior = _prior(found_adults, known)
    places = zip(prior, _places(known), strict=True)
    weighed = [before + _between(at_nodes, place) for before, place in places]
    return _told(thetas, _shares(weighed))


def pairs_among(looks: Sequence[EffectiveLook]) -> int:
    """How many zones were looked at a second time, right after the first, both to the end."""
    by_id = {look.id: look for look in looks if look.outcome == "looked" and look.zone != ROOTS}
    firsts = ((by_id.get(look.second_to or 0), look) for look in by_id.values())
    return sum(first is not None and first.zone == look.zone for first, look in firsts)


def _told(thetas: Sequence[float], shares: Sequence[float]) -> Rate:
    mean = math.fsum(theta * share for theta, share in zip(thetas, shares, strict=True))
    up_to = list(accumulate(shares))
    low, high = (
        next(theta for theta, sum_ in zip(thetas, up_to, strict=True) if sum_ >= part * up_to[-1])
        for part in (TAIL, 1 - TAIL)
    )
    return Rate(mean, low, high)


@lru_cache(maxsize=8)
def _prior(found_adults: float, known: SecondLooks) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The grid of theta, and the logarithm of the prior there, with a mean of 1."""
    rate = -math.log1p(-found_adults)
    step = (known.most - known.least) / (GRID - 1)
    thetas = tuple(known.least + step * n for n in range(GRID))
    # the density of the share found, times its slope by theta
    plain = [
        (known.found_before - 1) * math.log(-math.expm1(-rate * theta))
        - known.missed_before * rate * theta
        for theta in thetas
    ]
    low, high = -100.0, 100.0
    for _ in range(TILTS):
        tilt = (low + high) / 2
        tilted = [weight + tilt * theta for weight, theta in zip(plain, thetas, strict=True)]
        is_low = _told(thetas, _shares(tilted)).mean < 1
        low, high = (tilt, high) if is_low else (low, tilt)
    return thetas, tuple(tilted)


def _shares(log_weights: Sequence[float]) -> list[float]:
    most = max(log_weights)
    weights = [math.exp(weight - most) for weight in log_weights]
    whole = math.fsum(weights)
    return [weight / whole for weight in weights]


@lru_cache(maxsize=1)
def _nodes() -> tuple[tuple[float, float], ...]:
    """Chebyshev nodes of the first kind, between -1 and 1, with their barycentric weights."""
    angles = [(2 * n + 1) * math.pi / (2 * NODES) for n in range(NODES)]
    return tuple((math.cos(a), (-1) ** n * math.sin(a)) for n, a in enumerate(angles))


@lru_cache(maxsize=8)
def _places(known: SecondLooks) -> tuple[float, ...]:
    """Where the grid lies between -1 and 1, in ln theta."""
    least, most = math.log(known.least), math.log(known.most)
    step = (known.most - known.least) / (GRID - 1)
    return tuple(
        (2 * math.log(known.least + step * n) - least - most) / (most - least) for n in range(GRID)
    )


def _between(values: Sequence[float], place: float) -> float:
    """The polynomial through values at the nodes: barycentric form (Berrut & Trefethen 2004)."""
    above = below = 0.0
    for (node, weight), value in zip(_nodes(), values, strict=True):
        if node == place:
            return value
        above += weight / (place - node) * value
        below += weight / (place - node)
    return above / below
