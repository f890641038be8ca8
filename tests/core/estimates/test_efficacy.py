"""Efficacy by the formulas of Abbott 1925 and Henderson & Tilton 1955, worked out by hand."""

import pytest

from rounds.core.estimates.efficacy import Counts, abbott, henderson_tilton


def test_groups_that_began_alike_agree_on_both() -> None:
    counts = Counts(100, 10, 100, 80)
    assert abbott(counts) == pytest.approx(0.875)
    assert henderson_tilton(counts) == pytest.approx(0.875)


def test_what_began_heavier_is_allowed_for() -> None:
    # 20 of 200 left, where 90 of 100 stayed without: 1 - (20 / 200) (100 / 90)
    assert henderson_tilton(Counts(200, 20, 100, 90)) == pytest.approx(1 - 0.1 / 0.9)


def test_none_left_without_treatment_tells_nothing() -> None:
    assert abbott(Counts(10, 1, 10, 0)) is None
    assert henderson_tilton(Counts(10, 1, 10, 0)) is None
    assert henderson_tilton(Counts(0, 1, 10, 5)) is None


def test_more_left_than_without_is_below_zero() -> None:
    worse = abbott(Counts(10, 12, 10, 8))
    assert worse is not None
    assert worse < 0
