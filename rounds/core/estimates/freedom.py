"""How sure it is that nothing is there when nothing was found, and how much looking that takes."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

AT_PLATEAU = 0.0005
"""distance from the plateau at which a chance counts as there"""
ROUNDING = 1e-9
"""by which a product of decimals may miss the whole number it stands for"""
NEGLIGIBLE = 1e-18
"""share of a sum below which its further terms change nothing"""


def freedom(prior: float, introductions: Sequence[float], sensitivity: float) -> Iterator[float]:
    """After each period without a find: the chance that nothing is there.

    Martin, Cameron & Greiner 2007, Prev Vet Med 79:71-97: what may have come in is subtracted
    before each period's looks, the first one's too.

    Args:
        prior: the chance that it was free before, 0 to 1.
        introductions: of each period, the chance that something came in.
        sensitivity: chance that the looks of one period find it where it is.
    """
    free = prior
    for introduction in introductions:
        free *= 1 - introduction
        seen_free = free + (1 - free) * (1 - sensitivity)
        # sure to be infested and sure to be found: a period without a find cannot be
        free = free / seen_free if seen_free else 0.0
        yield free


def plateau(introduction: float, sensitivity: float, prior: float = 1.0) -> float:
    """What `freedom` tends to after many periods: (1 - introduction / sensitivity) / (1 - it).

    Without looks, or where what comes in outruns them, it is 0; where nothing comes in, 1.
    """
    if not introduction:
        return 1.0 if sensitivity and prior else prior
    if not prior or introduction >= sensitivity:
        return 0.0
    return (1 - introduction / sensitivity) / (1 - introduction)


@dataclass(frozen=True, slots=True)
class Sample:
    """How many units are looked at, none of which shows anything."""

    samples: int | None
    """None where not even all of them are enough"""
    infested_units: int | None
    """those that would be infested; None where the number of units does not matter"""


def hypergeometric_sample(
    units: int, prevalence: float, confidence: float, sensitivity: float = 1.0
) -> Sample:
    """The fewest of a known number of units, exactly: FAO 2008, ISPM 31.

    Infested units are rounded down, as there, to one at least. Each infested one looked at is
    found with the sensitivity.
    """
    infested = max(1, math.floor(units * prevalence + ROUNDING))
    missed = 1 - confidence + ROUNDING * (1 - confidence)

    def too_few(samples: int) -> bool:
        return _all_missed(units, infested, samples, sensitivity) > missed

    if too_few(units):
        return Sample(None, infested)
    high = 1
    while too_few(min(high, units)):
        high *= 2
    low, high = high // 2, min(high, units)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if too_few(middle) else (low, middle)
    return Sample(high, infested)


def chance_found(units: int, infested: int, samples: int, sensitivity: float) -> float:
    """Chance that so many units looked at show something, of which so many are infested.

    Exact, as `hypergeometric_sample`.
    """
    return 1 - _all_missed(units, infested, samples, sensitivity)


def approximate_sample(
    units: int, prevalence: float, confidence: float, sensitivity: float = 1.0
) -> Sample:
    """The same by 1 - (1 - Se n / N) ** D, with D rounded up, as the R packages epiR and
    RSurveillance have it."""
    infested = max(1, math.ceil(units * prevalence - ROUNDING))
    samples = _up(units / sensitivity * (1 - (1 - confidence) ** (1 / infested)))
    return Sample(samples if samples <= units else None, infested)


def binomial_sample(prevalence: float, confidence: float, sensitivity: float = 1.0) -> Sample:
    """The fewest where units are without number: ln(1 - confidence) / ln(1 - prevalence Se)."""
    found = prevalence * sensitivity
    return Sample(1 if found >= 1 else _up(math.log1p(-confidence) / math.log1p(-found)), None)


@dataclass(frozen=True, slots=True)
class Visits:
    """Visits without a find in a row until the chance that something is there is low enough."""

    visits: int
    exact: float
    """before rounding up; 0 where the chance is as low from the start"""


def clean_visits(detection: float, presence: float, residual: float) -> Visits:
    """(logit residual - logit presence) / ln(1 - detection): Wintle et al. 2012, Divers Distrib
    18:417-424.

    Args:
        detection: chance that one visit finds what is there, above 0.
        presence: chance before the first visit that something is there, between 0 and 1.
        residual: chance that is low enough, between 0 and 1.
    """
    if presence <= residual:
        return Visits(0, 0.0)
    if detection >= 1:
        return Visits(1, 0.0)
    exact = (_logit(residual) - _logit(presence)) / math.log1p(-detection)
    return Visits(_up(exact), exact)


def _all_missed(units: int, infested: int, samples: int, sensitivity: float) -> float:
    """Chance that none of the infested units is found: hypergeometric, each missed by chance."""
    least = max(0, samples - (units - infested))
    most = min(samples, infested)
    # log of the chance that the fewest possible infested units are among the samples
    log_term = (
        _log_choose(infested, least)
        + _log_choose(units - infested, samples - least)
        - _log_choose(units, samples)
    )
    if sensitivity >= 1:
        return math.exp(log_term) if least == 0 else 0.0
    term = math.exp(log_term + least * math.log1p(-sensitivity))
    total = term
    for among in range(least, most):
        ratio = (infested - among) * (samples - among) * (1 - sensitivity)
        ratio /= (among + 1) * (units - infested - samples + among + 1)
        term *= ratio
        total += term
        if ratio < 1 and term < NEGLIGIBLE * total:
            break
    return total


def _log_choose(of: int, some: int) -> float:
    return math.lgamma(of + 1) - math.lgamma(some + 1) - math.lgamma(of - some + 1)


def _logit(chance: float) -> float:
    return math.log(chance) - math.log1p(-chance)


def _up(number: float) -> int:
    """Rounded up, but for an excess that is only rounding."""
    return math.ceil(number - ROUNDING)
