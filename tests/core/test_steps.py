"""Zones planned for little are walked together, and no step is too short."""

from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.core.plan.steps import long_enough, together
from rounds.service.logbook.parameters import load_parameters

PLANNING = load_parameters().planning


def test_zones_below_five_seconds_are_one_step() -> None:
    zones = [("axils", 11.0), ("new-growth", 5.0), ("stem-base", 2.4), ("pot-rim", 1.4),
             ("medium", 1.0)]  # fmt: skip
    assert together(zones, PLANNING) == (
        ("axils",), ("new-growth",), ("stem-base", "pot-rim", "medium"),
    )  # fmt: skip


def test_what_is_too_short_together_takes_the_shortest_of_the_others_along() -> None:
    zones = [("axils", 11.0), ("sheaths", 7.0), ("medium", 1.0)]
    assert together(zones, PLANNING) == (("axils",), ("sheaths", "medium"))


def test_in_one_go_all_are_one_step() -> None:
    assert together([("axils", 90.0), ("medium", 4.0)], PLANNING, whole=True) == (
        ("axils", "medium"),
    )


@given(st.lists(st.floats(0.05, 60), min_size=1, max_size=10))
@settings(deadline=None)
def test_no_step_is_shorter_than_four_seconds(seconds: list[float]) -> None:
    zones = [(f"zone-{number}", given) for number, given in enumerate(seconds)]
    steps = together(zones, PLANNING)
    assert sorted(zone for step in steps for zone in step) == sorted(zone for zone, _ in zones)
    by_zone = dict(zones)
    if sum(seconds) >= 4:
        assert min(sum(by_zone[zone] for zone in step) for step in steps) >= 4
    alone = [step[0] for step in steps if len(step) == 1]
    assert sum(by_zone[zone] < 5 for zone in alone) <= 1


def test_a_step_that_is_too_short_is_stretched_and_no_other() -> None:
    zones = {"pot-rim": 1.0, "stem-base": 2.0, "medium": 0.5, "axils": 9.0}
    steps = (("pot-rim",), ("stem-base", "medium"), ("axils",))
    assert long_enough(zones, steps, PLANNING) == {
        "pot-rim": 4.0, "stem-base": 2.0 * 4 / 2.5, "medium": 0.5 * 4 / 2.5, "axils": 9.0,
    }  # fmt: skip
