"""Degree-days agree with published tables and with the area under the curve they stand for."""

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.biology.degree_days import (
    Cutoff,
    average,
    clamped_average,
    day_degree_days,
    double_sine,
    double_triangle,
    single_sine,
    single_triangle,
)
from rounds.core.parameters import Warmth

PRINTED = 0.005 + 1e-9
"""two decimals were printed"""

# Zalom, Goodell, Wilson, Barnett & Bentley 1983, UC DANR Leaflet 21373, Table 7, as kept in
# UCANR-IGIS/degday, tests/testthat/zalom83_tbl7.RData. Thresholds 55 and 90 degF, horizontal.
# min, max, next min, single triangle, double triangle, single sine, double sine
ZALOM = [
    (96, 110, 91, 35.00, 35.00, 35.00, 35.00),
    (91, 105, 96, 35.00, 35.00, 35.00, 35.00),
    (45, 54, 38, 0.00, 0.00, 0.00, 0.00),
    (38, 50, 45, 0.00, 0.00, 0.00, 0.00),
    (60, 80, 75, 15.00, 18.75, 15.00, 18.75),
    (45, 70, 50, 4.50, 5.06, 5.31, 5.70),
    # The double triangle is printed as 24.88, an erratum; the formula of the same leaflet gives
    # the mean of 23.75 (60 to 100) and 30.50 (75 to 100).
    (60, 100, 75, 23.75, 27.125, 22.82, 26.26),
    (48, 95, 50, 16.76, 17.13, 16.96, 17.23),
]

# UC IPM degree-day calculator, Esparto-A 2020, thresholds 50 and 70 degF, as kept in
# UCANR-IGIS/degree-day-challenge, data/ucipm_results/ucipm_low50_high70_all.csv.
# min, max, next min; single sine horizontal, vertical; double sine horizontal, vertical;
# single triangle horizontal, vertical, intermediate; double triangle horizontal, vertical
UCIPM = [
    (38, 55, 36, 1.19, 1.19, 1.15, 1.15, 0.74, 0.74, 0.74, 0.70, 0.70),
    (36, 67, 33, 5.71, 5.71, 5.56, 5.56, 4.66, 4.66, 4.66, 4.46, 4.46),
    (33, 59, 37, 2.34, 2.34, 2.45, 2.45, 1.56, 1.56, 1.56, 1.70, 1.70),
    (43, 74, 50, 9.33, 4.65, 10.31, 5.30, 9.03, 6.45, 8.77, 10.35, 7.39),
    (61, 89, 57, 17.76, 5.43, 17.04, 5.27, 18.55, 4.98, 12.11, 17.96, 5.23),
    (57, 84, 62, 15.95, 5.71, 16.91, 5.91, 16.87, 6.50, 13.24, 17.71, 6.16),
    (60, 96, 59, 17.69, 4.76, 17.53, 4.74, 18.61, 4.17, 9.22, 18.49, 4.24),
]

# README of UCANR-IGIS/degday, thresholds 55 and 93.9 degF.
# min, max, next min, single triangle, single sine, double triangle, double sine
DEGDAY_README = [
    (38, 55, 36, 0.00, 0.00, 0.00, 0.00),
    (36, 67, 33, 2.32, 3.31, 2.22, 3.23),
    (33, 59, 37, 0.31, 0.68, 0.34, 0.71),
    (37, 59, 38, 0.36, 0.74, 0.37, 0.75),
    (38, 63, 36, 1.28, 1.99, 1.23, 1.95),
    (36, 58, 30, 0.20, 0.48, 0.18, 0.45),
]

# McMaster & Wilhelm 1997, Agric For Meteorol 87:291-300, Table 1; degC above 0.
# max, min, method 1, method 2
MCMASTER_WILHELM = [
    (20, 10, 15, 15),
    (10, 1, 5.5, 5.5),
    (8, -2, 3, 4),
    (6, 0, 3, 3),
    (10, 5, 7.5, 7.5),
    (5, -5, 0, 2.5),
    (-2, -7, 0, 0),
    (-5, -10, 0, 0),
    (10, -2, 4, 5),
    (15, 2, 8.5, 8.5),
]


@pytest.mark.parametrize("row", ZALOM)
def test_single_and_double_methods_agree_with_zalom_1983(row: tuple[float, ...]) -> None:
    low, high, next_low, *expected = row
    got = [
        single_triangle(low, high, 55, 90),
        double_triangle(low, high, next_low, 55, 90),
        single_sine(low, high, 55, 90),
        double_sine(low, high, next_low, 55, 90),
    ]
    assert got == pytest.approx(expected, abs=PRINTED)


@pytest.mark.parametrize("row", UCIPM)
def test_cutoffs_agree_with_the_uc_ipm_calculator(row: tuple[float, ...]) -> None:
    low, high, next_low, *expected = row
    got = [
        single_sine(low, high, 50, 70, "horizontal"),
        single_sine(low, high, 50, 70, "vertical"),
        double_sine(low, high, next_low, 50, 70, "horizontal"),
        double_sine(low, high, next_low, 50, 70, "vertical"),
        single_triangle(low, high, 50, 70, "horizontal"),
        single_triangle(low, high, 50, 70, "vertical"),
        single_triangle(low, high, 50, 70, "intermediate"),
        double_triangle(low, high, next_low, 50, 70, "horizontal"),
        double_triangle(low, high, next_low, 50, 70, "vertical"),
    ]
    assert got == pytest.approx(expected, abs=PRINTED)


@pytest.mark.parametrize("row", DEGDAY_README)
def test_methods_agree_with_the_degday_readme(row: tuple[float, ...]) -> None:
    low, high, next_low, *expected = row
    got = [
        single_triangle(low, high, 55, 93.9),
        single_sine(low, high, 55, 93.9),
        double_triangle(low, high, next_low, 55, 93.9),
        double_sine(low, high, next_low, 55, 93.9),
    ]
    assert got == pytest.approx(expected, abs=PRINTED)


def test_single_methods_agree_with_trenchr() -> None:
    # TrenchR help page of degree_days (trenchproject/TrenchR): 7 to 14 degC, 12 and 33 degC;
    # printed as .47 and .29, more decimals recomputed.
    assert single_sine(7, 14, 12, 33) == pytest.approx(0.46806, abs=5e-6)
    assert single_triangle(7, 14, 12, 33) == pytest.approx(0.28571, abs=5e-6)


@pytest.mark.parametrize(("high", "low", "plain", "clamped"), MCMASTER_WILHELM)
def test_averages_agree_with_mcmaster_and_wilhelm_1997(
    high: float, low: float, plain: float, clamped: float
) -> None:
    assert average(low, high, 0) == plain
    assert clamped_average(low, high, 0) == clamped


def test_a_mean_of_64_above_53_is_11() -> None:
    # UC IPM, citrus, degree-days explained (ipm.ucanr.edu/PMG/FIG/cit-t01.html), degF.
    assert average(56, 72, 53) == 11


def test_the_clamped_average_stops_at_the_upper_threshold() -> None:
    assert clamped_average(20, 40, 8, 28) == (20 + 28) / 2 - 8
    assert clamped_average(30, 40, 8, 28) == 20


temperatures = st.floats(min_value=-30, max_value=50, allow_nan=False)
days = st.tuples(temperatures, temperatures).map(sorted)


Floats = npt.NDArray[np.float64]


def _curve(shape: str, low: float, high: float) -> Floats:
    middles: Floats = (np.arange(200_000) + 0.5) / 200_000
    if shape == "sine":
        height: Floats = np.sin(2 * np.pi * middles)
    else:
        height = 1 - 2 * np.abs(2 * middles - 1)
    return (low + high) / 2 + (high - low) / 2 * height


def _rate(curve: Floats, lower: float, upper: float, cutoff: str) -> Floats:
    above: Floats = np.maximum(curve - lower, 0)
    hot: Floats = np.maximum(curve - upper, 0)
    if cutoff == "vertical":
        return np.where(curve > upper, 0, above)
    if cutoff == "horizontal":
        return np.minimum(above, upper - lower)
    if cutoff == "intermediate":
        return above - 2 * hot
    return above


@pytest.mark.parametrize(("low", "high"), [(2, 7), (4, 18), (9, 26), (5, 36), (12, 33), (29, 36)])
@pytest.mark.parametrize("cutoff", ["horizontal", "vertical", "none", "intermediate"])
@pytest.mark.parametrize("shape", ["sine", "triangle"])
def test_a_day_is_the_area_between_its_curve_and_the_thresholds(
    shape: str, cutoff: Cutoff, low: float, high: float
) -> None:
    if shape == "sine" and cutoff == "intermediate":
        with pytest.raises(ValueError, match="triangle"):
            single_sine(low, high, 8, 28, cutoff)
        return
    method: Callable[..., float] = single_sine if shape == "sine" else single_triangle
    area = _rate(_curve(shape, low, high), 8, 28, cutoff).mean()
    assert method(low, high, 8, 28, cutoff) == pytest.approx(area, abs=2e-4)


@given(days, st.floats(min_value=0, max_value=10), st.floats(min_value=0, max_value=10))
def test_a_colder_day_is_never_faster(
    day: list[float], colder_night: float, colder_noon: float
) -> None:
    low, high = day
    warmth = Warmth(lower_threshold_c=8, upper_cutoff_c=28, usual_c=18)
    colder_high = high - colder_noon
    colder_low = min(low - colder_night, colder_high)
    colder = day_degree_days(colder_low, colder_high, warmth)
    assert 0 <= colder <= day_degree_days(low, high, warmth) + 1e-9 <= 20 + 2e-9


@given(days)
def test_equal_minima_make_the_double_methods_the_single_ones(day: list[float]) -> None:
    low, high = day
    assert double_sine(low, high, low, 8, 28) == single_sine(low, high, 8, 28)
    assert double_triangle(low, high, low, 8, 28) == single_triangle(low, high, 8, 28)


def test_a_day_without_a_swing_is_its_temperature_above_the_threshold() -> None:
    warmth = Warmth(lower_threshold_c=8, upper_cutoff_c=28, usual_c=18)
    got = [day_degree_days(t, t, warmth) for t in (7, 8, 22, 28, 31)]
    assert got == [0, 0, 14, 20, 20]
    assert single_sine(31, 31, 8, 28, "vertical") == 0
    assert single_triangle(31, 31, 8, 28, "none") == 23


def test_growth_never_runs_back_under_the_intermediate_cutoff() -> None:
    assert single_triangle(48, 60, 8, 28, "intermediate") == 0


@pytest.mark.parametrize("method", [single_sine, single_triangle, average, clamped_average])
def test_a_maximum_below_the_minimum_is_refused(method: Callable[..., float]) -> None:
    with pytest.raises(ValueError, match="maximum 9 lies below minimum 10"):
        method(10, 9, 8)
    with pytest.raises(ValueError, match="maximum nan"):
        method(10, math.nan, 8)


@pytest.mark.parametrize("method", [double_sine, double_triangle])
def test_a_maximum_below_either_minimum_is_refused(method: Callable[..., float]) -> None:
    with pytest.raises(ValueError, match="below minimum 20"):
        method(20, 15, 10, 8)
    with pytest.raises(ValueError, match="below minimum 20"):
        method(10, 15, 20, 8)


@pytest.mark.parametrize("method", [single_sine, single_triangle, clamped_average])
def test_thresholds_the_wrong_way_round_are_refused(method: Callable[..., float]) -> None:
    with pytest.raises(ValueError, match="does not lie above lower threshold"):
        method(10, 20, 28, 8)
