"""place, add, move, gone, weather."""

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]


def test_a_place_is_kept_with_what_was_said_of_it(ask: Ask) -> None:
    found = ask("place", "stair foot", "--apart", "--room", "hall", "--usual-c", "17.5")
    assert found == {
        "format": "rounds.place",
        "version": 1,
        "on": "2026-05-04",
        "place": {
            "name": "stair foot",
            "apart": True,
            "outdoors": False,
            "room": "hall",
            "bench": None,
            "usual_c": 17.5,
        },
        "already_known": False,
    }


def test_a_known_place_is_changed_only_with_change(ask: Ask, refused: Ask) -> None:
    ask("place", "porch shelf", "--room", "porch")
    assert refused(2, "place", "Porch Shelf")["code"] == "place-known"
    changed = ask("place", "PORCH shelf", "--change", "--bench", "south")["place"]
    assert changed["name"] == "porch shelf"
    assert (changed["room"], changed["bench"]) == ("porch", "south")


def test_a_change_of_a_place_leaves_the_days_before_as_they_were(ask: Ask) -> None:
    ask("place", "porch shelf", "--on", "2026-01-01")
    ask("place", "porch shelf", "--change", "--apart", "--on", "2026-03-01")
    before = ask("place", "porch shelf", "--change", "--on", "2026-02-01")["place"]
    assert before["apart"] is False
    assert ask("place", "porch shelf", "--change")["place"]["apart"] is True
    assert ask("place", "porch shelf", "--change", "--not-apart")["place"]["apart"] is False


def test_change_of_a_place_that_is_not_there_names_the_nearest(ask: Ask, refused: Ask) -> None:
    assert refused(2, "place", "porch", "--change")["code"] == "unknown-place-none"
    ask("place", "porch shelf")
    error = refused(2, "place", "porch", "--change")
    assert error["code"] == "unknown-place"
    assert "porch shelf" in error["message"]


@pytest.mark.usefixtures("porch")
def test_a_new_plant_is_in_quarantine_from_its_arrival(ask: Ask) -> None:
    plant = ask("add", "g07", "--name", "Lanyard", "--place", "porch shelf",
                "--arrived", "2026-05-01")["plant"]  # fmt: skip
    assert plant["code"] == "g07"
    assert plant["standing"] == "quarantine"
    assert plant["standing_since"] == "2026-05-01"
    assert plant["release"]["criteria"][0]["have"] == 3
    assert (plant["form"], plant["size"], plant["pests"]) == ("leafy-plant", "medium", ["mealybug"])


@pytest.mark.usefixtures("porch")
def test_the_day_written_about_is_the_arrival_where_none_is_given(ask: Ask) -> None:
    plant = ask("plant", "s03", "--on", "2026-05-04")["plant"]
    assert plant["standing_since"] == "2026-04-28"


@pytest.mark.usefixtures("porch")
def test_a_plant_that_was_already_here_is_in_the_collection(ask: Ask) -> None:
    plant = ask("plant", "G02")["plant"]
    assert plant["standing"] == "collection"
    assert plant["release"] is None


@pytest.mark.usefixtures("porch")
def test_all_that_can_be_said_of_a_plant_is_taken(ask: Ask) -> None:
    plant = ask(
        "add", "S09", "--name", "Marline", "--place", "Porch Shelf", "--form", "rosette",
        "--size", "small", "--botanical-name", "Rosula ficta", "--source", "a neighbour",
        "--spot", "5", "--touches", "G02", "--touches", "s03", "--value", "2.5",
        "--dislikes", "alcohol", "--dislikes", "wet-leaves", "--clear-pot", "--pest", "Mealybug",
        "--note", "two lines\nof it",
    )["plant"]  # fmt: skip
    assert plant["botanical_name"] == "Rosula ficta"
    assert (plant["place"], plant["spot"]) == ("porch shelf", "5")
    assert (plant["form"], plant["size"]) == ("rosette", "small")
    zones = [zone["zone"] for zone in ask("plant", "S09")["zones"]]
    assert set(zones) == {
        "axils", "undersides", "crown", "flowers", "stem-base", "pot-rim", "medium", "roots",
    }  # fmt: skip


@pytest.mark.usefixtures("porch")
@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("add", "G02", "--name", "Cuddy", "--place", "porch shelf"), "plant-known"),
        (("add", "G 2", "--name", "Cuddy", "--place", "porch shelf"), "bad-code"),
        (("add", "G04", "--place", "porch shelf"), "plant-needs-name"),
        (("add", "G04", "--name", "Cuddy"), "plant-needs-place"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch"), "unknown-place"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch shelf", "--form", "fen"),
         "unknown-form"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch shelf", "--size", "tiny"),
         "not-one-of"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch shelf", "--pest", "thripp"),
         "unknown-pest"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch shelf", "--value", "0"),
         "value-not-positive"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch shelf", "--value", "nan"),
         "not-a-number"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch shelf", "--touches", "G4"),
         "unknown-plant"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch shelf", "--touches", "G04"),
         "touches-itself"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch shelf", "--already-here",
          "--arrived", "2026-05-01"), "arrived-or-here"),
        (("add", "G04", "--name", "Cuddy", "--place", "porch shelf", "--arrived", "1 May"),
         "not-a-date"),
        (("add", "G04", "--name", "Cu\x1bddy", "--place", "porch shelf"), "not-text"),
        (("add", "G03", "--change", "--size", "small"), "unknown-plant"),
        (("add", "S03", "--change", "--arrived", "2026-05-01"), "arrival-stays"),
        (("add", "S03", "--change", "--already-here"), "arrival-stays"),
    ],
)  # fmt: skip
def test_what_cannot_be_a_plant_is_refused_and_nothing_written(
    ask: Ask, refused: Ask, words: tuple[str, ...], code: str
) -> None:
    before = ask("rank")["plants"]
    assert refused(2, *words)["code"] == code
    assert ask("rank")["plants"] == before


@pytest.mark.usefixtures("porch")
def test_a_changed_plant_keeps_what_was_not_said_and_its_past(ask: Ask) -> None:
    ask("add", "S03", "--change", "--size", "large", "--arrived", "2026-04-28",
        "--on", "2026-05-02")  # fmt: skip
    assert ask("plant", "S03", "--on", "2026-05-01")["plant"]["size"] == "medium"
    plant = ask("plant", "S03")["plant"]
    assert (plant["size"], plant["name"], plant["standing"]) == ("large", "Pintle", "quarantine")


@pytest.mark.usefixtures("porch")
def test_into_a_place_apart_a_quarantine_begins_and_moving_out_ends_nothing(ask: Ask) -> None:
    moved = ask("move", "G02", "STAIR foot", "--spot", "4", "--on", "2026-05-02")
    assert moved["plant"]["standing"] == "quarantine"
    assert moved["plant"]["standing_since"] == "2026-05-02"
    out = ask("move", "G02", "porch shelf")["plant"]
    assert (out["place"], out["spot"]) == ("porch shelf", None)
    assert out["standing"] == "quarantine"
    page = ask("plant", "G02")
    assert [(m["on"], m["place"], m["spot"]) for m in page["moves"]] == [
        ("2026-01-01", "porch shelf", None),
        ("2026-05-02", "stair foot", "4"),
        ("2026-05-04", "porch shelf", None),
    ]
    [period] = page["periods"]
    assert (period["began_on"], period["ended_on"]) == ("2026-05-02", None)
    assert (period["reason"], period["early"], period["ended_id"]) == (None, False, None)


@pytest.mark.usefixtures("porch")
def test_apart_can_be_said_of_the_move_itself(ask: Ask) -> None:
    ask("place", "sill")
    assert ask("move", "G02", "sill", "--apart")["plant"]["standing"] == "quarantine"


@pytest.mark.usefixtures("porch")
def test_a_plant_that_is_gone_leaves_the_lists_and_takes_no_looks(ask: Ask, refused: Ask) -> None:
    plant = ask("gone", "S03", "discarded", "--note", "too far gone")["plant"]
    assert (plant["standing"], plant["standing_since"]) == ("gone", "2026-05-04")
    assert [p["code"] for p in ask("rank")["plants"]] == ["G02"]
    assert len(ask("rank", "--on", "2026-05-03")["plants"]) == 2
    assert refused(3, "look", "S03", "axils", "--seconds", "9")["code"] == "plant-gone"
    assert refused(3, "move", "S03", "porch shelf")["code"] == "plant-gone"
    assert refused(2, "gone", "G02", "eaten")["code"] == "not-one-of"


@pytest.mark.usefixtures("porch")
def test_temperatures_of_a_day_are_corrected_only_with_change(ask: Ask, refused: Ask) -> None:
    found = ask("weather", "Porch shelf", "2026-05-03", "--min", "-2", "--max", "24.5")
    entry = found["weather"].pop("id")
    assert found["weather"] == {
        "place": "porch shelf", "day": "2026-05-03", "min_c": -2.0, "max_c": 24.5,
    }  # fmt: skip
    again = ("weather", "porch shelf", "2026-05-03", "--min", "3", "--max", "20")
    assert refused(2, *again)["code"] == "weather-known"
    corrected = ask(*again, "--change")["weather"]["id"]
    assert corrected != entry
    assert refused(2, "withdraw", entry)["code"] == "unknown-entry"
    assert ask("withdraw", corrected)["plant"] is None
    ask(*again)


@pytest.mark.usefixtures("porch")
def test_warmth_follows_the_temperatures_entered(ask: Ask) -> None:
    def degree_days() -> float:
        criteria = ask("plant", "S03", "--on", "2026-04-30")["plant"]["release"]["criteria"]
        return float(criteria[1]["have"])

    # Two days at a constant 22 degC over a threshold of 8.
    assert degree_days() == pytest.approx(28)
    ask("weather", "stair foot", "2026-04-29", "--min", "18", "--max", "18")
    assert degree_days() == pytest.approx(24)
    # Weather after the day spoken about is not read.
    ask("weather", "stair foot", "2026-04-30", "--min", "10", "--max", "10")
    assert degree_days() == pytest.approx(24)


@pytest.mark.usefixtures("porch")
@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("nowhere", "2026-05-03", "--min", "3", "--max", "9"), "unknown-place"),
        (("porch shelf", "3 May", "--min", "3", "--max", "9"), "not-a-date"),
        (("porch shelf", "2026-05-03", "--min", "9", "--max", "3"), "max-below-min"),
        (("porch shelf", "2026-05-03", "--min", "3", "--max", "700"), "no-such-temperature"),
        (("porch shelf", "2026-05-03", "--min", "inf", "--max", "9"), "not-a-number"),
        (("porch shelf", "2026-05-03", "--min", "3"), "missing-argument"),
    ],
)
def test_temperatures_that_cannot_be_are_refused(
    refused: Ask, words: tuple[str, ...], code: str
) -> None:
    assert refused(2, "weather", *words)["code"] == code


@pytest.mark.usefixtures("porch")
def test_a_person_reads_lines_that_name_the_plant(call: Ask) -> None:
    assert "Thole" in call("move", "G02", "porch shelf", "--spot", "3").out
    assert call("place", "sill", "--apart").out.startswith("Saved: sill")
    kept = call("weather", "sill", "2026-05-03", "--min", "3.5", "--max", "9").out
    assert "sill on 3 May, 3.5 to 9 degC" in kept
