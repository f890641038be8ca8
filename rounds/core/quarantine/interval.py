"""How often a plant is looked at."""

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from rounds.core.away import Stretch
from rounds.core.quarantine.days import DayLooked
from rounds.core.quarantine.streak import up_to

USUAL_LOOKS = 10
"""complete looks the usual interval is taken from: an assumption"""
UNTOLD = 1
"""days between looks where they do not tell: an assumption, as a round is walked every day"""


def usual_interval(days: Sequence[DayLooked], on: date, away: Sequence[Stretch] = ()) -> int:
    """Days between complete looks; 1 where they do not tell."""
    return told_interval(days, on, away) or UNTOLD


def told_interval(days: Sequence[DayLooked], on: date, away: Sequence[Stretch] = ()) -> int | None:
    """Days between complete looks: the median of the last few; None where there are not two.

    Args:
        days: looked at, in order.
        on: later days are not read.
        away: days on which nobody looked; a gap that holds one tells nothing.
    """
    complete = [looked.day for looked in up_to(days, on) if looked.complete][-USUAL_LOOKS:]
    gaps = sorted(
        (later - earlier).days
        for earlier, later in pairwise(complete)
        if not any(s.first_day < later and s.last_day > earlier for s in away)
    )
    if not gaps:
        return None
    # The middle one, or the mean of the two in the middle with a half rounded up.
    return (gaps[(len(gaps) - 1) // 2] + gaps[len(gaps) // 2] + 1) // 2
