"""Seconds that nobody who is due could use go to plants with insects."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.core.plan.call import Turn
from rounds.core.plan.split import split
from tests.core.drawn_rounds import (
    ALIVE,
    DUE,
    REFERENCE,
    SHARES,
    TURNS,
    calls_of,
    outbreak,
    used,
)

OWED = st.lists(st.sampled_from(TURNS), min_size=1, max_size=9)


@given(st.integers(0, 10_000), OWED, st.floats(60, 3000))
@settings(deadline=None, max_examples=200)
def test_no_second_is_left_while_a_plant_with_insects_is_looked_at_for_less_than_usual(
    seed: int, turns: list[Turn], seconds: float
) -> None:
    calls = outbreak(seed, turns)
    found = split(calls, seconds)
    alive = (found.planned & (calls.turn == ALIVE))[calls.owner]
    reference = calls.zones.most / SHARES.credited_at_most
    if (found.seconds < reference - 1e-6)[alive].any():
        assert used(calls, found) >= seconds - 1e-3


@given(st.integers(0, 10_000), OWED, st.floats(60, 3000))
@settings(deadline=None)
def test_what_is_spare_goes_to_plants_with_insects_alone_and_takes_from_nobody(
    seed: int, turns: list[Turn], seconds: float
) -> None:
    calls = outbreak(seed, turns)
    found = split(calls, seconds)
    is_spare = found.spare > 0
    assert (found.spare >= 0).all()
    assert not is_spare[(calls.turn != ALIVE)[calls.owner]].any()
    assert found.planned[calls.owner][is_spare].all()
    if is_spare.any():
        assert not found.owed_is_met or calls.needed_seconds > seconds - 1e-6


def test_what_is_too_little_for_the_next_look_goes_where_it_gains_most_of_what_is_owed() -> None:
    harm = np.full((2, 3, 3), 1e-3)
    harm[0, 2] = 4.0
    calls = calls_of(harm, [ALIVE, DUE])
    calls.floors[3:] *= 4
    # 45 with the walk hold what the first is owed; the second takes 150
    found = split(calls, 100.0)
    assert list(found.planned) == [True, False]
    assert found.seconds.sum() == pytest.approx(90, abs=1e-3)
    assert np.argmax(found.seconds[:3] / REFERENCE) == 2, "where most is"
    assert list(split(calls, 195.0).planned) == [True, True]
