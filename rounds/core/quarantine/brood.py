"""When the last eggs hatch, by warmth: between the least and the most an egg is known to need."""

from bisect import bisect_left
from dataclasses import dataclass
from datetime import date, timedelta

from rounds.core.quarantine.criteria import DegreeDaysBetween
from rounds.core.quarantine.days import TOLERANCE
from rounds.core.quarantine.warmth import LIMIT_DAYS, warmth_to_come


@dataclass(frozen=True, slots=True)
class EggWarmth:
    """Degree-days, degC, from which eggs hatch, that most take, and by which all have."""

    least: float
    usual: float
    most: float


@dataclass(frozen=True, slots=True)
class Brood:
    """Eggs laid up to a day, and the days on which the last of them hatch."""

    laid_by: date
    first: date | None
    """None where it comes no sooner than the limit"""
    usual: date | None
    """on which most do: crawlers appear"""
    last: date | None
    pest: str = ""
    """whose"""


def last_brood(
    laid_by: date,
    warmth: EggWarmth,
    degree_days_between: DegreeDaysBetween,
    degree_days_per_day: float,
    on: date,
    limit_days: int = LIMIT_DAYS,
) -> Brood:
    """The first and the last day on which eggs laid on a day hatch; those laid before hatch sooner.

    Args:
        laid_by: the last day on which eggs may have been laid, not after `on`.
        warmth: what an egg needs.
        degree_days_between: known up to and including `on`.
        degree_days_per_day: of the days after `on`, degC.
        on: the day spoken about.
        limit_days: how far after `on` is looked.
    """
    between = warmth_to_come(degree_days_between, on, degree_days_per_day)
    most = (on - laid_by).days + limit_days

    def first_day(needed: float) -> date | None:
        days = bisect_left(
            range(most + 1),
            True,
            key=lambda d: between(laid_by, laid_by + timedelta(d)) >= needed - TOLERANCE,
        )
        return laid_by + timedelta(days) if days <= most else None

    return Brood(laid_by, first_day(warmth.least), first_day(warmth.usual), first_day(warmth.most))
