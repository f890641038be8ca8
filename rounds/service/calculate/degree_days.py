"""The degree-days of one day, by the methods that are in print."""

from collections.abc import Callable, Mapping
from typing import cast

from rounds import words
from rounds.core.biology import degree_days as sums
from rounds.core.biology.degree_days import Cutoff
from rounds.errors import BadInput
from rounds.service.calculate.calculated import Calculated

COLDEST, HOTTEST = -150.0, 200.0
"""in either unit; beyond them it is a slip of the hand"""
CUTOFFS = ("horizontal", "vertical", "none")
OF_ONE_DAY: Mapping[str, Callable[..., float]] = {
    "single-sine": sums.single_sine,
    "double-sine": sums.single_sine,
    "single-triangle": sums.single_triangle,
    "double-triangle": sums.single_triangle,
}
METHODS = (*OF_ONE_DAY, "average")


def degree_days(
    low: float,
    high: float,
    next_low: float | None,
    lower: float,
    upper: float | None,
    method: str,
    cutoff: str,
    *,
    fahrenheit: bool,
) -> Calculated:
    """The degree-days of a day, in the unit given, by one of `METHODS` and of `CUTOFFS`.

    BadInput for what is no day.
    """
    _check_method(method, cutoff, next_low)
    _check_temperature("min_c", low)
    _check_temperature("max_c", high)
    _check_temperature("next_low", next_low)
    _check_temperature("lower", lower)
    _check_temperature("upper", upper)
    if low > high:
        raise BadInput("max-below-min", min=low, max=high, field="max_c")
    if next_low is not None and next_low > high:
        raise BadInput("max-below-min", min=next_low, max=high, field="next_low")
    if upper is not None and upper <= lower:
        raise BadInput("thresholds-crossed", lower=f"{lower:g}", upper=f"{upper:g}", field="upper")
    found = _of_day(low, high, next_low, lower, upper, method, cast(Cutoff, cutoff))
    return Calculated(
        calculation="degree-days",
        method=method,
        inputs={
            "min": low,
            "max": high,
            "next_min": next_low,
            "lower": lower,
            "upper": upper,
            "cutoff": "none" if upper is None else cutoff,
            "unit": "degF" if fahrenheit else "degC",
        },
        result={"degree_days": found},
        no_estimate_reason=None,
        warnings=(),
        source=words.section("sums.source.degree-days")[method],
    )


def _check_method(method: str, cutoff: str, next_low: float | None) -> None:
    if method.startswith("double") and next_low is None:
        raise BadInput("needs-next-low", method=method, field="next_low")
    if method == "average" and cutoff == "vertical":
        raise BadInput("no-vertical-average", field="cutoff")


def _check_temperature(field: str, given: float | None) -> None:
    if given is not None and not COLDEST <= given <= HOTTEST:
        raise BadInput("no-temperature", given=f"{given:g}", field=field)


def _of_day(
    low: float,
    high: float,
    next_low: float | None,
    lower: float,
    upper: float | None,
    method: str,
    cutoff: Cutoff,
) -> float:
    if method == "average":
        return sums.average(low, high, lower, upper if cutoff == "horizontal" else None)
    of_one = OF_ONE_DAY[method]
    found = of_one(low, high, lower, upper, cutoff)
    if not method.startswith("double"):
        return found
    return (found + of_one(next_low, high, lower, upper, cutoff)) / 2
