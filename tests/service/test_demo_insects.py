"""What the demo's insects do on average is what the parameter table says of them."""

import importlib.util
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rounds.core.body import make_body
from rounds.service.logbook.parameters import load_parameters

SOURCE = Path(__file__).parents[2] / "demo" / "insects.py"
PARAMETERS = load_parameters()
MANY = 20_000
BODY = make_body("leafy-plant", "medium", False, PARAMETERS)
ZONES = [zone.zone for zone in BODY.zones]
EGG, FIRST_NYMPH, LAYING = 0, 3, 17


def load() -> Any:
    spec = importlib.util.spec_from_file_location("demo_insects", SOURCE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


INSECTS = load()


def colony(kind: int = EGG, zone: str = "axils", tucked: bool = False, number: int = MANY) -> Any:
    rng = np.random.Generator(np.random.PCG64(1))
    return INSECTS.Colony(
        INSECTS.Biology(PARAMETERS),
        BODY,
        rng,
        np.full(number, kind),
        np.full(number, ZONES.index(zone)),
        np.full(number, tucked),
    )


def close(share: float, expected: float, of: int = MANY) -> bool:
    """Within four standard errors of a share; 0 and 1 are met or not."""
    return bool(abs(share - expected) <= 4 * np.sqrt(expected * (1 - expected) / of))


def test_a_day_takes_away_and_moves_on_as_many_as_the_table_says() -> None:
    plant = colony(EGG)
    plant.day(7.0)
    egg = PARAMETERS.pests["mealybug"].stages[0]
    assert egg.degree_days is not None
    lived = egg.daily_survival ** (7.0 / 14.0)
    assert close(len(plant.types) / MANY, lived)
    moved = 7.0 / (egg.degree_days / egg.sub_stages)
    assert close(np.mean(plant.types == 1), moved, len(plant.types))


def test_on_a_day_at_the_threshold_nothing_dies_grows_or_is_laid() -> None:
    plant = colony(LAYING)
    assert plant.day(0.0) == 0
    assert len(plant.types) == MANY
    assert set(plant.types) == {LAYING}


@pytest.mark.parametrize(("degree_days", "eggs"), [(7.5, 5.5), (15.0, 11.0), (20.0, 11.0)])
def test_laying_adults_that_live_lay_with_warmth(degree_days: float, eggs: float) -> None:
    plant = colony(LAYING)
    plant.day(degree_days)
    laying = np.sum(plant.types == LAYING)
    laid = np.sum(plant.types == EGG)
    assert abs(laid / laying - eggs) < 4 * np.sqrt(eggs / laying)
    assert set(plant.zones[plant.types == EGG]) == {ZONES.index("axils")}


def test_crawlers_leave_stay_or_settle_by_weight() -> None:
    plant = colony(EGG + 2, zone="roots", tucked=True)
    left = plant.day(28.3)
    hatched = plant.types == FIRST_NYMPH
    assert close(left / (left + hatched.sum()), 0.02, left + hatched.sum())
    roots = BODY.zone("roots").weight
    stayed = 0.5 + 0.5 * roots
    at_roots = plant.zones[hatched] == ZONES.index("roots")
    assert close(float(at_roots.mean()), stayed, int(hatched.sum()))


def test_a_look_finds_less_in_less_time_and_never_what_is_tucked_away() -> None:
    nymph = PARAMETERS.pests["mealybug"].stages[1].found_in_reach
    reference = BODY.zone("axils").reference_seconds
    plant = colony(FIRST_NYMPH)
    whole = plant.look("axils", reference, unpotted=False)
    half = plant.look("axils", reference / 2, unpotted=False)
    assert set(whole.stages) == {"L1"}
    assert close(len(whole.where) / MANY, nymph)
    assert close(len(half.where) / MANY, 1 - (1 - nymph) ** 0.5)
    assert len(plant.look("undersides", reference, unpotted=False).where) == 0
    hidden = colony(FIRST_NYMPH, tucked=True)
    assert len(hidden.look("axils", 9 * reference, unpotted=False).where) == 0


def test_roots_are_seen_out_of_the_pot_alone() -> None:
    plant = colony(LAYING, zone="roots", tucked=True)
    reference = BODY.zone("roots").reference_seconds
    assert len(plant.look("roots", reference, unpotted=False).where) == 0
    found = plant.look("roots", reference, unpotted=True)
    assert close(len(found.where) / MANY, PARAMETERS.pests["mealybug"].stages[-1].found_out_of_pot)


def test_what_is_removed_is_gone_and_eggs_in_reach_go_along_with_their_sac() -> None:
    plant = colony(EGG)
    plant.remove(np.arange(100))
    assert len(plant.types) == MANY - 100
    plant.lose_sac("axils")
    assert close(len(plant.types) / (MANY - 100), 0.3, MANY - 100)
    hidden = colony(EGG, tucked=True)
    hidden.lose_sac("axils")
    assert len(hidden.types) == MANY


@pytest.mark.parametrize(
    ("degree_days", "moving"), [(0.0, 0.0), (7.0, 0.5), (14.0, 1.0), (20.0, 1.0)]
)
def test_insects_change_reach_by_the_tucked_share_and_less_in_the_cold(
    degree_days: float, moving: float
) -> None:
    # At these two flows the share tucked away tends to that of the zone.
    exchange = PARAMETERS.pests["mealybug"].stages[1].daily_exchange * moving
    share = BODY.zone("axils").tucked_share
    for tucked, changes in ((False, exchange * share), (True, exchange * (1 - share))):
        plant = colony(FIRST_NYMPH, tucked=tucked)
        plant.day(degree_days)
        assert close(float((plant.tucked != tucked).mean()), changes, len(plant.types))
