"""Degree-days of one day from its minimum and maximum.

Below the lower threshold nothing develops; what happens above the upper one is the cutoff. A pest's
own day is a single sine wave with a horizontal cutoff. All values are in one unit, degC or degF,
and so is the result.

Sources: Baskerville & Emin 1969, Ecology 50:514-517 (single sine); Allen 1976, Environ Entomol
5:388-396 (two half days); Zalom, Goodell, Wilson, Barnett & Bentley 1983, UC DANR Leaflet 21373
(triangles and cutoffs); McMaster & Wilhelm 1997, Agric For Meteorol 87:291-300 (average).
"""

import math
from collections.abc import Callable
from typing import Literal

from rounds.core.parameters import Warmth

Cutoff = Literal["horizontal", "vertical", "none"]
Above = Callable[[float, float, float], float]
"""of minimum, maximum and a threshold"""


def day_degree_days(min_c: float, max_c: float, warmth: Warmth) -> float:
    """Degree-days (degC) by which a pest advances on a day."""
    return single_sine(min_c, max_c, warmth.lower_threshold_c, warmth.upper_cutoff_c)


def single_sine(
    minimum: float,
    maximum: float,
    lower: float,
    upper: float | None,
    cutoff: Cutoff = "horizontal",
) -> float:
    """One sine wave through the day's minimum and maximum.

    Raises:
        ValueError: the maximum lies below the minimum, or the thresholds are the wrong way round.
    """
    return _cut(_above_sine, _share_sine, (minimum, maximum), (lower, upper), cutoff)


def single_triangle(
    minimum: float,
    maximum: float,
    lower: float,
    upper: float | None,
    cutoff: Cutoff = "horizontal",
) -> float:
    """Straight lines from the minimum up to the maximum and down again; else as `single_sine`."""
    return _cut(_above_triangle, _share_triangle, (minimum, maximum), (lower, upper), cutoff)


def average(minimum: float, maximum: float, lower: float, upper: float | None) -> float:
    """The mean of both above the lower threshold, each held within the thresholds first.

    Raises:
        ValueError: as `single_sine`.
    """
    _check(minimum, maximum, lower, upper)
    most = math.inf if upper is None else upper
    return sum(min(max(t, lower), most) for t in (minimum, maximum)) / 2 - lower


def _cut(
    above: Above,
    share: Above,
    day: tuple[float, float],
    thresholds: tuple[float, float | None],
    cutoff: Cutoff,
) -> float:
    (minimum, maximum), (lower, upper) = day, thresholds
    _check(minimum, maximum, lower, upper)
    whole = above(minimum, maximum, lower)
    if upper is None or cutoff == "none":
        return whole
    beyond = above(minimum, maximum, upper)
    if cutoff == "vertical":
        beyond += (upper - lower) * share(minimum, maximum, upper)
    # rounding may leave a tiny negative value
    return max(0.0, whole - beyond)


def _check(minimum: float, maximum: float, lower: float, upper: float | None) -> None:
    if not minimum <= maximum:
        raise ValueError(f"maximum {maximum} lies below minimum {minimum}")
    if upper is not None and not lower < upper:
        raise ValueError(f"upper threshold {upper} does not lie above lower threshold {lower}")


def _above_sine(minimum: float, maximum: float, threshold: float) -> float:
    mean = (minimum + maximum) / 2
    if maximum <= threshold:
        return 0.0
    if minimum >= threshold:
        return mean - threshold
    half_range = (maximum - minimum) / 2
    angle = _crossing(minimum, maximum, threshold)
    return ((mean - threshold) * (math.pi / 2 - angle) + half_range * math.cos(angle)) / math.pi


def _share_sine(minimum: float, maximum: float, threshold: float) -> float:
    """Share of the day spent above a threshold."""
    if not minimum < threshold < maximum:
        return float(minimum >= threshold)
    return (math.pi / 2 - _crossing(minimum, maximum, threshold)) / math.pi


def _crossing(minimum: float, maximum: float, threshold: float) -> float:
    """Angle, radians from -pi/2 to pi/2, at which the rising sine meets the threshold."""
    height = (2 * threshold - minimum - maximum) / (maximum - minimum)
    return math.asin(min(1.0, max(-1.0, height)))


def _above_triangle(minimum: float, maximum: float, threshold: float) -> float:
    if maximum <= threshold:
        return 0.0
    if minimum >= threshold:
        return (minimum + maximum) / 2 - threshold
    return (maximum - threshold) ** 2 / (2 * (maximum - minimum))


def _share_triangle(minimum: float, maximum: float, threshold: float) -> float:
    if not minimum < threshold < maximum:
        return float(minimum >= threshold)
    return (maximum - threshold) / (maximum - minimum)
