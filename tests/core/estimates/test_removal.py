"""Removal estimates agree with published ones, and say so where there is none."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.estimates.removal import (
    NoEstimate,
    Removal,
    carle_strub,
    likelihood,
    robson_regier,
    three_pass,
    two_pass,
    unequal_first,
)

# Package FSA (droglenc/FSA), tests/testthat/testthat_removal.R and help page of `removal` (Ogle),
# which quote: Carle & Strub 1978, Biometrics 34:621-630 (first row); Cowx 1983, Fish Manage
# 14:67-82, p. 77 (second row; its standard error of 23.62 is not that of the formula and is left
# out). Catches, N, SE, p.
CARLE_STRUB = [
    ((38, 26, 12), 91, 9.7, 0.444),
    ((72, 56, 46, 30, 24), 298, None, 0.250),
    ((77, 50, 37), 233, 31.3578504, 0.3313131),
    ((65, 34, 12), 121, 5.771511, 0.5577889),
    ((54, 26, 9), 95, 4.247687, 0.5894040),
    ((68, 35, 12), 125, 5.666291, 0.5637255),
    ((57, 34), 130, 26.108558, 0.4482759),
    ((54, 27), 103, 14.760527, 0.5328947),
    ((67, 34), 130, 17.446161, 0.5233161),
]

# Jones & Stockwell 1995, N Am J Fish Manage 15:551-562, Table 1, as in droglenc/FSAdata
# (data-raw/JonesStockwell.csv): the rows that agree with the published formula.
JONES_STOCKWELL = {
    (25, 10, 8): 48, (6, 2, 1): 9, (19, 11, 8): 46, (2, 1, 0): 3, (4, 3, 0): 7, (2, 0, 0): 2,
    (17, 10, 6): 38, (14, 5, 4): 24, (103, 22, 12): 140, (3, 1, 0): 4, (4, 4, 0): 8,
    (11, 1, 1): 13, (5, 6, 0): 11,
}  # fmt: skip

# Schnute 1983, Can J Fish Aquat Sci 40:2153-2169, Tables 1 to 3, as in droglenc/FSAdata
# (data-raw/BrookTroutNEWP1.csv). Catches, N, low, high, p; chi-square of a first pass of its own,
# twice a difference of two printed decimals (of the second series it could not be told which).
SCHNUTE = [
    ((45, 11, 18, 8), 90.6, 83.4, 109.2, 0.44, 4.74),
    ((52, 31, 10, 12), 114.6, 107.0, 131.5, 0.46, None),
    ((50, 10, 8, 6), 75.5, 74.0, 81.3, 0.60, 5.50),
    ((53, 22, 14, 4), 96.4, 93.0, 104.8, 0.55, 0.00),
    ((37, 4, 2, 3), 46.0, 46.0, 47.7, 0.73, 5.06),
    ((16, 22, 6, 4), 55.0, 48.4, 81.6, 0.39, 7.94),
    ((38, 11, 4, 5), 58.9, 58.0, 64.0, 0.61, 1.48),
    ((27, 9, 5, 3), 44.8, 44.0, 50.5, 0.58, 0.24),
]


@pytest.mark.parametrize(("catches", "number", "error", "share"), CARLE_STRUB)
def test_carle_and_strub_agrees_with_what_was_published(
    catches: tuple[int, ...], number: int, error: float | None, share: float
) -> None:
    found = carle_strub(catches)
    assert found.estimate == number
    assert found.detection == pytest.approx(share, abs=5e-4)
    if error is not None:
        assert found.standard_error == pytest.approx(error, abs=0.05)


def test_the_interval_of_carle_and_strub_is_that_of_its_help_page() -> None:
    # FSA help page of `removal`
    found = carle_strub((77, 50, 37))
    assert (found.low, found.high) == pytest.approx((171.5397426, 294.4602574), abs=1e-6)


@pytest.mark.parametrize(("catches", "number"), JONES_STOCKWELL.items(), ids=str)
def test_small_catches_agree_with_jones_and_stockwell(
    catches: tuple[int, ...], number: int
) -> None:
    assert carle_strub(catches).estimate == number


@pytest.mark.parametrize(("catches", "number", "low", "high", "share", "chi"), SCHNUTE)
def test_the_likelihood_agrees_with_schnute(
    catches: tuple[int, ...], number: float, low: float, high: float, share: float,
    chi: float | None,
) -> None:  # fmt: skip
    found = likelihood(catches)
    assert found.estimate == pytest.approx(number, abs=0.051)
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.051)
    assert found.detection == pytest.approx(share, abs=0.0051)
    if chi is not None:
        assert unequal_first(catches).chi_square == pytest.approx(chi, abs=0.015)


def test_moran_agrees_with_its_help_page() -> None:
    # FSA help page of `removal`: Moran
    found = likelihood((77, 50, 37))
    assert found.estimate == pytest.approx(237.5965440, abs=1e-4)
    assert found.detection == pytest.approx(0.3223336, abs=1e-6)
    assert (found.low, found.high) == pytest.approx((194.65, 370.91), abs=0.01)


def test_a_first_pass_of_its_own_agrees_with_schnute() -> None:
    # FSA help page of `removal`: Schnute, and the likelihood ratio test against Moran
    found = unequal_first((77, 50, 37))
    assert found.estimate == pytest.approx(245.0955550, abs=1e-3)
    assert found.detection == pytest.approx(0.3039927, abs=1e-6)
    assert found.first_detection == pytest.approx(0.3141632, abs=1e-6)
    assert found.low == pytest.approx(183.9, abs=0.05)
    assert found.high is None
    assert found.p_value == pytest.approx(0.8882765, abs=1e-5)
    # Schnute 1983, sample 1
    other = unequal_first((45, 11, 18, 8))
    assert other.estimate == pytest.approx(123.5879686, abs=1e-3)
    assert other.detection == pytest.approx(0.1890032, abs=1e-6)
    assert other.first_detection == pytest.approx(0.3641131, abs=1e-6)
    assert other.p_value == pytest.approx(0.02955309, abs=1e-6)


def test_two_passes_agree_with_seber() -> None:
    # FSA help page of `removal`: Seber 2002. Its interval of 110.96 to 185.49 begins below the
    # 114 that were removed; ours does not.
    found = two_pass((77, 37))
    assert found.estimate == pytest.approx(148.225)
    assert found.standard_error == pytest.approx(19.0118725, abs=1e-6)
    assert (found.low, found.high) == pytest.approx((114, 185.4876), abs=1e-4)
    assert found.detection == pytest.approx(0.5194805, abs=1e-6)
    assert found.remaining == pytest.approx(34.225)


def test_robson_and_regier_agrees_with_cowx() -> None:
    # Cowx 1983, p. 75
    found = robson_regier((72, 56))
    assert found.estimate == pytest.approx(320.5)
    assert found.standard_error == pytest.approx(178.19, abs=0.005)


def test_three_passes_agree_with_cowx() -> None:
    # Cowx 1983, p. 75, rounded there to 353
    assert three_pass((72, 56, 46)).estimate == pytest.approx(353.348, abs=5e-4)


ALL = [carle_strub, likelihood, unequal_first, two_pass, three_pass, robson_regier]


@pytest.mark.parametrize("method", ALL)
@pytest.mark.parametrize("catches", [(0, 0), (0, 0, 0)])
def test_nothing_removed_is_no_estimate(method: object, catches: tuple[int, ...]) -> None:
    # FSA tests: no estimate and no crash
    with pytest.raises(NoEstimate):
        method(catches)  # type: ignore[operator]


@pytest.mark.parametrize(
    ("method", "catches"),
    [(likelihood, (2, 4, 4)), (two_pass, (3, 3)), (robson_regier, (2, 5)), (three_pass, (0, 0, 2)),
     (unequal_first, (9, 0, 0)), (unequal_first, (9, 3)), (three_pass, (9, 3))],
)  # fmt: skip
def test_catches_that_do_not_fall_off_are_no_estimate(
    method: object, catches: tuple[int, ...]
) -> None:
    with pytest.raises(NoEstimate):
        method(catches)  # type: ignore[operator]


some_catches = st.lists(st.integers(0, 60), min_size=2, max_size=6).filter(any)


@given(some_catches)
def test_an_estimate_is_no_less_than_what_was_removed(catches: list[int]) -> None:
    for method in ALL:
        try:
            found = method(catches)
        except NoEstimate:
            continue
        assert isinstance(found, Removal)
        assert sum(catches) <= found.low <= found.estimate + 1e-9
        assert found.high is None or found.estimate <= found.high + 1e-9
        assert 0 < found.detection <= 1
        assert math.isfinite(found.estimate)


@given(some_catches)
def test_carle_and_strub_is_where_the_weighted_likelihood_peaks(catches: list[int]) -> None:
    """The weighted likelihood of eq. 7 written out, with lgamma, on its neighbours."""
    passes, removed = len(catches), sum(catches)
    weighted = sum((passes - 1 - at) * count for at, count in enumerate(catches))

    def log_weighted(number: int) -> float:
        # binomial of what was seen, the share integrated out over its uniform prior
        seen = passes * number - weighted - removed
        return (
            math.lgamma(number + 1) - math.lgamma(number - removed + 1)
            + math.lgamma(seen + 1) - math.lgamma(seen + removed + 2)
        )  # fmt: skip

    number = int(carle_strub(catches).estimate)
    # neighbours may be alike to the last digit
    assert log_weighted(number) > log_weighted(number + 1) - 1e-9
    if number > removed:
        assert log_weighted(number) >= log_weighted(number - 1) - 1e-9


def test_the_ratio_interval_holds_on_simulated_passes() -> None:
    rng = np.random.default_rng(5)
    tries, held = 400, 0
    for _ in range(tries):
        left, catches = 120, []
        for _ in range(4):
            caught = int(rng.binomial(left, 0.45))
            catches.append(caught)
            left -= caught
        found = likelihood(catches)
        held += found.low <= 120 <= (found.high or math.inf)
    assert abs(held / tries - 0.95) < 3 * math.sqrt(0.95 * 0.05 / tries)
