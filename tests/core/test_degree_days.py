"""Degree-days agree with published tables and with the area under the curve they stand for."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.biology.degree_days import (
    average,
    day_degree_days,
    single_sine,
    single_triangle,
)
from rounds.core.parameters import Warmth
from rounds.service.calculate.degree_days import degree_days

WARMTH = Warmth(lower_threshold_c=8, upper_cutoff_c=28, known_up_to_c=32)
PRINTED = 0.005 + 1e-9
"""two decimals were printed"""

# Zalom, Goodell, Wilson, Barnett & Bentley 1983, UC DANR Leaflet 21373, Table 7, as kept in
# UCANR-IGIS/degday, tests/testthat/zalom83_tbl7.RData. Thresholds 55 and 90 degF, horizontal.
# min, max, next min; single and double triangle, single and double sine. One double triangle is a
# misprint there (24.88 for 27.125) and left out.
ZALOM = [
    (96, 110, 91, 35.00, 35.00, 35.00, 35.00),
    (91, 105, 96, 35.00, 35.00, 35.00, 35.00),
    (45, 54, 38, 0.00, 0.00, 0.00, 0.00),
    (38, 50, 45, 0.00, 0.00, 0.00, 0.00),
    (60, 80, 75, 15.00, 18.75, 15.00, 18.75),
    (45, 70, 50, 4.50, 5.06, 5.31, 5.70),
    (60, 100, 75, 23.75, None, 22.82, 26.26),
    (48, 95, 50, 16.76, 17.13, 16.96, 17.23),
]

# UC IPM degree-day calculator, Esparto-A 2020, thresholds 50 and 70 degF, as kept in
# UCANR-IGIS/degree-day-challenge, data/ucipm_results/ucipm_low50_high70_all.csv.
# min, max, next min; single and double sine, single and double triangle: horizontal, vertical
UCIPM = [
    (38, 55, 36, 1.19, 1.19, 1.15, 1.15, 0.74, 0.74, 0.70, 0.70),
    (36, 67, 33, 5.71, 5.71, 5.56, 5.56, 4.66, 4.66, 4.46, 4.46),
    (33, 59, 37, 2.34, 2.34, 2.45, 2.45, 1.56, 1.56, 1.70, 1.70),
    (43, 74, 50, 9.33, 4.65, 10.31, 5.30, 9.03, 6.45, 10.35, 7.39),
    (61, 89, 57, 17.76, 5.43, 17.04, 5.27, 18.55, 4.98, 17.96, 5.23),
    (57, 84, 62, 15.95, 5.71, 16.91, 5.91, 16.87, 6.50, 17.71, 6.16),
    (60, 96, 59, 17.69, 4.76, 17.53, 4.74, 18.61, 4.17, 18.49, 4.24),
]

# README of UCANR-IGIS/degday, thresholds 55 and 93.9 degF.
# min, max, next min; single triangle, single sine, double triangle, double sine
DEGDAY_README = [
    (38, 55, 36, 0.00, 0.00, 0.00, 0.00),
    (36, 67, 33, 2.32, 3.31, 2.22, 3.23),
    (33, 59, 37, 0.31, 0.68, 0.34, 0.71),
    (37, 59, 38, 0.36, 0.74, 0.37, 0.75),
    (38, 63, 36, 1.28, 1.99, 1.23, 1.95),
    (36, 58, 30, 0.20, 0.48, 0.18, 0.45),
]

# McMaster & Wilhelm 1997, Agric For Meteorol 87:291-300, Table 1, method 2, as in the tests of
# UCANR-IGIS/degday: max, min, base 0 degC.
MCMASTER_WILHELM = [
    (20, 10, 15.0), (10, 1, 5.5), (8, -2, 4.0), (6, 0, 3.0), (10, 5, 7.5), (5, -5, 2.5),
    (-2, -7, 0.0), (-5, -10, 0.0), (10, -2, 5.0), (15, 2, 8.5),
]  # fmt: skip

METHODS = ("single-sine", "double-sine", "single-triangle", "double-triangle")


def by_method(
    day: tuple[float, float, float], lower: float, upper: float, method: str, cutoff: str
) -> float:
    """Through the sum that commands give."""
    low, high, next_low = day
    found = degree_days(low, high, next_low, lower, upper, method, cutoff, fahrenheit=True)
    return float(found.result["degree_days"])


@pytest.mark.parametrize("row", ZALOM)
def test_it_agrees_with_zalom_1983(row: tuple[float, ...]) -> None:
    low, high, following, *printed = row
    order = ("single-triangle", "double-triangle", "single-sine", "double-sine")
    for method, expected in zip(order, printed, strict=True):
        if expected is not None:
            got = by_method((low, high, following), 55, 90, method, "horizontal")
            assert got == pytest.approx(expected, abs=PRINTED), method
    assert single_sine(low, high, 55, 90) == pytest.approx(printed[2], abs=PRINTED)


def test_what_zalom_misprinted_is_the_mean_of_two_triangles() -> None:
    assert by_method((60, 100, 75), 55, 90, "double-triangle", "horizontal") == 27.125


@pytest.mark.parametrize("row", UCIPM)
def test_it_agrees_with_the_uc_ipm_calculator(row: tuple[float, ...]) -> None:
    low, high, following, *printed = row
    cases = [(method, cutoff) for method in METHODS for cutoff in ("horizontal", "vertical")]
    for (method, cutoff), expected in zip(cases, printed, strict=True):
        got = by_method((low, high, following), 50, 70, method, cutoff)
        assert got == pytest.approx(expected, abs=PRINTED), (method, cutoff)


@pytest.mark.parametrize("row", DEGDAY_README)
def test_it_agrees_with_the_degday_readme(row: tuple[float, ...]) -> None:
    low, high, following, *printed = row
    order = ("single-triangle", "single-sine", "double-triangle", "double-sine")
    for method, expected in zip(order, printed, strict=True):
        got = by_method((low, high, following), 55, 93.9, method, "horizontal")
        assert got == pytest.approx(expected, abs=PRINTED), method


@pytest.mark.parametrize(("high", "low", "expected"), MCMASTER_WILHELM)
def test_the_average_agrees_with_mcmaster_and_wilhelm(
    high: float, low: float, expected: float
) -> None:
    assert average(low, high, 0, None) == pytest.approx(expected)


def test_the_average_of_a_fig_tree_agrees_with_uc_ipm() -> None:
    # UC IPM, ipm.ucanr.edu/PMG/FIG/cit-t01.html: an average of 64 degF above 53 is 11
    assert average(60, 68, 53, None) == 11


def test_no_cutoff_is_no_upper_threshold() -> None:
    assert single_sine(60, 96, 50, 70, "none") == single_sine(60, 96, 50, None)
    assert single_triangle(60, 96, 50, None) == (60 + 96) / 2 - 50


def test_it_agrees_with_trenchr() -> None:
    # TrenchR help page of degree_days (trenchproject/TrenchR): 7 to 14 degC, 12 and 33 degC;
    # printed as .47, more decimals recomputed.
    assert single_sine(7, 14, 12, 33) == pytest.approx(0.46806, abs=5e-6)
    assert single_triangle(7, 14, 12, 33) == pytest.approx(0.28571, abs=5e-6)


@pytest.mark.parametrize(("low", "high"), [(2, 7), (4, 18), (9, 26), (5, 36), (12, 33), (29, 36)])
def test_a_day_is_the_area_between_its_curve_and_the_thresholds(low: float, high: float) -> None:
    middles = (np.arange(200_000) + 0.5) / 200_000
    curve = (low + high) / 2 + (high - low) / 2 * np.sin(2 * np.pi * middles)
    area = np.clip(curve - 8, 0, 20).mean()
    assert single_sine(low, high, 8, 28) == pytest.approx(area, abs=2e-4)


temperatures = st.floats(min_value=-30, max_value=50, allow_nan=False)
days = st.tuples(temperatures, temperatures).map(sorted)


@given(days, st.floats(min_value=0, max_value=10), st.floats(min_value=0, max_value=10))
def test_a_colder_day_is_never_faster(
    day: list[float], colder_night: float, colder_noon: float
) -> None:
    low, high = day
    colder_high = high - colder_noon
    colder_low = min(low - colder_night, colder_high)
    colder = day_degree_days(colder_low, colder_high, WARMTH)
    assert 0 <= colder <= day_degree_days(low, high, WARMTH) + 1e-9 <= 20 + 2e-9


def test_a_day_without_a_swing_is_its_temperature_above_the_threshold() -> None:
    got = [day_degree_days(t, t, WARMTH) for t in (7, 8, 22, 28, 31)]
    assert got == [0, 0, 14, 20, 20]


def test_a_maximum_below_the_minimum_is_refused() -> None:
    with pytest.raises(ValueError, match="maximum 9 lies below minimum 10"):
        single_sine(10, 9, 8, 28)
    with pytest.raises(ValueError, match="maximum nan"):
        single_sine(10, math.nan, 8, 28)


def test_thresholds_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(ValueError, match="does not lie above lower threshold"):
        single_sine(10, 20, 28, 8)
