"""Removal by passes: the published figures, and no figure where passes say nothing."""

import pytest

from rounds.core.estimates.removal import carle_strub, estimate

PUBLISHED = [
    # Carle & Strub 1978, Biometrics 34:621-630
    ((38, 26, 12), 91, 0.444),
    # Cowx 1983, Fish. Manage. 14:67-82, p. 77
    ((72, 56, 46, 30, 24), 298, 0.250),
    # FSA, help page of `removal` (Ogle)
    ((77, 50, 37), 233, 0.3313131),
    ((65, 34, 12), 121, 0.5577889),
    ((54, 26, 9), 95, 0.5894040),
    ((68, 35, 12), 125, 0.5637255),
    ((57, 34), 130, 0.4482759),
    ((54, 27), 103, 0.5328947),
    ((67, 34), 130, 0.5233161),
]
ERRORS = [
    # FSA, help page of `removal` (Ogle); the first: Carle & Strub 1978
    ((38, 26, 12), 9.7, 0.05),
    ((77, 50, 37), 31.3578504, 1e-6),
    ((65, 34, 12), 5.771511, 1e-5),
    ((54, 26, 9), 4.247687, 1e-5),
    ((68, 35, 12), 5.666291, 1e-5),
    ((57, 34), 26.108558, 1e-5),
    ((54, 27), 14.760527, 1e-5),
    ((67, 34), 17.446161, 1e-5),
]
SMALL = [
    # Jones & Stockwell 1995, N. Am. J. Fish. Manage. 15:551-562, Table 1: rows that agree exactly
    ((25, 10, 8), 48),
    ((6, 2, 1), 9),
    ((19, 11, 8), 46),
    ((2, 1, 0), 3),
    ((4, 3, 0), 7),
    ((2, 0, 0), 2),
    ((17, 10, 6), 38),
    ((14, 5, 4), 24),
    ((103, 22, 12), 140),
    ((3, 1, 0), 4),
    ((4, 4, 0), 8),
    ((11, 1, 1), 13),
    ((5, 6, 0), 11),
]
REFUSED = [(42, 57, 43), (82, 26, 39), (2, 4, 4), (4, 3, 4), (0, 0, 2)]
"""Of the same table, those its authors refused for too large an error."""


@pytest.mark.parametrize(("catches", "number", "detection"), PUBLISHED)
def test_numbers_are_the_published_ones(
    catches: tuple[int, ...], number: int, detection: float
) -> None:
    found = carle_strub(catches)
    assert found.number == number
    assert found.detection == pytest.approx(detection, abs=5e-4)
    assert found.left == number - sum(catches)


@pytest.mark.parametrize(("catches", "error", "within"), ERRORS)
def test_standard_errors_are_the_published_ones(
    catches: tuple[int, ...], error: float, within: float
) -> None:
    assert carle_strub(catches).standard_error == pytest.approx(error, abs=within)


@pytest.mark.parametrize(("catches", "number"), SMALL)
def test_small_catches_come_out_as_published(catches: tuple[int, ...], number: int) -> None:
    assert carle_strub(catches).number == number


@pytest.mark.parametrize("catches", REFUSED)
def test_where_its_error_is_large_there_is_no_estimate(catches: tuple[int, ...]) -> None:
    assert estimate(catches) is None


@pytest.mark.parametrize("catches", [(), (5,), (5, 2), (0, 0, 0)])
def test_passes_that_say_nothing_give_no_estimate(catches: tuple[int, ...]) -> None:
    assert estimate(catches) is None


def test_what_is_left_is_never_below_none() -> None:
    found = estimate((14, 5, 1))
    assert found is not None
    low, high = found.interval
    assert 0 <= low <= found.left <= high
