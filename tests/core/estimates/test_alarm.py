"""The run length of the alarm is that of simulated counts, and of a chain solved by hand."""

import math

import numpy as np
import pytest

from rounds.core.estimates.alarm import TooFine, average_run_length


@pytest.mark.parametrize(
    ("mean", "reference", "limit", "head_start"),
    [(2.0, 1.8, 5.0, 0.0), (2.0, 1.8, 5.0, 2.5), (4.0, 3.0, 10.0, 0.0), (0.5, 0.9, 2.0, 0.0)],
)
def test_it_is_the_mean_of_simulated_runs(
    mean: float, reference: float, limit: float, head_start: float
) -> None:
    rng = np.random.default_rng(3)
    tries = 4000
    total, lengths = np.full(tries, head_start), np.zeros(tries)
    running = np.ones(tries, dtype=bool)
    while running.any():
        lengths[running] += 1
        total = np.maximum(0, total + rng.poisson(mean, tries) - reference)
        # counts and references of one decimal: what misses the limit by rounding is on it
        running &= total < limit - 1e-9
    error = lengths.std() / math.sqrt(tries)
    found = average_run_length(mean, reference, limit, head_start)
    assert abs(found - lengths.mean()) < 3.5 * error


def test_a_chain_of_one_state_is_solved_by_hand() -> None:
    # K 1 and H 1: it signals at the first count of 2 or more, which has chance 1 - 2/e at mean 1
    assert average_run_length(1.0, 1.0, 1.0) == pytest.approx(1 / (1 - 2 / math.e))


def test_it_signals_at_the_limit_and_not_only_beyond() -> None:
    # Lucas 1985, Technometrics 27:129-144: at h or above. With K 1, H 2 a count of 3 is enough.
    below = average_run_length(1.0, 1.0, 2.0)
    assert below < average_run_length(1.0, 1.0, 2.1)


def test_counts_that_never_come_never_signal() -> None:
    assert average_run_length(0.0, 1.0, 5.0) == math.inf


def test_the_alarm_of_a_colony_is_false_once_in_more_than_a_thousand_looks() -> None:
    # mean 1, reference 1.8, limit 5: assumptions; the run length is worked out
    assert average_run_length(1.0, 1.8, 5.0) == pytest.approx(1255.4, abs=0.05)
    assert average_run_length(2.0, 1.8, 5.0) == pytest.approx(15.19, abs=0.005)


def test_too_fine_a_division_is_refused() -> None:
    with pytest.raises(TooFine):
        average_run_length(1.0, 1.23456, 5.0)
