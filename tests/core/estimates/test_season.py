"""What finds tell of zones and sources: conjugate sums by hand, order, what cannot be told."""

import math
import random

import pytest

from rounds.core.estimates.season import infested_share, zone_weights

ASSUMED = {"axils": 0.4, "undersides": 0.3, "sheaths": 0.2, "roots": 0.1}


def test_without_a_find_the_assumed_shares_stand() -> None:
    shown = dict.fromkeys(ASSUMED, 0.3)
    learned = zone_weights({}, shown, ASSUMED, 1000.0)
    for zone, of in learned.items():
        assert of.value == pytest.approx(ASSUMED[zone], abs=2e-3)


def test_seen_alike_it_is_the_conjugate_posterior() -> None:
    # prior 4, 3, 2, 1 of ten; with 6, 1, 2, 1 found: 10, 4, 4, 2 of twenty
    shown = dict.fromkeys(ASSUMED, 0.5)
    learned = zone_weights(
        {"axils": 6, "undersides": 1, "sheaths": 2, "roots": 1}, shown, ASSUMED, 10
    )
    assert [of.value for of in learned.values()] == pytest.approx([0.5, 0.2, 0.2, 0.1], abs=3e-3)
    # beta(10, 10): 5 and 95 in 100 at .320 and .680
    assert learned["axils"].low == pytest.approx(0.320, abs=5e-3)
    assert learned["axils"].high == pytest.approx(0.680, abs=5e-3)


def test_a_zone_of_which_less_is_seen_holds_more_than_is_found_there() -> None:
    found = {"axils": 20.0, "undersides": 20.0}
    alike = zone_weights(found, dict.fromkeys(ASSUMED, 0.3), ASSUMED, 1.0)
    shown = {**dict.fromkeys(ASSUMED, 0.3), "axils": 0.1}
    hidden = zone_weights(found, shown, ASSUMED, 1.0)
    ratio = hidden["axils"].value / hidden["undersides"].value
    assert ratio == pytest.approx(3 * alike["axils"].value / alike["undersides"].value, rel=0.1)


def test_what_is_never_shown_keeps_its_share() -> None:
    shown = {**dict.fromkeys(ASSUMED, 0.3), "roots": 0.0}
    learned = zone_weights({"axils": 9}, shown, ASSUMED, 10.0)
    assert set(learned) == {"axils", "undersides", "sheaths"}
    assert sum(of.value for of in learned.values()) == pytest.approx(0.9)


def test_plants_seen_for_certain_are_the_beta_posterior() -> None:
    certain, clean = (0.0, -math.inf), (-math.inf, 0.0)
    # beta(1, 3) and 5 of 8: beta(6, 6), 5 and 95 in 100 at .271 and .729
    told = infested_share([certain] * 5 + [clean] * 3, 1.0, 3.0)
    assert told.value == pytest.approx(0.5, abs=1e-4)
    assert (told.low, told.high) == pytest.approx((0.271, 0.729), abs=5e-3)


def test_a_plant_hardly_looked_at_tells_hardly_anything() -> None:
    none = infested_share([], 1.0, 3.0)
    assert none.value == pytest.approx(0.25, abs=1e-3)
    assert infested_share([(-0.001, 0.0)] * 9, 1.0, 3.0).value == pytest.approx(0.25, abs=2e-3)


def test_the_order_of_the_plants_moves_no_digit() -> None:
    drawn = random.Random(5)
    told = [(-drawn.random() * 3, -drawn.random()) for _ in range(30)]
    shuffled = drawn.sample(told, len(told))
    assert infested_share(told, 1.0, 3.0) == infested_share(shuffled, 1.0, 3.0)
