"""release: refused with what holds it, early with a reason, on record ever after."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

Ask = Callable[..., Any]

ARRIVED = date(2026, 3, 1)
FINDS = (0, 4, 9)
LAST_FIND = FINDS[-1]


@pytest.fixture
def stair_foot(ask: Ask) -> None:
    """One plant that came to a warm stair foot on the first day."""
    ask("place", "stair foot", "--apart", "--usual-c", "22", "--on", ARRIVED)
    ask("place", "porch shelf", "--usual-c", "22", "--on", ARRIVED)
    ask("add", "G07", "--name", "Lanyard", "--place", "stair foot", "--at", at(0))


def at(day: int) -> str:
    """Half past seven in the morning of so many days after the arrival."""
    return f"{ARRIVED + timedelta(day)}T07:30"


def on(day: int) -> str:
    return str(ARRIVED + timedelta(day))


def look_at_it(ask: Ask, day: int) -> dict[str, Any]:
    """A whole look, finds on the days that have some; the roots when they are due."""
    if day in FINDS:
        ask("look", "G07", "axils", "--seconds", 40, "--removed", 2, "--at", at(day))
    due = ask("today", "--on", on(day))["due"]
    if any(row["kind"] == "roots" for row in due):
        ask("look", "G07", "roots", "--unpotted", "--seconds", 120, "--at", at(day))
    looked: dict[str, Any] = ask("look", "G07", "--whole-plant", "--seconds", 180, "--at", at(day))[
        "plant"
    ]
    return looked


def unmet(plant: dict[str, Any]) -> list[str]:
    release = plant["release"]
    *_, courses, _ = release["criteria"]
    # none was begun: nothing waits for them
    assert (courses["code"], courses["unit"]) == ("courses", "course")
    assert (courses["met"], courses["have"], courses["need"]) == (True, 0, 0)
    found = [c["code"] for c in release["criteria"] if c["met"] is not True]
    assert found == release["waiting_for"]
    assert release["ready"] is not bool(found)
    return found


@pytest.mark.usefixtures("stair_foot")
def test_a_season_from_the_first_find_to_its_end(ask: Ask, call: Ask) -> None:
    """Finds on three days, clean from then on; refused on day 20; watched after the end."""
    for day in range(21):
        plant = look_at_it(ask, day)
    assert plant["last_find_on"] == on(LAST_FIND)
    assert plant["streak"] == {"looks": 11, "days": 11}
    refused = call("release", "G07", "--at", at(20), "--json")
    assert refused.status == 3
    assert refused.found["format"] == "rounds.release"
    assert refused.found["released"] is False
    assert refused.found["error"]["code"] == "criteria-unmet"
    assert refused.found["plant"]["release"]["waiting_for"] == unmet(plant)
    assert unmet(plant) == ["days_apart", "degree_days", "medium_and_roots", "chance_clean"]
    assert "unpotted, roots checked" in refused.found["error"]["message"]
    criteria = [c for c in plant["release"]["criteria"] if c["code"] != "courses"]
    expected = {c["code"]: c["expected_on"] for c in criteria}
    # 30 days after the last find, 35 of 14 degree-days make 485, and roots count from day 21 on
    assert expected["days_apart"] == on(LAST_FIND + 30)
    assert expected["degree_days"] == on(LAST_FIND + 35)
    assert expected["medium_and_roots"] == on(LAST_FIND + 21)

    foreseen = plant["release"]["expected_on"]
    assert foreseen == max(expected.values())
    day = 20
    while unmet(plant):
        day += 1
        assert day < 80
        plant = look_at_it(ask, day)
    assert on(day) == foreseen, "as it was forecast"
    assert plant["release"]["ready"] is True
    assert plant["chance_clean"]["value"] >= 0.95

    ended = ask("release", "G07", "--early", "the stair foot is needed", "--at", at(day))
    assert (ended["released"], ended["early"]) == (True, False), "a reason makes no end early"
    assert ended["reason"] == "the stair foot is needed"
    assert ended["plant"]["standing"] == "watch"
    assert ended["plant"]["standing_since"] == on(day)
    assert ended["plant"]["release"] is None
    (period,) = ask("plant", "G07", "--on", on(day + 3))["periods"]
    assert (period["began_on"], period["ended_on"]) == (on(0), on(day))
    assert (period["reason"], period["early"]) == ("the stair foot is needed", False)
    assert ask("plant", "G07", "--on", on(day - 1))["periods"][0]["ended_on"] is None
    # one further generation at 14 degree-days a day, and 30 days at least
    assert ask("plant", "G07", "--on", on(day + 34))["plant"]["standing"] == "watch"
    assert ask("plant", "G07", "--on", on(day + 35))["plant"]["standing"] == "collection"


@pytest.mark.usefixtures("stair_foot")
def test_a_find_after_the_end_does_not_change_where_it_stands(ask: Ask) -> None:
    ask("release", "G07", "--early", "mistaken", "--at", at(2))
    found = ask("look", "G07", "axils", "--seconds", 40, "--left", 1, "--at", at(3))
    assert found["plant"]["standing"] == "watch"
    assert found["plant"]["last_find_on"] == on(3)
    again = ask("move", "G07", "porch shelf", "--apart", "--at", at(4))["plant"]
    assert (again["standing"], again["standing_since"]) == ("quarantine", on(4))
    assert len(ask("plant", "G07", "--on", on(4))["periods"]) == 2


@pytest.mark.usefixtures("stair_foot")
def test_a_plant_that_is_not_in_quarantine_cannot_leave_it(ask: Ask, call: Ask) -> None:
    ask("release", "G07", "--early", "mistaken", "--at", at(2))
    again = call("release", "G07", "--early", "twice", "--at", at(3), "--json")
    assert again.status == 3
    assert again.found["format"] == "rounds.release"
    assert (again.found["released"], again.found["early"]) == (False, False)
    assert again.found["error"]["code"] == "not-in-quarantine"
    ask("gone", "G07", "died", "--at", at(4))
    gone = call("release", "G07", "--at", at(4), "--json")
    assert (gone.status, gone.found["error"]["code"]) == (3, "plant-gone")
    assert gone.found["plant"]["standing"] == "gone"


@pytest.mark.usefixtures("stair_foot")
def test_bad_input_to_release_is_an_error_and_no_release(ask: Ask, refused: Ask) -> None:
    assert refused(2, "release", "G08", "--at", at(2))["code"] == "unknown-plant"
    assert refused(2, "release", "G07", "--early", " ", "--at", at(2))["code"] == "empty-reason"
    assert refused(2, "release", "G07", "--on", "2026-01-01")["code"] == "plant-not-yet"


@pytest.mark.usefixtures("stair_foot")
def test_a_key_stays_free_while_a_release_is_refused(ask: Ask, call: Ask) -> None:
    assert call("release", "G07", "--key", "k", "--at", at(2)).status == 3
    ended = ("release", "G07", "--early", "needed", "--key", "k", "--at", at(2))
    assert ask(*ended)["already_known"] is False
    again = ask(*ended)
    assert (again["already_known"], again["released"], again["early"]) == (True, True, True)


@pytest.mark.usefixtures("stair_foot")
def test_a_person_reads_every_criterion_and_what_holds(call: Ask) -> None:
    said = call("release", "G07", "--at", at(2))
    assert said.status == 3
    for text in (
        "quarantine days since",
        "degree-days since last find",
        "clean looks",
        "roots",
        "chance clean",
    ):
        assert text in said.out
    assert "not yet computed" not in said.out
    assert said.err.startswith("G07 may not rejoin yet; 5 of 6 unmet: ")
    early = call("release", "G07", "--early", "needed", "--at", at(2))
    assert early.status == 0
    assert "G07 leaves quarantine early: needed" in early.out


@pytest.mark.usefixtures("stair_foot")
def test_while_insects_live_on_it_its_days_are_no_more_than_an_if(ask: Ask, call: Ask) -> None:
    def head(*command: str) -> str:
        return str(next(row for row in call(*command).out.splitlines() if "needed before" in row))

    ask("look", "G07", "axils", "--seconds", 40, "--removed", 2, "--at", at(0))
    for command in (("plant", "G07", "--on", on(1)), ("release", "G07", "--at", at(1))):
        assert head(*command).rstrip().endswith("if clean")
    ask("look", "G07", "--whole-plant", "--seconds", 180, "--at", at(8))
    assert head("plant", "G07", "--on", on(9)).rstrip().endswith("due")


def rejoined(ask: Ask) -> Any:
    """What is said of G02, released early: it stood on the shelf beside G06, which has insects."""
    ask("place", "porch shelf", "--usual-c", "22", "--on", ARRIVED)
    ask("place", "seedling bench", "--on", ARRIVED)
    ask("place", "stair foot", "--apart", "--on", ARRIVED)
    for code, name in (("G02", "Thole"), ("G06", "Cuddy")):
        ask("add", code, "--name", name, "--place", "porch shelf", "--spot", "spot 4",
            "--already-here", "--on", ARRIVED)  # fmt: skip
    ask("move", "G02", "stair foot", "--on", on(1))
    ask("look", "G06", "axils", "--seconds", 60, "--left", 5, "--on", on(18))
    return ask("release", "G02", "--early", "its place is wanted", "--on", on(20))


def test_a_release_says_what_awaits_the_plant_and_where_it_had_better_go(ask: Ask) -> None:
    back = rejoined(ask)["rejoin"]
    assert (back["ahead_days"], back["still_apart"]) == (14, True)
    there, elsewhere = back["there"], back["elsewhere"]
    assert (there["place"], there["spot"]) == ("porch shelf", "spot 4")
    (beside,) = there["beside"]
    assert (beside["code"], beside["kind"], beside["near"]) == ("G06", "alive", "spot")
    assert (beside["on"], beside["text"]) == (on(18), "G06 (alive 19 March)")
    assert (elsewhere["place"], elsewhere["beside"]) == ("seedling bench", [])
    assert there["chance_clean"] < elsewhere["chance_clean"] < 1
    assert "At porch shelf, spot 4, beside G06 (alive 19 March)" in back["text"]


def test_a_released_plant_in_the_quarantine_place_is_due_until_it_is_moved(ask: Ask) -> None:
    rejoined(ask)

    def due(day: int) -> list[tuple[str, str, int]]:
        rows = ask("today", "--on", on(day))["due"]
        return [(r["plant"], r["text"], r["waiting_days"]) for r in rows if r["kind"] == "move-out"]

    assert due(25) == [("G02", "released: move it out", 5)]
    ask("move", "G02", "seedling bench", "--on", on(25))
    assert due(25) == []


def test_a_person_reads_what_awaits_the_plant(ask: Ask, call: Ask) -> None:
    rejoined(ask)
    ask("move", "G06", "stair foot", "--on", on(21))
    said = call("release", "G06", "--early", "a slip", "--on", on(21)).out
    assert "At porch shelf, spot 4, no find near" in said
    assert "G06 is still in the quarantine place: move it with `rounds move G06 PLACE`." in said


def test_a_refused_release_says_nothing_of_going_back(ask: Ask, call: Ask) -> None:
    rejoined(ask)
    assert call("release", "G02", "--on", on(20), "--json").found["rejoin"] is None
