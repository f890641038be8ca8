"""Three logs against whole insects, kept where their looks found exactly the same."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from rounds.core.inference.answer import answer
from rounds.core.inference.evidence import gather
from rounds.core.inference.observed import Log

from .colonies import Season, left_after
from .logs import PARAMETERS, facts, on, tally, whole

FAR_OFF = 3.5
"""standard errors"""


def log_of(season: Season, found: Mapping[int, Mapping[str, int]]) -> Log:
    looks = [
        one
        for day in range(season.last + 1)
        if day % season.every == 0 or day in found
        for one in whole(day, {z: [tally(k)] for z, k in found.get(day, {}).items()})
    ]
    usual = PARAMETERS.infestation.arrivals_apart
    days = [on(day) for day in range(1, season.last + 1)]
    of = replace(
        facts(looks, celsius=season.celsius),
        neighbours=dict.fromkeys(days, season.arrivals - usual),
    )
    log = gather(of, on(season.last), PARAMETERS).log
    return replace(log, start=replace(log.start, infested=1.0))


@pytest.mark.parametrize(
    ("season", "found", "plants"),
    [
        (Season(last=12, every=3), {}, 5_000),
        (Season(last=10, every=2), {0: {"axils": 1}}, 20_000),
        (Season(last=7, every=2, celsius=26.0, arrivals=0.05), {2: {"axils": 1}}, 24_000),
    ],
    ids=["clean", "found on arrival", "found later, with arrivals"],
)
def test_the_sums_say_what_whole_insects_do(
    season: Season, found: Mapping[int, Mapping[str, int]], plants: int
) -> None:
    left = np.array(left_after(season, found, plants, seed=11))
    got = answer(log_of(season, found), with_interval=False)
    assert len(left) > 150
    assert np.exp(got.log_probability) > 1e-3
    shares = (
        (len(left) / plants, np.exp(got.log_probability), plants),
        ((left == 0).mean(), got.chance_clean, len(left)),
    )
    for share, chance, number in shares:
        assert abs(share - chance) < FAR_OFF * np.sqrt(chance * (1 - chance) / number)
    error = left.std() / np.sqrt(len(left))
    assert abs(left.mean() - got.mean.sum()) < FAR_OFF * error
