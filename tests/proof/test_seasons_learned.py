"""What a season's finds tell of the zones and of a source, against whole insects."""

import numpy as np
import pytest

from tests.proof.seasons_learned import ELSEWHERE, FINDS, learned_rate, learned_share, learned_zones

GROWERS = 40


@pytest.mark.parametrize("weights", [{}, ELSEWHERE], ids=["as assumed", "elsewhere"])
def test_nine_intervals_of_ten_hold_where_insects_sit(weights: dict[str, float]) -> None:
    each = [learned_zones(weights, seed) for seed in range(GROWERS)]
    within = [
        told.low <= truth[zone] <= told.high
        for learned, truth in each
        for zone, told in learned.items()
    ]
    assert np.mean(within) > 0.85


def test_many_finds_go_most_of_the_way_from_what_was_assumed() -> None:
    each = [learned_zones(ELSEWHERE, seed, 4 * FINDS)[0] for seed in range(10)]
    axils = float(np.mean([learned["axils"].value for learned in each]))
    assert 0.48 < axils < 0.57
    undersides = float(np.mean([learned["undersides"].value for learned in each]))
    assert 0.11 < undersides < 0.16


@pytest.mark.parametrize("share", [0.1, 0.25, 0.6])
def test_of_a_source_the_share_infested_is_told_with_what_looks_may_have_missed(
    share: float,
) -> None:
    told = [learned_share(share, 60, seed) for seed in range(6)]
    assert np.mean([one.value for one in told]) == pytest.approx(share, abs=0.12)
    assert sum(one.low <= share <= one.high for one in told) >= 4


@pytest.mark.parametrize("rate", [0.001, 0.005])
def test_the_crawlers_that_wander_in_are_told_from_half_a_year_of_a_collection(rate: float) -> None:
    told = [learned_rate(rate, 60, seed) for seed in range(4)]
    assert np.mean([one.value for one in told]) == pytest.approx(rate, rel=0.35)
    assert sum(one.low <= rate <= one.high for one in told) >= 3
