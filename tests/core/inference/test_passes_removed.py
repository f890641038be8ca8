"""What each of the last looks removed: the passes of a depletion estimate."""

from collections.abc import Sequence

import pytest

from rounds.core.inference.passes_removed import estimate, removed_by_pass
from rounds.core.log.effective import EffectiveLook

from .logs import PARAMETERS, facts, look, on, tally, whole

LAST = 20


def removed(counts: dict[int, int], day: int = LAST) -> Sequence[int] | None:
    """Of complete looks on some days, each with so many removed in the axils."""
    looks: list[EffectiveLook] = []
    for number, count in sorted(counts.items()):
        looks += whole(number, {"axils": [tally(count)]} if count else {})
    return removed_by_pass(facts(looks), on(day), PARAMETERS)


def test_passes_are_the_complete_looks_of_a_week_from_the_first_that_removed_any() -> None:
    assert removed({10: 9, 14: 0, 16: 8, 18: 3, 20: 1}) == (8, 3, 1)


def test_where_nothing_was_removed_lately_no_passes_are_asked_for() -> None:
    assert removed({8: 4, 16: 0, 18: 0, 20: 0}) is None
    assert removed({}) is None


def test_a_short_look_is_no_pass() -> None:
    looks = [*whole(18, {"axils": [tally(5)]}), look(19, "axils", tally(2)), *whole(20)]
    assert removed_by_pass(facts(looks), on(LAST), PARAMETERS) == (5, 0)


def test_what_was_left_there_or_is_of_a_later_day_was_not_removed() -> None:
    looks = [*whole(18, {"axils": [tally(3), tally(4, "left"), tally(2, "killed")]}), *whole(20)]
    assert removed_by_pass(facts(looks), on(19), PARAMETERS) == (5,)


@pytest.mark.parametrize("catches", [(42, 57, 43), (82, 26, 39), (2, 4, 4), (4, 3, 4), (0, 0, 2)])
def test_series_whose_authors_refused_an_estimate_give_none(catches: tuple[int, ...]) -> None:
    """Jones & Stockwell 1995, N. Am. J. Fish. Manage. 15:551-562, Table 1."""
    assert estimate(catches) is None


@pytest.mark.parametrize("catches", [(), (5,), (5, 2), (0, 0, 0)])
def test_passes_that_say_nothing_give_no_estimate(catches: tuple[int, ...]) -> None:
    assert estimate(catches) is None


def test_passes_that_fall_off_give_the_published_estimate() -> None:
    """Carle & Strub 1978, Biometrics 34:621-630: 91, of which 76 were removed."""
    found = estimate((38, 26, 12))
    assert found is not None
    assert (found.estimate, found.remaining) == (91, 15)
