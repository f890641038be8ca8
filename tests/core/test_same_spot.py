"""Which spots of a place are one: as a grower types them."""

import pytest

from rounds.core.collection import same_spot


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("spot 6", "Spot  6"),
        ("6", "spot 6"),
        ("6", "spot 06"),
        ("spot 6", "6"),
        (None, ""),
        ("A3", "a3"),
    ],
)
def test_these_are_one_spot(one: str | None, other: str | None) -> None:
    assert same_spot(one, other)
    assert same_spot(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("6", "spot 7"), ("6", "A6"), ("6", "A 6"), ("6", "row 2 spot 6"), ("6", ""), ("6", "6b"),
        ("spot 6", "shelf 6"), ("spot", "6"), ("\N{SUPERSCRIPT TWO}", "spot 2"),
    ],
)  # fmt: skip
def test_these_are_not(one: str, other: str) -> None:
    assert not same_spot(one, other)
    assert not same_spot(other, one)
