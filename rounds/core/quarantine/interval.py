"""How often a plant is looked at."""

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from rounds.core.quarantine.days import DayLooked
from rounds.core.quarantine.streak import up_to

USUAL_LOOKS = 10
"""complete looks the usual interval is taken from: an assumption"""


def usual_interval(days: Sequence[DayLooked], on: date) -> int:
    """Days between complete looks: the median of the last few; 1 when there are not two yet."""
    complete = [looked.day for looked in up_to(days, on) if looked.complete][-USUAL_LOOKS:]
    gaps = sorted((later - earlier).days for earlier, later in pairwise(complete))
    if not gaps:
        return 1
    # The middle one, or the mean of the two in the middle with a half rounded up.
    return (gaps[(len(gaps) - 1) // 2] + gaps[len(gaps) // 2] + 1) // 2
