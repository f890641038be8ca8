"""Seconds to be had by some days, against those that each day has."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.plan.wave import each_day, of_today

JOBS = st.lists(st.tuples(st.floats(1, 200), st.integers(-5, 12)), min_size=1, max_size=15)


def arrays(jobs: list[tuple[float, int]]) -> tuple[np.ndarray, np.ndarray]:
    return np.array([job[0] for job in jobs]), np.array([job[1] for job in jobs])


def is_held(jobs: list[tuple[float, int]], first: float, later: float) -> bool:
    """Whether all is done by its day where seconds go to what is to be done first."""
    open_jobs = sorted((max(0, day), seconds) for seconds, day in jobs)
    day, left = 0, first
    for by, seconds in open_jobs:
        while seconds > left + 1e-6:
            seconds -= left
            day, left = day + 1, later
            if day > by:
                return False
        if day > by:
            return False
        left -= seconds
    return True


@given(JOBS)
def test_the_fewest_seconds_a_day_hold_all_and_fewer_do_not(jobs: list[tuple[float, int]]) -> None:
    seconds = each_day(*arrays(jobs))
    assert is_held(jobs, seconds, seconds)
    assert not is_held(jobs, seconds * 0.99, seconds * 0.99)


@given(JOBS, st.floats(1, 300))
def test_the_fewest_seconds_today_let_the_days_ahead_hold_the_rest(
    jobs: list[tuple[float, int]], later: float
) -> None:
    today = of_today(*arrays(jobs), later)
    assert is_held(jobs, today, later)
    if today > 0:
        assert not is_held(jobs, today * 0.99, later)


def test_nothing_asks_for_nothing() -> None:
    nothing = np.array([]), np.array([], dtype=int)
    assert each_day(*nothing) == 0
    assert of_today(*nothing, 10.0) == 0


def test_what_falls_due_on_one_day_is_begun_before_it() -> None:
    seconds, in_days = np.full(6, 100.0), np.full(6, 2)
    assert each_day(seconds, in_days) == pytest.approx(200)
    assert of_today(seconds, in_days, 250.0) == pytest.approx(100)
    assert of_today(seconds, in_days, 300.0) == 0
