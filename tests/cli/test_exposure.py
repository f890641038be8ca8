"""exposure, cleaned: who stood near a find, who is watched, which spots stay empty."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.cli.conftest import Call

Ask = Callable[..., Any]

FOUND = "2026-05-04"
CHECKED = "2026-04-28"


@pytest.fixture
def shelf(ask: Ask) -> None:
    """G02 among neighbours: one that was moved since, one given away, one thrown away."""
    ask("place", "porch shelf", "--usual-c", 20, "--on", "2026-01-01")
    ask("place", "stair foot", "--apart", "--usual-c", 20, "--on", "2026-01-01")
    ask("place", "landing", "--usual-c", 20, "--on", "2026-01-01")
    for code, place, spot in (
        ("G02", "porch shelf", 3), ("G03", "porch shelf", 4), ("G04", "porch shelf", 9),
        ("G05", "porch shelf", 2), ("G06", "porch shelf", 9), ("G07", "landing", 1),
    ):  # fmt: skip
        ask("add", code, "--name", "Thole", "--place", place, "--spot", spot, "--already-here",
            "--on", "2026-01-01")  # fmt: skip
    ask("look", "G02", "--whole-plant", "--seconds", 400, "--on", CHECKED)
    ask("move", "G03", "landing", "--spot", 5, "--on", "2026-05-01")
    ask("gone", "G05", "given-away", "--on", "2026-05-02")
    ask("gone", "G06", "discarded", "--on", "2026-05-02")
    ask("look", "G02", "axils", "--seconds", 40, "--removed", 2, "--stage", "adult", "--on", FOUND)


pytestmark = pytest.mark.usefixtures("shelf")


def test_a_find_names_who_moved_since_and_who_was_given_away(ask: Ask) -> None:
    told = ask("exposure", "G02", "--on", FOUND)
    assert (told["found_on"], told["since"], told["fully_checked_then"]) == (FOUND, CHECKED, True)
    near = {row["code"]: row for row in told["exposed"]}
    assert list(near) == ["G03", "G04", "G05"]
    moved, stays, given = near.values()
    assert (moved["near"], moved["first_on"], moved["last_on"]) == ("spot", CHECKED, "2026-05-01")
    assert (moved["place"], moved["near_now"]) == ("landing", False)
    assert "now landing, 5" in moved["text"]
    assert (stays["near"], stays["last_on"], stays["near_now"]) == ("place", FOUND, True)
    assert (given["near"], given["last_on"], given["given_away_on"]) == (
        "spot", "2026-05-02", "2026-05-02"
    )  # fmt: skip
    assert all(0 < row["chance_clean"] < 0.97 for row in near.values())
    assert all(row["low"] <= row["chance_clean"] <= row["high"] for row in near.values())


def test_only_a_plant_that_arrived_is_said_to_have_come(ask: Ask, call: Call) -> None:
    ask("add", "S01", "--name", "Pintle", "--place", "stair foot", "--on", "2026-05-01")
    for code, since in (
        ("G04", "Near it from 1 January, when it was entered:"),
        ("S01", "Near it from 1 May, when it came:"),
    ):
        ask("look", code, "axils", "--seconds", 40, "--removed", 2, "--on", FOUND)
        said = " ".join(call("exposure", code, "--on", FOUND).out.split())
        assert f"never clean on a full check. {since}" in said


def test_a_plant_that_was_moved_away_was_exposed_where_it_stood(ask: Ask) -> None:
    ask("move", "G02", "landing", "--spot", 2, "--on", "2026-05-02")
    near = {row["code"]: row for row in ask("exposure", "G02", "--on", FOUND)["exposed"]}
    assert near["G07"]["days"] == [{"near": "spot", "first_on": "2026-05-02", "last_on": FOUND}]
    # both places count on the day of the move
    assert near["G04"]["last_on"] == "2026-05-02"
    # beside it on the shelf, then in one place with it on the landing
    assert [(d["near"], d["first_on"], d["last_on"]) for d in near["G03"]["days"]] == [
        ("spot", CHECKED, "2026-05-01"), ("place", "2026-05-02", FOUND),
    ]  # fmt: skip


def test_one_call_watches_all_that_are_here_and_is_taken_back_in_one(ask: Ask, call: Call) -> None:
    watched = ask("exposure", "G02", "--watch", "--on", FOUND)
    assert len(watched["watch_ids"]) == 2
    assert {r["code"]: r["standing"] for r in watched["exposed"]} == {
        "G03": "watch", "G04": "watch", "G05": "gone",
    }  # fmt: skip
    assert ask("exposure", "G02", "--watch", "--on", FOUND)["watch_ids"] == []
    reasons = next(p for p in ask("today", "--minutes", 60)["plan"] if p["code"] == "G03")
    assert "standing-near" in [reason["code"] for reason in reasons["reasons"]]
    assert "stood near G02" in call("today", "--minutes", 60).out
    ask("withdraw", watched["watch_ids"][0])
    told = ask("exposure", "G02", "--on", FOUND)["exposed"]
    assert [row["standing"] for row in told] == ["collection", "collection", "gone"]


def test_an_emptied_spot_stays_empty_21_days_after_it_was_cleaned(ask: Ask) -> None:
    ask("move", "G02", "stair foot", "--on", FOUND)
    (before,) = ask("exposure", "G02", "--on", FOUND)["emptied"]
    assert (before["place"], before["spot"], before["cleaned_on"]) == ("porch shelf", "3", None)
    # uncleaned at 20 degC: twice the 252 degree-days, and what an egg may need besides
    assert before["keep_empty_until"] > "2026-06-20"
    cleaned = ask("cleaned", "porch shelf", "--spot", 3, "--on", "2026-05-05")
    (after,) = cleaned["emptied"]
    assert (after["cleaned_on"], after["keep_empty_until"]) == ("2026-05-05", "2026-05-26")
    warned = ask("move", "G07", "porch shelf", "--spot", 3, "--on", "2026-05-25")
    assert [warning["code"] for warning in warned["warnings"]] == ["keep-empty"]
    assert warned["plant"]["place"] == "porch shelf"
    ask("withdraw", warned["move_id"])
    assert ask("move", "G07", "porch shelf", "--spot", 7, "--on", "2026-05-25")["warnings"] == []
    ask("withdraw", cleaned["cleaned_id"])
    assert ask("exposure", "G02", "--on", "2026-05-05")["emptied"] == [before]
    ask("cleaned", "Porch Shelf", "--on", "2026-05-05")
    assert ask("move", "G04", "porch shelf", "--spot", 3, "--on", "2026-05-26")["warnings"] == []


def test_a_spot_where_nothing_ever_stood_is_refused_and_nothing_is_written(
    ask: Ask, refused: Ask
) -> None:
    ask("move", "G02", "stair foot", "--on", FOUND)
    before = ask("exposure", "G02", "--on", "2026-05-05")
    error = refused(2, "cleaned", "porch shelf", "--spot", 31, "--on", "2026-05-05")
    assert error["code"] == "unknown-spot"
    assert "the nearest spot is 3" in error["message"]
    assert ask("exposure", "G02", "--on", "2026-05-05") == before
    ask("cleaned", "porch shelf", "--spot", "spot 3", "--on", "2026-05-05")


@pytest.mark.parametrize(
    ("celsius", "free_on"), [(26, "2026-05-26"), (14, "2026-06-16"), (8, None)]
)
def test_in_the_cold_a_spot_stays_empty_longer(ask: Ask, celsius: int, free_on: str | None) -> None:
    """252 degree-days above 8 degC take 42 days at 14, and never come at 8."""
    ask("place", "porch shelf", "--usual-c", celsius, "--change", "--on", "2026-01-01")
    ask("move", "G02", "stair foot", "--on", FOUND)
    (spot,) = ask("cleaned", "porch shelf", "--spot", 3, "--on", "2026-05-05")["emptied"]
    assert spot["keep_empty_until"] == free_on


def test_a_plant_with_nothing_found_exposed_nobody(ask: Ask, refused: Ask) -> None:
    assert refused(3, "exposure", "G03")["code"] == "never-found"
    error = refused(2, "exposure", "G02", "--found-on", "2026-05-03", "--on", FOUND)
    assert (error["code"], error["places"][0]["argument"]) == ("not-found-then", "--found-on")


def test_coming_in_from_outdoors_begins_a_quarantine_as_an_arrival_does(
    ask: Ask, refused: Ask
) -> None:
    ask("place", "yard", "--outdoors", "--usual-c", 20, "--on", "2026-01-01")
    ask("move", "G07", "yard", "--on", "2026-04-01")
    assert ask("plant", "G07", "--on", "2026-05-03")["plant"]["standing"] == "collection"
    came = ask("move", "G07", "landing", "--on", FOUND)
    assert (came["plant"]["standing"], came["plant"]["standing_since"]) == ("quarantine", FOUND)
    (period,) = ask("plant", "G07", "--on", FOUND)["periods"]
    assert refused(3, "withdraw", period["id"])["code"] == "apart-came-in"
    # roots count from 21 days after it came in, not after it first came
    ask("look", "G07", "roots", "--unpotted", "--seconds", 120, "--on", "2026-05-05")
    criteria = ask("plant", "G07", "--on", "2026-05-05")["plant"]["release"]["criteria"]
    assert next(c["have"] for c in criteria if c["code"] == "medium_and_roots") == 0
    ask("withdraw", came["move_id"])
    assert ask("plant", "G07", "--on", "2026-05-05")["plant"]["standing"] == "collection"


def test_a_move_in_from_outdoors_says_what_it_counts_as(ask: Ask, call: Call) -> None:
    said = "In from outdoors: counts as arriving, in quarantine from "
    ask("place", "yard", "--outdoors", "--usual-c", 20, "--on", "2026-01-01")
    ask("move", "G07", "yard", "--on", "2026-04-01")
    assert f"{said}today" in " ".join(call("move", "G07", "landing", "--on", FOUND).out.split())
    # into another room it only goes on
    assert said not in " ".join(call("move", "G07", "porch shelf", "--on", FOUND).out.split())
