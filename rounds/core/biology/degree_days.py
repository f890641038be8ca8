"""Degree-days of one day from its minimum and maximum.

All functions take and return one unit, degC or degF, whichever the temperatures and thresholds
are in. `lower` is the threshold below which nothing develops, `upper` the one above which
development is cut off in one of these ways:

- horizontal: it goes on as fast as at `upper`;
- intermediate: it slows above `upper` as it quickened below it (triangle only);
- vertical: it stops while it is hotter than `upper`;
- none: there is no upper threshold.

Sources: Baskerville & Emin 1969, Ecology 50:514-517 (single sine); Allen 1976, Environ Entomol
5:388-396 (two half days); Zalom, Goodell, Wilson, Barnett & Bentley 1983, UC DANR Leaflet 21373
(triangle, cutoffs); McMaster & Wilhelm 1997, Agric For Meteorol 87:291-300 (averages).
"""

import math
from collections.abc import Callable
from typing import Literal

from rounds.core.parameters import Warmth

Cutoff = Literal["horizontal", "intermediate", "vertical", "none"]


def day_degree_days(min_c: float, max_c: float, warmth: Warmth) -> float:
    """Degree-days (degC) by which the pest advances on a day: single sine, horizontal cutoff."""
    return single_sine(min_c, max_c, warmth.lower_threshold_c, warmth.upper_cutoff_c)


def single_sine(
    minimum: float,
    maximum: float,
    lower: float,
    upper: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> float:
    """One sine wave through the day's minimum and maximum.

    Raises:
        ValueError: the maximum lies below the minimum, the thresholds are the wrong way round, or
            the intermediate cutoff is asked for, which is not reproducible with the sine.
    """
    if cutoff == "intermediate":
        raise ValueError("the intermediate cutoff belongs to the triangle")
    return _with_cutoff(_sine_above, _sine_share, minimum, maximum, lower, upper, cutoff)


def double_sine(
    minimum: float,
    maximum: float,
    next_minimum: float,
    lower: float,
    upper: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> float:
    """Half a day rising from its minimum, half a day falling to the next; raises as the single."""
    rising = single_sine(minimum, maximum, lower, upper, cutoff)
    falling = single_sine(next_minimum, maximum, lower, upper, cutoff)
    return (rising + falling) / 2


def single_triangle(
    minimum: float,
    maximum: float,
    lower: float,
    upper: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> float:
    """Straight lines from the day's minimum to its maximum and back.

    Raises:
        ValueError: the maximum lies below the minimum, or the thresholds are the wrong way round.
    """
    return _with_cutoff(_triangle_above, _triangle_share, minimum, maximum, lower, upper, cutoff)


def double_triangle(
    minimum: float,
    maximum: float,
    next_minimum: float,
    lower: float,
    upper: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> float:
    """Half a day rising from its minimum, half a day falling to the next; raises as the single."""
    rising = single_triangle(minimum, maximum, lower, upper, cutoff)
    falling = single_triangle(next_minimum, maximum, lower, upper, cutoff)
    return (rising + falling) / 2


def average(minimum: float, maximum: float, lower: float) -> float:
    """The day's mean above the threshold ('method 1'); no part of a cold day counts.

    Raises:
        ValueError: the maximum lies below the minimum.
    """
    _check(minimum, maximum, lower, None)
    return max(0.0, (minimum + maximum) / 2 - lower)


def clamped_average(
    minimum: float, maximum: float, lower: float, upper: float | None = None
) -> float:
    """The same after minimum and maximum are brought to within the thresholds ('method 2').

    Raises:
        ValueError: the maximum lies below the minimum, or the thresholds are the wrong way round.
    """
    _check(minimum, maximum, lower, upper)
    ceiling = math.inf if upper is None else upper
    coldest, hottest = (min(max(value, lower), ceiling) for value in (minimum, maximum))
    return (coldest + hottest) / 2 - lower


def _with_cutoff(
    above: Callable[[float, float, float], float],
    share: Callable[[float, float, float], float],
    minimum: float,
    maximum: float,
    lower: float,
    upper: float | None,
    cutoff: Cutoff,
) -> float:
    """Degree-days above `lower`, less what the cutoff takes away above `upper`."""
    if cutoff == "none":
        upper = None
    _check(minimum, maximum, lower, upper)
    warm = above(minimum, maximum, lower)
    if upper is None:
        return warm
    hot = above(minimum, maximum, upper)
    if cutoff == "vertical":
        lost = warm if minimum >= upper else hot + (upper - lower) * share(minimum, maximum, upper)
    else:
        lost = 2 * hot if cutoff == "intermediate" else hot
    # On a day hot throughout an intermediate cutoff may outweigh the gain; growth never runs back.
    return max(0.0, warm - lost)


def _check(minimum: float, maximum: float, lower: float, upper: float | None) -> None:
    if not minimum <= maximum:
        raise ValueError(f"maximum {maximum} lies below minimum {minimum}")
    if upper is not None and not lower < upper:
        raise ValueError(f"upper threshold {upper} does not lie above lower threshold {lower}")


def _sine_above(minimum: float, maximum: float, threshold: float) -> float:
    mean = (minimum + maximum) / 2
    if maximum <= threshold:
        return 0.0
    if minimum >= threshold:
        return mean - threshold
    half_range = (maximum - minimum) / 2
    angle = _crossing(minimum, maximum, threshold)
    return ((mean - threshold) * (math.pi / 2 - angle) + half_range * math.cos(angle)) / math.pi


def _sine_share(minimum: float, maximum: float, threshold: float) -> float:
    """Share of a day, not hot throughout, that is hotter than the threshold."""
    if maximum <= threshold:
        return 0.0
    return 0.5 - _crossing(minimum, maximum, threshold) / math.pi


def _crossing(minimum: float, maximum: float, threshold: float) -> float:
    """Angle, radians from -pi/2 to pi/2, at which the rising sine meets the threshold."""
    height = (2 * threshold - minimum - maximum) / (maximum - minimum)
    return math.asin(min(1.0, max(-1.0, height)))


def _triangle_above(minimum: float, maximum: float, threshold: float) -> float:
    if maximum <= threshold:
        return 0.0
    if minimum >= threshold:
        return (minimum + maximum) / 2 - threshold
    return (maximum - threshold) ** 2 / (2 * (maximum - minimum))


def _triangle_share(minimum: float, maximum: float, threshold: float) -> float:
    """Share of a day, not hot throughout, that is hotter than the threshold."""
    if maximum <= threshold:
        return 0.0
    return (maximum - threshold) / (maximum - minimum)
