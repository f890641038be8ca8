"""Numbers of every day from those of a few."""

from collections.abc import Mapping

import numpy as np


def day_by_day(known: Mapping[int, float], days: int, least: float) -> list[float]:
    """The numbers of the days from 0 on; from one known day to the next they change by one factor.

    Args:
        known: by day, one at least; before the first and after the last they stay as they are.
        days: how many.
        least: above 0; what is less counts as that.
    """
    numbers = sorted(known)
    logs = np.log([max(known[number], least) for number in numbers])
    return [float(number) for number in np.exp(np.interp(range(days), numbers, logs))]
