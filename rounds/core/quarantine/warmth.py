"""The warmth of the days to come, and how many of them are reckoned with."""

from datetime import date, timedelta
from functools import cache

from rounds.core.quarantine.criteria import DegreeDaysBetween

LIMIT_DAYS = 180
"""no date further ahead is named: an assumption"""


def warmth_to_come(known: DegreeDaysBetween, on: date, per_day: float) -> DegreeDaysBetween:
    """A function of degree-day sums: known up to and including `on`, then `per_day` a day."""
    tomorrow = on + timedelta(days=1)

    @cache
    def up_to_tomorrow(first: date) -> float:
        return known(first, tomorrow)

    def between(first: date, last: date) -> float:
        if last <= tomorrow:
            return known(first, last)
        return up_to_tomorrow(first) + per_day * (last - tomorrow).days

    return between
