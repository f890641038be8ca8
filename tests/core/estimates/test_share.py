"""A share has the interval of its cases, and a wider one where these come in clusters."""

import pytest

from rounds.core.estimates.share import clustered_share, wilson

Z_95 = 1.959963984540054

PRINTED = (
    # Newcombe 1998, Statistics in Medicine 17, 857-872, table I, method 3 (score interval)
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0000, 0.1611),
    (1, 29, 0.0061, 0.1718),
)


@pytest.mark.parametrize(("hits", "cases", "low", "high"), PRINTED)
def test_the_interval_is_the_one_that_was_printed(
    hits: int, cases: int, low: float, high: float
) -> None:
    found = wilson(hits, cases, Z_95)
    assert (round(found.low, 4), round(found.high, 4)) == (low, high)
    assert found.value == hits / cases


def test_all_and_none_end_at_the_ends() -> None:
    assert wilson(0, 4).low == 0.0
    assert wilson(4, 4).high == 1.0
    assert clustered_share([(3, 3), (2, 2)]).high == 1.0


def test_cases_that_differ_no_more_than_by_chance_count_each() -> None:
    alike = clustered_share([(1, 2)] * 10)
    assert alike == wilson(10, 20)


def test_plants_that_differ_make_it_wider_and_one_plant_is_one_case() -> None:
    apart = clustered_share([(4, 4), (0, 4), (4, 4), (0, 4)])
    plain = wilson(8, 16)
    assert apart.low < plain.low
    assert apart.high > plain.high
    assert clustered_share([(8, 16)]) == wilson(0.5, 1.0)


def test_no_cases_have_no_share() -> None:
    with pytest.raises(ValueError, match="no cases"):
        clustered_share([])
    with pytest.raises(ValueError, match="5 of 4"):
        wilson(5, 4)
