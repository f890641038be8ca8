"""The rival is a fair filter: right where its form holds, and wrong where it is known to be."""

import math

import numpy as np
import pytest

from rounds.service.logbook.parameters import load_parameters
from tests.proof.insects import bare
from tests.proof.records import DayLooks, Find, PlantLog, Start, ZoneLook
from tests.proof.shortcut import Held, arrived, filtered, filtered_clean, joined_clean, lived
from tests.proof.trials import TRIALS, tiny_process
from tests.proof.values import plant_process

PLANT = plant_process(load_parameters())
PLANTS = 60_000


def test_the_first_look_is_exact() -> None:
    """Gamma-Poisson look M 6, a .6, p .5: k 3 leaves mean 3, shape 3.6, clean .112806."""
    process = tiny_process((0.0, 1.0), (1, 1), 0, 0, (0, 1), (0.5, 0.5))
    look = ZoneLook("all", 1.0, finds=(Find("adult", 3),))
    held = filtered(process, PlantLog((DayLooks(0, (look,)),), 0, (), Start(0.15, 6, 0.6)), 0)
    assert float(held.mean.sum()) == pytest.approx(3.0)
    assert held.shape == pytest.approx(3.6)
    assert held.clean == pytest.approx(0.112806, abs=1e-6)
    clean = PlantLog((DayLooks(0, (ZoneLook("all", 1.0),)),), 0, (), Start(0.15, 6, 0.6))
    held = filtered(process, clean, 0)
    assert held.infested == pytest.approx(0.056805, abs=1e-6)
    assert float(held.mean.sum()) == pytest.approx(0.5)


def test_a_day_keeps_the_moments_that_insects_have() -> None:
    """Means by stage and by place, second moment of all; arrivals included."""
    start = Start(0.3, 3.0, 0.5)
    held = Held(0.3, PLANT.start_means(start), 0.5)
    stepped = arrived(PLANT, lived(PLANT, held, PLANT.day(13.0)), 0.4)
    rng = np.random.default_rng(11)
    life = bare(PLANT, PLANTS, rng)
    heaviness = rng.gamma(0.5, 2.0, PLANTS) * (rng.random(PLANTS) < 0.3)
    life.sow(heaviness * 3.0, held.mean)
    life.live(13.0, 0.4)
    number = life.counts().astype(float)
    mean = stepped.infested * float(stepped.mean.sum())
    second = mean + stepped.infested * float(stepped.mean.sum()) ** 2 * (1 + 1 / stepped.shape)
    for values, moment in ((number, mean), (number**2, second)):
        assert abs(values.mean() - moment) < 4 * values.std() / math.sqrt(PLANTS)
    kinds = stepped.mean.size
    by_plant = np.bincount(life.plant * kinds + life.kind, minlength=PLANTS * kinds)
    by_plant = by_plant.reshape(PLANTS, *PLANT.shape)
    for axes, of_means in (((2, 3), (1, 2)), ((1,), (0,))):
        seen = by_plant.sum(axis=axes)
        expected = stepped.infested * stepped.mean.sum(axis=of_means)
        error = seen.std(axis=0) / math.sqrt(PLANTS)
        assert (np.abs(seen.mean(axis=0) - expected) <= 4.5 * error).all()


def test_handed_on_after_the_first_day_it_is_exact() -> None:
    """All that was found was found on the first day: no approximation is left."""
    trial = TRIALS[6]
    assert joined_clean(trial.process, trial.log) == pytest.approx(trial.clean, abs=1e-6)


def test_alone_it_is_over_confident_in_a_clean_run() -> None:
    for number in (4, 6):
        trial = TRIALS[number]
        assert filtered_clean(trial.process, trial.log) > trial.clean + 0.04


def test_handed_on_after_later_finds_it_is_too_low() -> None:
    for number in (5, 7, 8, 9):
        trial = TRIALS[number]
        assert joined_clean(trial.process, trial.log) < trial.clean - 0.09


def test_it_refuses_what_it_has_no_form_for() -> None:
    look = ZoneLook("axils", 9.0, finds=(Find("adult", 1, "left"),))
    with pytest.raises(ValueError, match="taken off"):
        filtered(PLANT, PlantLog((DayLooks(0, (look,)),), 0, (), Start(0.2, 3, 0.5)), 0)
