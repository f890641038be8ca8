"""Degree-days agree with published tables and with the area under the curve they stand for."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.biology.degree_days import day_degree_days, single_sine
from rounds.core.parameters import Warmth

WARMTH = Warmth(lower_threshold_c=8, upper_cutoff_c=28, known_up_to_c=32)
PRINTED = 0.005 + 1e-9
"""two decimals were printed"""

# Zalom, Goodell, Wilson, Barnett & Bentley 1983, UC DANR Leaflet 21373, Table 7, as kept in
# UCANR-IGIS/degday, tests/testthat/zalom83_tbl7.RData. Thresholds 55 and 90 degF, horizontal.
# min, max, single sine
ZALOM = [
    (96, 110, 35.00),
    (91, 105, 35.00),
    (45, 54, 0.00),
    (38, 50, 0.00),
    (60, 80, 15.00),
    (45, 70, 5.31),
    (60, 100, 22.82),
    (48, 95, 16.96),
]

# UC IPM degree-day calculator, Esparto-A 2020, thresholds 50 and 70 degF, as kept in
# UCANR-IGIS/degree-day-challenge, data/ucipm_results/ucipm_low50_high70_all.csv.
# min, max, single sine horizontal
UCIPM = [
    (38, 55, 1.19),
    (36, 67, 5.71),
    (33, 59, 2.34),
    (43, 74, 9.33),
    (61, 89, 17.76),
    (57, 84, 15.95),
    (60, 96, 17.69),
]

# README of UCANR-IGIS/degday, thresholds 55 and 93.9 degF.
# min, max, single sine
DEGDAY_README = [
    (38, 55, 0.00),
    (36, 67, 3.31),
    (33, 59, 0.68),
    (37, 59, 0.74),
    (38, 63, 1.99),
    (36, 58, 0.48),
]


@pytest.mark.parametrize(("low", "high", "expected"), ZALOM)
def test_it_agrees_with_zalom_1983(low: float, high: float, expected: float) -> None:
    assert single_sine(low, high, 55, 90) == pytest.approx(expected, abs=PRINTED)


@pytest.mark.parametrize(("low", "high", "expected"), UCIPM)
def test_it_agrees_with_the_uc_ipm_calculator(low: float, high: float, expected: float) -> None:
    assert single_sine(low, high, 50, 70) == pytest.approx(expected, abs=PRINTED)


@pytest.mark.parametrize(("low", "high", "expected"), DEGDAY_README)
def test_it_agrees_with_the_degday_readme(low: float, high: float, expected: float) -> None:
    assert single_sine(low, high, 55, 93.9) == pytest.approx(expected, abs=PRINTED)


def test_it_agrees_with_trenchr() -> None:
    # TrenchR help page of degree_days (trenchproject/TrenchR): 7 to 14 degC, 12 and 33 degC;
    # printed as .47, more decimals recomputed.
    assert single_sine(7, 14, 12, 33) == pytest.approx(0.46806, abs=5e-6)


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
