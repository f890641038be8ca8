"""Conditioning on a log gives what is known of it, within its own standard errors."""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from rounds.service.logbook.parameters import load_parameters
from tests.proof.conditioning import Conditioned, after_first_day, condition
from tests.proof.insects import unlooked
from tests.proof.process import Process
from tests.proof.records import DayLooks, Find, PlantLog, Start, Treatment, ZoneLook, channels
from tests.proof.sample_logs import LIKELY, MILD, looked_through, sample_logs
from tests.proof.shortcut import joined_clean
from tests.proof.trials import TRIALS, tiny_process
from tests.proof.values import plant_process

PLANT = plant_process(load_parameters())
ENOUGH = 3.5
"""standard errors"""


def still(found: float) -> Process:
    """Adults alone, who neither die, move nor lay."""
    return tiny_process((0.0, 1.0), (1, 1), 0, 0, (0, 1), (found, found))


def looks(start: Start, *days: tuple[Find, ...], seconds: float = 1.0) -> PlantLog:
    """One look a day at the one zone, with these finds."""
    by_day = tuple(
        DayLooks(day, (ZoneLook("all", seconds, finds=finds),)) for day, finds in enumerate(days)
    )
    last = len(days) - 1
    return PlantLog(by_day, last, (MILD,) * last, start)


@cache
def short_run(number: int) -> Conditioned:
    """A trial in a second or two."""
    return condition(TRIALS[number].process, TRIALS[number].log, 2500, 20, number)


@pytest.mark.parametrize("number", [1, 3, 4, 7])
def test_trials_come_out_as_known(number: int) -> None:
    trial, seen = TRIALS[number], short_run(number)
    assert abs(seen.clean.off(trial.clean)) < ENOUGH
    assert abs(seen.left.off(trial.left)) < ENOUGH
    assert abs(seen.log_chance - trial.log_chance) < ENOUGH * seen.log_chance_error
    assert seen.clean.error < 0.02
    assert 0 < seen.ancestors < 20 * 2500


def test_a_wrong_answer_is_told_from_the_right_one() -> None:
    """What the losing rival says of a log with a later find lies outside."""
    trial = TRIALS[7]
    assert short_run(7).clean.off(joined_clean(trial.process, trial.log)) > 5


def test_clean_looks_at_what_stands_still_follow_the_closed_form() -> None:
    """From a Poisson start nothing is left with exp(-m (1-p)^K)"""
    start, passed_over = Start(1.0, 0.4, 1e6), 0.5**3
    seen = condition(still(0.5), looks(start, (), (), ()), 4000, 25, 1)
    assert abs(seen.clean.off(math.exp(-0.4 * passed_over))) < ENOUGH
    assert abs(seen.left.off(0.4 * passed_over)) < ENOUGH


@pytest.mark.parametrize("absorb", [True, False])
def test_a_first_look_is_the_gamma_poisson_update(absorb: bool) -> None:
    """M 6, a .6, p .5: k 3 leaves mean 3, clean .112806; k 0, psi .15 leaves psi .056805."""
    three, none = (Find("unknown", 3),), ()
    process = still(0.5)
    found = condition(
        process, looks(Start(0.15, 6, 0.6), three), 8000, 25, 1, absorb_first_day=absorb
    )
    assert abs(found.left.off(3.0)) < ENOUGH
    assert abs(found.clean.off(0.112806)) < ENOUGH
    clean = condition(
        process, looks(Start(0.15, 6, 0.6), none), 8000, 25, 1, absorb_first_day=absorb
    )
    assert abs(clean.left.off(0.056805 * 0.5)) < ENOUGH
    assert abs(clean.clean.off(1 - 0.056805 * (1 - (1 + 0.5 / 0.6) ** -0.6))) < ENOUGH


def test_absorbing_the_first_day_changes_nothing() -> None:
    log = sample_logs(PLANT)["one on arrival"]
    quick = condition(PLANT, log, 2500, 20, 1)
    plain = condition(PLANT, log, 8000, 20, 2, absorb_first_day=False)
    for one, other in ((quick.clean, plain.clean), (quick.left, plain.left)):
        assert abs(one.value - other.value) < ENOUGH * math.hypot(one.error, other.error)
    apart = abs(quick.log_chance - plain.log_chance)
    assert apart < ENOUGH * math.hypot(quick.log_chance_error, plain.log_chance_error)


def test_clean_logs_agree_with_generating_functions() -> None:
    """Roots, treatments and arrivals too."""
    sprayed = DayLooks(6, (), (Treatment(in_reach=0.55), Treatment(in_pot=0.9)))
    log = looked_through(PLANT, 3, 24, {}, roots_on=(6, 12), treated={6: sprayed}, arrivals=0.05)
    seen = condition(PLANT, log, 8000, 25, 4)
    assert abs(seen.clean.off(joined_clean(PLANT, log))) < ENOUGH
    assert seen.clean.error < 0.004


def test_what_was_left_stays_and_what_was_killed_seldom_does() -> None:
    process = replace(still(1.0), killed=0.95)
    start = Start(1.0, 1.5, 2.0)

    def after(*finds: Find) -> tuple[float, float]:
        seen = condition(process, looks(start, finds), 20_000, 20, 1)
        return seen.clean.value, seen.left.value

    assert after(Find("adult", 2, "left"), Find("adult", 1)) == (0.0, 2.0)
    clean, left = after(Find("unknown", 2, "killed"))
    assert clean == pytest.approx(0.95**2, abs=0.01)
    assert left == pytest.approx(0.1, abs=0.01)
    clean, left = after(Find("adult", 1, "killed"), Find("adult", 1, "left"))
    assert clean == 0.0
    assert left == pytest.approx(1.05, abs=0.01)


def test_a_sac_that_is_taken_takes_eggs_along() -> None:
    process = replace(tiny_process((1.0, 1.0), (1, 1), 0, 0, (0, 1), (0.0, 1.0)), sac_gone=0.7)
    start = Start(1.0, 4.0, 1e4)
    taken = condition(process, looks(start, (Find("egg-mass", 1),)), 20_000, 20, 1)
    assert abs(taken.left.off(2.0 * 0.3)) < ENOUGH
    left = condition(process, looks(start, (Find("egg-mass", 1, "left"),)), 20_000, 20, 1)
    assert abs(left.left.off(2.0 + 1.0)) < ENOUGH


def test_a_find_leaves_fewer_ancestors_and_copies_are_no_new_ones() -> None:
    log = looks(Start(1.0, 0.02, 1.0), (), (Find("adult", 1),), (), ())
    seen = condition(still(0.5), log, 4000, 20, 1)
    expected = 20 * 4000 * math.exp(seen.log_chance)
    assert seen.ancestors == seen.least_ancestors
    assert seen.ancestors == pytest.approx(expected, rel=0.15)


def test_a_log_nobody_agrees_with_is_refused() -> None:
    log = looks(Start(1.0, 1.0, 1.0), (Find("eggs", 1, "left"),), ())
    with pytest.raises(ValueError, match="no replicate"):
        condition(still(0.5), log, 100, 2, 1)


@pytest.mark.parametrize("name", LIKELY)
def test_likely_logs_are_likely(name: str) -> None:
    log = sample_logs(PLANT)[name]
    seen = condition(PLANT, log, 2000, 20, 1)
    assert math.exp(seen.log_chance) / log.start.infested > 1e-3
    assert seen.ancestors > 100


def test_what_a_look_says_of_each_group() -> None:
    def told(*finds: Find) -> dict[str, int]:
        found = channels(ZoneLook("axils", 1.0, finds=finds))
        return {str(group): count for group, count in found.items()}

    assert told() == {"unknown": 0}
    assert told(Find("young", 1), Find("young", 2, "left")) == {"eggs": 0, "young": 3, "adult": 0}
    assert told(Find("young", 1), Find("unknown", 2)) == {"unknown": 3}
    sac = told(Find("egg-mass", 1))
    assert sac == {"eggs": 0, "young": 0, "adult": 0, "egg-mass": 1}
    with pytest.raises(ValueError, match="sac"):
        told(Find("egg-mass", 1), Find("adult", 1))


def test_the_heaviness_after_finds_is_spread_as_it_should_be() -> None:
    """Gamma of shape a + k: the second moment, not the mean alone."""
    process, start = still(0.5), Start(1.0, 6.0, 0.6)
    rng = np.random.default_rng(3)
    first = DayLooks(0, (ZoneLook("all", 1.0, finds=(Find("unknown", 3),)),))
    batch = after_first_day(process, start, first, 100_000, rng)
    number = batch.colonies.counts()
    assert number.var() == pytest.approx(3 + 3**2 / 3.6, rel=0.03)
    assert unlooked(process, start, 10, rng).plants == 10
