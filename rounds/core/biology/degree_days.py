"""Degree-days of one day from its minimum and maximum: a sine wave with a horizontal cutoff.

Below the lower threshold nothing develops; above the upper one it goes on as fast as there. All
values are in one unit, degC or degF, and so is the result.

Sources: Baskerville & Emin 1969, Ecology 50:514-517 (single sine); Zalom, Goodell, Wilson, Barnett
& Bentley 1983, UC DANR Leaflet 21373 (cutoff).
"""

import math

from rounds.core.parameters import Warmth


def day_degree_days(min_c: float, max_c: float, warmth: Warmth) -> float:
    """Degree-days (degC) by which a pest advances on a day."""
    return single_sine(min_c, max_c, warmth.lower_threshold_c, warmth.upper_cutoff_c)


def single_sine(minimum: float, maximum: float, lower: float, upper: float) -> float:
    """One sine wave through the day's minimum and maximum.

    Raises:
        ValueError: the maximum lies below the minimum, or the thresholds are the wrong way round.
    """
    if not minimum <= maximum:
        raise ValueError(f"maximum {maximum} lies below minimum {minimum}")
    if not lower < upper:
        raise ValueError(f"upper threshold {upper} does not lie above lower threshold {lower}")
    # rounding may leave a tiny negative value
    return max(0.0, _above(minimum, maximum, lower) - _above(minimum, maximum, upper))


def _above(minimum: float, maximum: float, threshold: float) -> float:
    mean = (minimum + maximum) / 2
    if maximum <= threshold:
        return 0.0
    if minimum >= threshold:
        return mean - threshold
    half_range = (maximum - minimum) / 2
    angle = _crossing(minimum, maximum, threshold)
    return ((mean - threshold) * (math.pi / 2 - angle) + half_range * math.cos(angle)) / math.pi


def _crossing(minimum: float, maximum: float, threshold: float) -> float:
    """Angle, radians from -pi/2 to pi/2, at which the rising sine meets the threshold."""
    height = (2 * threshold - minimum - maximum) / (maximum - minimum)
    return math.asin(min(1.0, max(-1.0, height)))
