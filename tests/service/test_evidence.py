"""Short seasons, insect by insect, in which the tool is followed: what its plan always holds.

`python -m tests.bench.evidence` follows it for longer, beside other habits.
"""

import ast
from itertools import pairwise
from pathlib import Path

import pytest

from tests.bench.evidence import habits, tool
from tests.bench.evidence.study import Season, run
from tests.bench.evidence.truths import TRUTHS, Truth
from tests.bench.evidence.world import House
from tests.service.followed import ASKED_ON, Seen, follow

BUSY = House(plants=9, infested=0.5)
"""On four of its plants there are insects; a whole look at all takes 24 minutes."""
SCANT, AMPLE = 5.0, 8.0
"""minutes a day"""
LONGEST_WAIT = 14
"""days"""
LEAST_STEP = 4.0
"""seconds"""
OF_THE_WORLD = ("world", "ledger", "truths", "walk", "season", "proof")


@pytest.fixture(scope="module")
def scant() -> Seen:
    """Few minutes for much to do."""
    return follow(TRUTHS["defaults"], BUSY, SCANT)


@pytest.fixture(scope="module")
def ample() -> Seen:
    """Minutes enough for what is due."""
    return follow(TRUTHS["defaults"], BUSY, AMPLE)


@pytest.fixture(scope="module")
def staying() -> Seen:
    """Few minutes, and plants stay among the others whatever is found on them."""
    return follow(TRUTHS["defaults"], BUSY, SCANT, carries=False)


def test_the_season_is_one_of_finds(scant: Seen, ample: Seen, staying: Seen) -> None:
    for seen in (scant, ample, staying):
        assert seen.figures["known-left-out"][1] > 10
        assert seen.figures["near-in-time"][1] > 1


def test_the_minutes_hold(scant: Seen, ample: Seen) -> None:
    for seen in (scant, ample):
        assert all(f <= s for f, s in zip(seen.filled, seen.seconds, strict=True))


def test_no_step_is_planned_under_four_seconds(scant: Seen, ample: Seen) -> None:
    for seen in (scant, ample):
        assert len(seen.steps) > 100
        assert min(seen.steps) >= LEAST_STEP - 1e-6


def test_the_logbook_holds_what_was_seen_and_no_more(scant: Seen) -> None:
    assert scant.told
    assert sorted(scant.kept) == sorted(scant.told)


def test_neither_the_tool_nor_a_habit_can_ask_the_world() -> None:
    for module in (tool, habits):
        tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
        sources = [str(n.module) for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)]
        assert not [s for s in sources for part in s.split(".") if part in OF_THE_WORLD]


def test_insects_that_nobody_finds_change_no_plan() -> None:
    nobody_finds = Truth("nothing is ever found", detection=0.0)
    infested = follow(nobody_finds, House(plants=6, infested=0.9), SCANT)
    clean = follow(nobody_finds, House(plants=6, infested=0.0), SCANT)
    assert infested.figures["insects-worst"] > clean.figures["insects-worst"]
    assert infested.rounds == clean.rounds


def test_a_season_comes_out_the_same_in_any_process() -> None:
    seasons = [Season(name, "defaults", SCANT, 6, 8, 3) for name in ("tool", "worst-first-30")]
    assert list(run(seasons, workers=2)) == list(run(seasons))


def test_more_minutes_prevent_less_only_where_they_hold_a_look_more_that_is_due(
    scant: Seen, staying: Seen
) -> None:
    compared = 0
    for seen in (scant, staying):
        assert len(seen.prevented) == len(seen.served) == len(ASKED_ON)
        for by_minutes, served in zip(seen.prevented, seen.served, strict=True):
            for (fewer, more), (few, many) in zip(
                pairwise(by_minutes), pairwise(served), strict=True
            ):
                # seconds too few for that look went to plants with insects before
                if not many - few:
                    assert more >= fewer * (1 - 1e-6)
                    compared += 1
    assert compared > 10


def test_a_plant_apart_found_alive_on_lately_is_in_every_round(scant: Seen, ample: Seen) -> None:
    assert [seen.figures["known-left-out"][0] for seen in (scant, ample)] == [0, 0]


def test_a_plant_found_alive_on_lately_is_in_every_round_wherever_it_stands(staying: Seen) -> None:
    assert staying.figures["known-left-out"][0] == 0


def test_no_plant_waits_too_long(scant: Seen, ample: Seen, staying: Seen) -> None:
    for seen in (scant, ample, staying):
        assert seen.figures["longest-wait"][0] <= LONGEST_WAIT


def test_where_minutes_are_enough_neighbours_are_looked_at_after_the_find_in_time(
    ample: Seen,
) -> None:
    in_time, neighbours = ample.figures["near-in-time"]
    assert in_time == neighbours > 1
