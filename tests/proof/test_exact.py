"""The sums of the package against whole insects: single logs, and calibrated over many."""

import pytest

from rounds.service.logbook.parameters import load_parameters
from tests.proof.calibrate import known_logs, predictor, scored
from tests.proof.conditioning import condition
from tests.proof.exact_predict import left, live
from tests.proof.heavy import LEAST, heavy_logs
from tests.proof.sample_logs import LIKELY, sample_logs
from tests.proof.values import plant_process

PLANT = plant_process(load_parameters())
ENOUGH = 3.5
"""standard errors, of one log"""
BEYOND = 3.3
"""of a score over many: one seed in a thousand"""
OFTEN = 0.05
"""insects left, on average"""
LOGS = 400
"""on which both shortcuts still lose; tests/bench takes more"""
HEAVY = 60
"""1,500 of them in tests/bench"""


@pytest.mark.parametrize("name", [*LIKELY, "in the collection", "sprayed twice, roots cleaned"])
def test_the_sums_say_what_whole_insects_do(name: str) -> None:
    log = sample_logs(PLANT)[name]
    seen = condition(PLANT, log, 12000, 25, 5)
    said, process = left(log)
    assert seen.ancestors > 100
    assert abs(seen.clean.off(said.chance_clean)) < ENOUGH
    assert abs(seen.left.off(float(said.mean.sum()))) < ENOUGH
    assert abs(seen.log_chance - said.log_probability) < ENOUGH * seen.log_chance_error
    for zone, there in zip(PLANT.zones, seen.left_by_zone, strict=True):
        expected = float(said.mean @ process.of_zone(zone))
        # where almost all replicates hold nothing, an error cannot be told from so few broods
        if expected > OFTEN:
            assert abs(there.off(expected)) < ENOUGH


def test_chances_of_logs_with_finds_are_calibrated_and_the_shortcuts_are_not() -> None:
    known = known_logs(LOGS)
    ours = scored(live, known)
    assert 0.2 < ours.clean < 0.8
    assert abs(ours.sum_z) < BEYOND
    assert abs(ours.spiegelhalter_z) < BEYOND
    for name in ("shortcut", "joined"):
        losing = scored(predictor(name), known)
        assert min(abs(losing.sum_z), abs(losing.spiegelhalter_z)) > BEYOND
        assert ours.brier < losing.brier


def test_chances_of_heavy_logs_are_calibrated_within_the_budget_of_a_key() -> None:
    known = list(heavy_logs(HEAVY))
    for one in known:
        assert sum(look.found for day in one.log.days for look in day.looks) >= LEAST
        assert one.log.last_day - (one.log.last_find or 0) >= 14
    ours = scored(live, known)
    assert 0.2 < ours.clean < 0.8
    assert abs(ours.sum_z) < BEYOND
    assert abs(ours.spiegelhalter_z) < BEYOND
