"""A date that is named holds: walked on as it supposes, each criterion is met on its day.

`ROUNDS_FORECASTS=200` lives as many seasons.
"""

import os
from pathlib import Path

import pytest

from rounds.core.quarantine.criteria import CHANCE_CLEAN, Criterion, ready
from rounds.core.quarantine.warmth import LIMIT_DAYS

from .seasons import Lived, drawn, number

SEASONS = int(os.environ.get("ROUNDS_FORECASTS", "40"))
DAYS_OFF = 4
"""by which the chance may miss its day where finds are taken together"""


def met(criteria: tuple[Criterion, ...]) -> dict[str, bool]:
    return {criterion.code: criterion.met is True for criterion in criteria}


@pytest.mark.parametrize("seed", range(SEASONS))
def test_walked_on_as_supposed_each_criterion_is_met_on_the_day_named(
    tmp_path: Path, seed: int
) -> None:
    lived = Lived(tmp_path / "season.db", drawn(seed))
    forecast = lived.record(0).forecast
    assert forecast is not None
    named = {c.code: number(c.expected_on) for c in forecast.criteria}
    ready_on = number(forecast.ready_on)
    known = met(forecast.criteria)
    days = [LIMIT_DAYS if day is None else day for day in (*named.values(), ready_on)]
    lived.go_on(max(days))
    said = (seed, lived.season, named, ready_on)
    for code, day in named.items():
        if day is None:
            assert not met(lived.record(LIMIT_DAYS).criteria)[code], (code, said)
        elif not known[code]:
            assert met(lived.record(day).criteria)[code], (code, said)
            assert day == 0 or not met(lived.record(day - 1).criteria)[code], (code, said)
    if ready_on is None:
        assert not ready(lived.record(LIMIT_DAYS).criteria), said
    else:
        assert ready(lived.record(ready_on).criteria), said
        assert ready_on == 0 or not ready(lived.record(ready_on - 1).criteria), said
    lived.logbook.close()


@pytest.mark.parametrize("seed", range(max(2, SEASONS // 20)))
def test_where_finds_are_taken_together_it_is_said_and_the_day_is_near(
    tmp_path: Path, seed: int
) -> None:
    lived = Lived(tmp_path / "season.db", drawn(seed, heavy=True))
    forecast = lived.record(0).forecast
    assert forecast is not None
    [day] = [number(c.expected_on) for c in forecast.criteria if c.code == CHANCE_CLEAN]
    near = 0 if forecast.is_exact else DAYS_OFF
    if day is None:
        return
    lived.go_on(day + near)
    assert met(lived.record(day + near).criteria)[CHANCE_CLEAN], (seed, day)
    before = max(0, day - near - 1)
    assert day == 0 or not met(lived.record(before).criteria)[CHANCE_CLEAN], (seed, day)
    lived.logbook.close()
