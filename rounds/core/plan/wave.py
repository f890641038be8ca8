"""What is to be done by some days, held against the seconds that each day has.

Days hold it where for each of them all that is to be done by then is no more than the days up to
it have. So what would fall due on one day, more than it has, is begun on the days before.
"""

import numpy as np

from rounds.core.plan.effort import Places, Values


def each_day(seconds: Values, in_days: Places) -> float:
    """The fewest seconds a day, from today on, that hold all by its day.

    Args:
        seconds: (P,) what each takes.
        in_days: (P,) days until each is to be done; not above 0 where that is today.
    """
    by_then, days = _by_day(seconds, in_days)
    return float((by_then / (days + 1)).max(initial=0.0))


def of_today(seconds: Values, in_days: Places, later: float) -> float:
    """The fewest seconds today with which the days after it, of `later` each, hold the rest."""
    by_then, days = _by_day(seconds, in_days)
    return float((by_then - days * later).max(initial=0.0))


def _by_day(seconds: Values, in_days: Places) -> tuple[Values, Places]:
    """What is to be done by each day on which something is, and how many days off that is."""
    days, of = np.unique(np.maximum(in_days, 0), return_inverse=True)
    return np.cumsum(np.bincount(of, seconds, len(days))), days
