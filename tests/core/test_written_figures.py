"""Chances and numbers left in words: nothing is certain, and nobody knows tenths of an insect."""

from itertools import combinations_with_replacement

import pytest

from rounds.words.forms import (
    band_in_column,
    chance_clean,
    expected_number,
    in_100,
    left,
    number_in_column,
    out_of_100,
    with_band,
)

ENDS = (0.0, 0.004, 0.01, 0.12, 0.93, 0.99, 0.9901, 1.0)


@pytest.mark.parametrize(
    ("chance", "said", "alone"),
    [
        (0.0, "fewer than 1 in 100", "<1"),
        (0.0099, "fewer than 1 in 100", "<1"),
        (0.01, "1 in 100", "1"),
        (0.29, "29 in 100", "29"),
        (0.9299, "92 in 100", "92"),
        (0.99, "99 in 100", "99"),
        (0.9901, "more than 99 in 100", ">99"),
        (1.0, "more than 99 in 100", ">99"),
    ],
)
def test_a_chance_is_rounded_down_and_never_certain(chance: float, said: str, alone: str) -> None:
    assert in_100(chance) == said
    assert out_of_100(chance) == alone


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (0.001, "chance clean <1 in 100"),
        (0.92, "chance clean 92 in 100"),
        (0.999, "chance clean >99 in 100"),
    ],
)
def test_chance_clean_has_room_in_a_column_of_the_pages(chance: float, said: str) -> None:
    assert chance_clean(chance) == said
    assert len(said) <= 25


@pytest.mark.parametrize(
    ("low", "chance", "high", "beside", "in_column"),
    [
        (0.84, 0.93, 0.96, "93 in 100, 84 to 96", "93 (84-96)"),
        (0.001, 0.002, 0.12, "fewer than 1 in 100, <1 to 12", "<1 (<1-12)"),
        (0.97, 0.995, 0.999, "more than 99 in 100, 97 to >99", ">99 (97 up)"),
        (0.931, 0.934, 0.938, "93 in 100", "93"),
        (0.0, 0.002, 0.003, "fewer than 1 in 100", "<1"),
        (0.992, 0.995, 0.999, "more than 99 in 100", ">99"),
    ],
)
def test_a_chance_is_told_with_its_band_unless_both_ends_read_the_same(
    low: float, chance: float, high: float, beside: str, in_column: str
) -> None:
    assert with_band(in_100(chance), low, high) == beside
    assert band_in_column(chance, low, high) == in_column


def test_a_band_has_room_in_a_column_of_chances() -> None:
    for low, chance, high in combinations_with_replacement(ENDS, 3):
        assert len(band_in_column(chance, low, high)) <= 12


@pytest.mark.parametrize(
    ("mean", "said", "in_column", "of_it"),
    [
        (0.0, "under 1", "<1", "under 1 insect left"),
        (0.99, "under 1", "<1", "under 1 insect left"),
        (1.0, "1", "1", "about 1 insect left"),
        (12.4, "12", "12", "about 12 insects left"),
        (1000.0, "over 1000", ">1000", "over 1000 insects left"),
        (4e6, "over 1000", ">1000", "over 1000 insects left"),
    ],
)
def test_a_number_left_is_whole(mean: float, said: str, in_column: str, of_it: str) -> None:
    assert expected_number(mean) == said
    assert number_in_column(mean) == in_column
    assert left(mean) == of_it


def test_a_number_left_of_grouped_finds_is_rough() -> None:
    assert left(12.4, grouped=True) == "roughly 12 insects left"
    assert left(0.2, grouped=True) == "under 1 insect left"
