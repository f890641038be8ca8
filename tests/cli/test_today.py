"""today, rank."""

from collections.abc import Callable
from math import ceil
from typing import Any

import pytest

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")


def test_the_plan_walks_the_clean_side_first_and_fills_the_minutes(ask: Ask) -> None:
    found = ask("today", "--minutes", 10)
    assert found["minutes"] == 10
    assert [(p["position"], p["code"], p["standing"]) for p in found["plan"]] == [
        (1, "G02", "collection"),
        (2, "S03", "quarantine"),
    ]
    assert all(len(p["zones"]) == 7 for p in found["plan"])
    assert not any(p["whole_plant"] for p in found["plan"])
    planned = sum(zone["planned_seconds"] for p in found["plan"] for zone in p["zones"])
    assert found["planned_seconds"] == pytest.approx(planned)
    # the clean hands after S03 come after the round
    assert found["walking_seconds"] == 5
    assert found["planned_seconds"] + found["handling_seconds"] == pytest.approx(595)
    assert found["pace"] == 1
    assert found["left_out"] == []


def test_every_reason_has_a_code_and_a_text(ask: Ask) -> None:
    for planned in ask("today")["plan"]:
        assert planned["reasons"]
        assert all(set(reason) == {"code", "text"} for reason in planned["reasons"])


def test_who_does_not_fit_is_left_out_with_a_reason(ask: Ask) -> None:
    found = ask("today", "--minutes", 0.22)
    assert [p["code"] for p in found["plan"]] == ["G02"]
    (left_out,) = found["left_out"]
    assert left_out["code"] == "S03"
    assert 0 < left_out["risk"] < 100
    assert left_out["reason"]["code"] == "no-time"
    assert left_out["reason"]["text"]
    assert left_out["latest_on"] == "2026-04-28", "the day it came"


def test_a_plant_with_insects_that_gets_too_little_says_what_it_lacks(ask: Ask, call: Ask) -> None:
    ask("look", "G02", "axils", "--seconds", 5, "--removed", 1, "--at", "2026-05-03T12:00")
    found = ask("today", "--minutes", 0.5)
    (planned,) = [p for p in found["plan"] if p["claim"] == "alive"]
    reason = next(r for r in planned["reasons"] if r["code"] == "too-short")
    given = sum(zone["planned_seconds"] for zone in planned["zones"])
    more = ceil(found["needed_minutes"] - 0.5)
    unit = "minute" if more == 1 else "minutes"
    assert reason["text"] == (
        f"only {int(given)} s of the 90 s it needs; {more} more {unit} would cover all"
    )
    said = " ".join(call("today", "--minutes", 0.5).out.split())
    assert reason["text"] in said


def test_the_minutes_that_hold_all_that_is_due_are_told(ask: Ask) -> None:
    needed = ask("today", "--minutes", 0.22)["needed_minutes"]
    found = ask("today", "--minutes", needed + 0.01)
    assert found["left_out"] == []
    assert [p["claim"] for p in found["plan"]] == ["unseen", "clearing"]
    for planned in found["plan"]:
        assert [z for step in planned["steps"] for z in step] == [
            zone["zone"] for zone in planned["zones"]
        ]


def test_zones_that_had_half_their_full_look_today_are_dropped(ask: Ask) -> None:
    ask("look", "G02", "axils", "--seconds", 34)
    ask("look", "G02", "undersides", "--seconds", 5)
    (planned,) = [p for p in ask("today", "--minutes", 10)["plan"] if p["code"] == "G02"]
    zones = {zone["zone"]: zone["planned_seconds"] for zone in planned["zones"]}
    assert "axils" not in zones
    assert zones["undersides"] >= 180 * 0.25 / 0.95 / 2 - 1e-9
    assert "axils" in {
        zone["zone"] for p in ask("today", "--on", "2026-05-05")["plan"] for zone in p["zones"]
    }


def test_hands_are_cleaned_after_a_plant_that_is_apart(ask: Ask) -> None:
    ask("add", "S09", "--name", "Marline", "--place", "stair foot")
    stops = [p["hygiene_stop_before"] for p in ask("today", "--minutes", 30)["plan"]]
    assert stops == [False, False, True]


def test_open_doubts_and_roots_are_due(ask: Ask) -> None:
    ask("look", "S03", "axils", "--seconds", 9, "--doubtful", 2, "--on", "2026-05-02")
    (doubt,) = ask("today")["due"]
    assert doubt["text"]
    del doubt["text"]
    assert doubt == {"on": "2026-05-02", "plant": "S03", "kind": "doubt", "waiting_days": 2}
    later = ask("today", "--on", "2026-05-20")["due"]
    assert ("2026-05-19", "S03", "roots", 1) in [
        (due["on"], due["plant"], due["kind"], due["waiting_days"]) for due in later
    ]


@pytest.mark.parametrize("minutes", ["0", "-3", "1441"])
def test_minutes_that_cannot_be_are_refused(refused: Ask, minutes: str) -> None:
    assert refused(2, "today", "--minutes", minutes)["code"] == "minutes-not-positive"


def test_the_day_spoken_about_decides_what_is_known(ask: Ask) -> None:
    ask("look", "G02", "axils", "--seconds", 40, "--removed", 1)
    by_code = {p["code"]: p for p in ask("rank", "--on", "2026-05-03")["plants"]}
    assert by_code["G02"]["last_find_on"] is None
    assert ask("rank", "--on", "2026-04-27")["plants"][0]["code"] == "G02"
    assert len(ask("rank", "--on", "2026-04-27")["plants"]) == 1
    assert ask("rank", "--on", "2025-12-31")["plants"] == []


def test_rank_puts_what_was_found_on_first(ask: Ask) -> None:
    ask("place", "seedling bench")
    ask("add", "G14", "--name", "Gimbal", "--place", "seedling bench", "--already-here")
    ask("look", "G14", "axils", "--seconds", 40, "--removed", 1)
    ask("add", "G05", "--name", "Halyard", "--place", "seedling bench", "--already-here")
    ask("look", "G05", "--whole-plant", "--seconds", 180)
    codes = [plant["code"] for plant in ask("rank")["plants"]]
    assert codes[-1] == "G05"
    assert codes.index("G14") < codes.index("G05")


def test_a_person_reads_the_walk_who_waits_and_what_is_due(call: Ask) -> None:
    call("look", "S03", "axils", "--seconds", 9, "--doubtful", 1)
    said = call("today", "--minutes", 0.22).out
    assert said.startswith("today 4 May\n")
    assert "S03  Pintle" in said
    assert "Left out" in said
    assert "Due" in said
    assert max(map(len, said.splitlines())) <= 100
    assert "1  G02  Thole" in call("rank").out


def test_a_person_reads_where_hands_are_cleaned_and_when_all_is_seen(ask: Ask, call: Ask) -> None:
    ask("add", "S09", "--name", "Marline", "--place", "stair foot")
    assert "clean hands and tools" in call("today", "--minutes", 30).out
    for code in ("G02", "S03", "S09"):
        ask("look", code, "--whole-plant", "--seconds", 180)
    assert "Nothing is left to check." in call("today").out


def test_without_plants_it_says_so(call: Ask, tmp_path: Any) -> None:
    assert call("rank", "--db", tmp_path / "new.db").out == "There are no plants yet.\n"
    assert call("today", "--db", tmp_path / "new.db").status == 0
