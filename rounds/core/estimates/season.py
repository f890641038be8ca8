"""What a season's finds tell of values that are assumed of every collection.

Where insects sit: conjugate Dirichlet-multinomial (Gelman et al. 2013, Bayesian Data Analysis, 3rd
ed., section 3.4). Of what was shown, the shares by zone have a Dirichlet prior whose means are what
the assumed weights would show under these very looks; what is learned is divided by how well each
zone was seen, so that a zone looked at twice as long, or with half as much of it tucked away, is
not taken for one where more of them sit. Each plant counts once, shared over its zones by what was
found there on its first day with finds: a brood sits where its mother did, and is no more than one
sign of where they sit, while to count zones alone would level them.

How many arrivals are infested: q ~ Beta, each plant telling q P(log | infested) +
(1 - q) P(log | not), summed over a grid, so that a plant hardly looked at tells hardly anything.

How many crawlers wander in: their rate h ~ gamma, each plant telling P(log | h) up to its first
find.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rounds.core.biology.day import Values

TAILS = (0.05, 0.95)
"""ends of the interval that is told"""
DRAWS = 20_000
"""from the Dirichlet posterior, for the mean and the interval of each weight"""
SEED = 1
"""the same draws whenever it is asked"""
GRID = 400
"""q between 0 and 1"""
RATES = 100
"""of crawlers a day"""
SHOWN_AT_ALL = 1e-3
"""least chance to be shown from which on a zone can tell anything"""


@dataclass(frozen=True, slots=True)
class Learned:
    """The mean, and the ends of a 90 % interval."""

    value: float
    low: float
    high: float


def zone_weights(
    found: Mapping[str, float],
    shown: Mapping[str, float],
    assumed: Mapping[str, float],
    strength: float,
) -> dict[str, Learned]:
    """The share of the insects at each zone that can be learned; the others keep theirs.

    Args:
        found: plants by zone, each plant shared over the zones by what was found at them.
        shown: chance that an insect at the zone was shown by these looks, on average.
        assumed: share by zone, of all zones.
        strength: plants that the assumed shares count for.
    """
    zones = [zone for zone in assumed if shown.get(zone, 0.0) >= SHOWN_AT_ALL]
    seen = np.array([shown[zone] for zone in zones])
    before = np.array([assumed[zone] for zone in zones])
    whole = before.sum()
    expected = before * seen / (before @ seen)
    known = strength * expected + [found.get(zone, 0.0) for zone in zones]
    drawn = np.random.default_rng(SEED).dirichlet(known, DRAWS) / seen
    weights = whole * drawn / drawn.sum(axis=1, keepdims=True)
    low, high = np.quantile(weights, TAILS, axis=0)
    return {
        zone: Learned(float(mean), float(least), float(most))
        for zone, mean, least, most in zip(zones, weights.mean(axis=0), low, high, strict=True)
    }


def infested_share(
    told: Sequence[tuple[float, float]], infested_before: float, clean_before: float
) -> Learned:
    """The share of arrivals that are infested.

    Args:
        told: of each plant ln P(log | infested) and ln P(log | not), up to a common constant; -inf
            where the log cannot be.
        infested_before: of the beta prior.
        clean_before: of the beta prior.
    """
    shares = (np.arange(GRID) + 0.5) / GRID
    weights = (infested_before - 1) * np.log(shares) + (clean_before - 1) * np.log1p(-shares)
    # summed exactly, so that the order of the plants moves no digit
    of_plants = [_log_mixed(shares, *each) for each in told]
    weights = weights + [math.fsum(at) for at in zip(*of_plants, strict=True)] if told else weights
    weights = np.exp(weights - weights.max())
    weights /= weights.sum()
    low, high = (shares[np.searchsorted(np.cumsum(weights), tail)] for tail in TAILS)
    return Learned(float(weights @ shares), float(low), float(high))


def rates_tried(assumed: float, least: float, most: float) -> tuple[float, ...]:
    """Rates on which logs are asked, even in their logarithm; as times the assumed one."""
    return tuple((np.geomspace(least, most, RATES) / assumed).tolist())


def wandering_rate(
    log_chances: Sequence[Sequence[float]], assumed: float, rates: Sequence[float], finds: float
) -> Learned:
    """The crawlers that wander in to a plant of the collection each day.

    Args:
        log_chances: of each plant, ln P(log | rate) for each rate.
        assumed: mean of the gamma prior.
        rates: of crawlers a day, even in their logarithm.
        finds: shape of the gamma prior: finds for which what is assumed counts.
    """
    of_rates = np.asarray(rates)
    # the grid is even in the logarithm, whose density is the rate times that of the rate
    weights = finds * (np.log(of_rates) - of_rates / assumed)
    if log_chances:
        weights = weights + [math.fsum(at) for at in zip(*log_chances, strict=True)]
    weights = np.exp(weights - weights.max())
    weights /= weights.sum()
    low, high = (of_rates[np.searchsorted(np.cumsum(weights), tail)] for tail in TAILS)
    return Learned(float(weights @ of_rates), float(low), float(high))


def _log_mixed(shares: Values, infested: float, clean: float) -> Values:
    most = max(infested, clean)
    mixed: Values = np.log(
        shares * math.exp(infested - most) + (1 - shares) * math.exp(clean - most)
    )
    return mixed + most
