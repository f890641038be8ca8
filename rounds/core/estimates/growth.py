"""Do the finds on a plant rise beyond chance, and how fast: counts of look days, by their effort.

An upper Poisson CUSUM (Lucas 1985, Technometrics 27:129-144) tells more than stragglers: to each
look's count x, made with the effort e, it adds x - K e, and never falls below 0. It is held at its
limit, so that it does not remember a large find for months. A log-linear Poisson regression on the
days, with the effort as offset, tells the rate at which finds grow. Given how many were found in
all, its likelihood is that of one number alone, so that no intercept is asked for; the interval is
that of the likelihood ratio.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rounds.core.parameters import AlarmRules

CUT = 3.841459
"""of chi-square with one degree of freedom, at 95 in 100"""
CLOSE = 1e-10
"""a rate is found up to this share of a day"""
MOST_STEPS = 200


@dataclass(frozen=True, slots=True)
class DayCounted:
    """The looks of one day: what was found alive, and with how much effort."""

    day: date
    found: int
    effort: float
    """complete looks"""


@dataclass(frozen=True, slots=True)
class Fitted:
    """A growth rate a day, and the ends of its interval of 95 in 100."""

    rate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Growth:
    """How the finds on a plant go, from the last look without one on."""

    since: date
    until: date
    """the last look"""
    looks: int
    found: int
    fitted: Fitted
    alarm_on: date | None
    """the look from which on the finds rise beyond chance; None where they do not"""

    @property
    def is_rising(self) -> bool:
        """Whether all of the interval lies above 0."""
        return self.fitted.low > 0

    @property
    def is_falling(self) -> bool:
        """Whether all of it lies below 0."""
        return self.fitted.high < 0

    @property
    def doubling_days(self) -> float | None:
        """In which finds double, where they rise."""
        return math.log(2) / self.fitted.rate if self.fitted.rate > 0 else None


def growth_of(counted: Sequence[DayCounted], rules: AlarmRules) -> Growth | None:
    """How the finds go at the end of the last look; None where too few looks found anything.

    The alarm is raised on a look after which the sum is at its limit and the whole interval of the
    rate above 0. It stands until a look finds stragglers alone, or the finds rise no more.

    Args:
        counted: look days, oldest first.
        rules: the chart, how many days are read, and how many looks with finds are needed.
    """
    lately = _lately(counted, rules.days)
    sums = cusum([(of.found, of.effort) for of in lately], rules.reference, rules.limit)
    raised: date | None = None
    for number, total in enumerate(sums, 1):
        run, last = _since_clean(lately[:number]), lately[number - 1]
        are_stragglers = last.found <= rules.reference * last.effort
        if are_stragglers or not _tells(run, rules) or _lean(run) <= 0:
            raised = None
        elif raised is None and total >= rules.limit and _gain(run, _rate(run)) > CUT / 2:
            raised = last.day
    run = _since_clean(lately)
    if not _tells(run, rules):
        return None
    found = sum(of.found for of in run)
    return Growth(run[0].day, run[-1].day, len(run), found, fitted(run), raised)


def cusum(
    counts: Sequence[tuple[float, float]], reference: float, most: float = math.inf
) -> list[float]:
    """The sum after each look: grown by its count less `reference` times its effort.

    Args:
        counts: of each look what was found, and its effort.
        reference: K, of a look of effort 1.
        most: where the sum is held.
    """
    total, sums = 0.0, []
    for found, effort in counts:
        total = min(most, max(0.0, total + found - reference * effort))
        sums.append(total)
    return sums


def fitted(run: Sequence[DayCounted]) -> Fitted:
    """The growth rate of a run, with its interval.

    Args:
        run: looks of some effort each, oldest first.

    Raises:
        ValueError: fewer than two days found anything, so that no rate is the most likely.
    """
    if sum(1 for of in run if of.found) < 2:
        raise ValueError("finds of fewer than two days tell no rate")
    rate = _rate(run)
    return Fitted(rate, _end(run, rate, -1.0), _end(run, rate, 1.0))


def _lately(counted: Sequence[DayCounted], days: int) -> list[DayCounted]:
    """The looks of the last so many days up to the last one, those of no effort left out."""
    made = [of for of in counted if of.effort > 0]
    return [of for of in made if (made[-1].day - of.day) < timedelta(days)]


def _since_clean(counted: Sequence[DayCounted]) -> Sequence[DayCounted]:
    """From the last look without a find on; all where there is none."""
    clean = [number for number, of in enumerate(counted) if not of.found]
    return counted[clean[-1] :] if clean else counted


def _tells(run: Sequence[DayCounted], rules: AlarmRules) -> bool:
    return sum(1 for of in run if of.found) >= rules.looks


def _lean(run: Sequence[DayCounted]) -> float:
    """Above 0 where the finds came later than the looks did: the slope at a rate of 0."""
    return _mean_found(run) - _mean_looked(run, 0.0)[0]


def _mean_found(run: Sequence[DayCounted]) -> float:
    """The day on which an insect was found, on average, counted from the last look."""
    found = sum(of.found for of in run)
    return sum(of.found * _back(run, of) for of in run) / found


def _back(run: Sequence[DayCounted], of: DayCounted) -> int:
    return (of.day - run[-1].day).days


def _mean_looked(run: Sequence[DayCounted], rate: float) -> tuple[float, float, float]:
    """The day on which one would be at a growth rate: mean, variance; the log of the whole."""
    logs = [math.log(of.effort) + rate * _back(run, of) for of in run]
    most = max(logs)
    weights = [math.exp(log - most) for log in logs]
    whole = sum(weights)
    days = [_back(run, of) for of in run]
    mean = sum(w * d for w, d in zip(weights, days, strict=True)) / whole
    spread = sum(w * (d - mean) ** 2 for w, d in zip(weights, days, strict=True)) / whole
    return mean, spread, most + math.log(whole)


def _rate(run: Sequence[DayCounted]) -> float:
    """The most likely rate: where the mean day looked at is the mean day found; Newton, held."""
    wanted = _mean_found(run)
    low, high, rate = -math.inf, math.inf, 0.0
    for _ in range(MOST_STEPS):
        mean, spread, _whole = _mean_looked(run, rate)
        if mean == wanted:
            return rate
        low, high = (rate, high) if mean < wanted else (low, rate)
        step = (wanted - mean) / spread if spread > 0 else math.copysign(math.inf, wanted - mean)
        nearer = rate + max(-1.0, min(1.0, step))
        if not low < nearer < high:
            nearer = (low + high) / 2
        if abs(nearer - rate) < CLOSE:
            return nearer
        rate = nearer
    return rate


def _log_likelihood(run: Sequence[DayCounted], rate: float) -> float:
    """Of a rate, for each insect found, up to a constant."""
    return rate * _mean_found(run) - _mean_looked(run, rate)[2]


def _gain(run: Sequence[DayCounted], rate: float, over: float = 0.0) -> float:
    """By how much the log-likelihood of one rate is above that of another."""
    found = sum(of.found for of in run)
    return found * (_log_likelihood(run, rate) - _log_likelihood(run, over))


def _end(run: Sequence[DayCounted], rate: float, way: float) -> float:
    """The end of the interval on one side of the most likely rate."""
    inside, step = rate, 0.01
    while _gain(run, rate, rate + way * step) <= CUT / 2:
        inside, step = rate + way * step, 2 * step
    outside = rate + way * step
    while abs(outside - inside) > CLOSE:
        middle = (inside + outside) / 2
        is_inside = _gain(run, rate, middle) <= CUT / 2
        inside, outside = (middle, outside) if is_inside else (inside, middle)
    return inside
