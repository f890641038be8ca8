"""How long a plant is watched after it rejoined the others."""

from bisect import bisect_left
from datetime import date, timedelta

from rounds.core.parameters import Watch
from rounds.core.quarantine.criteria import DegreeDaysBetween
from rounds.core.quarantine.days import TOLERANCE
from rounds.core.quarantine.warmth import LIMIT_DAYS, warmth_to_come


def watch_ends(
    released_on: date,
    watch: Watch,
    degree_days_between: DegreeDaysBetween,
    degree_days_per_day: float,
    on: date,
    limit_days: int = LIMIT_DAYS,
) -> date | None:
    """First day by which enough days and enough warmth have passed since the release.

    Args:
        released_on: the day it rejoined the others.
        watch: what is enough.
        degree_days_between: known up to and including `on`.
        degree_days_per_day: of the days after `on`, degC.
        on: the day spoken about.
        limit_days: how far after `on` is looked; None is returned beyond.
    """
    between = warmth_to_come(degree_days_between, on, degree_days_per_day)
    first = watch.days
    last = (on - released_on).days + limit_days

    def warm_enough(days: int) -> bool:
        have = between(released_on, released_on + timedelta(days=days))
        return have >= watch.degree_days - TOLERANCE

    # Degree-days are never negative, so the sum only grows and bisection finds the first day.
    days = first + bisect_left(range(first, last + 1), True, key=warm_enough)
    return released_on + timedelta(days=days) if days <= last else None
