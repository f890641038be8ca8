"""look, withdraw, settle."""

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")


def test_a_look_with_finds_is_kept_with_ids_for_each(ask: Ask) -> None:
    found = ask("look", "s03", "Axils", "--seconds", 40, "--removed", 2, "--left", 1,
                "--doubtful", 3, "--stage", "adult")  # fmt: skip
    assert found["format"] == "rounds.look"
    assert found["found"] == 3
    assert len(found["look_ids"]) == 1
    assert len(found["tally_ids"]) == 3
    assert all(isinstance(name, str) for name in found["look_ids"] + found["tally_ids"])
    assert found["plant"]["last_find_on"] == "2026-05-04"
    assert found["plant"]["standing"] == "quarantine"
    (look,) = ask("plant", "S03")["looks"]
    assert look == {
        "id": found["look_ids"][0],
        "day": "2026-05-04",
        "zone": "axils",
        "seconds": 40.0,
        "credited_seconds": 0.0,
        "outcome": "looked",
        "reason": None,
        "unpotted": False,
        "found": 3,
        "removed": 2,
        "killed": 0,
        "left": 1,
        "doubtful": 3,
        "who": None,
        "withdrawn": False,
        "tallies": [
            {"id": name, "kind": kind, "stage": "adult", "count": count,
             "withdrawn": False, "settled_as": None, "pest": "mealybug"}
            for name, kind, count in zip(
                found["tally_ids"], ("removed", "left", "doubtful"), (2, 1, 3), strict=True)
        ],
    }  # fmt: skip


@pytest.mark.parametrize(
    ("seconds", "counted", "credited"),
    [(40, 0, 40), (40, 2, 24), (9, 2, 0), (10_000, 0, 3 * 180 * 0.35 / 0.95)],
)
def test_credited_is_elapsed_less_8_for_each_counted_within_three_full_looks(
    ask: Ask, seconds: float, counted: int, credited: float
) -> None:
    ask("look", "S03", "axils", "--seconds", seconds, "--killed", counted)
    (look,) = ask("plant", "S03")["looks"]
    assert look["credited_seconds"] == pytest.approx(credited)


def test_a_whole_plant_shares_its_seconds_by_the_full_look_of_each_zone(ask: Ask) -> None:
    found = ask("look", "S03", "--whole-plant", "--seconds", 90)
    page = ask("plant", "S03")
    assert len(found["look_ids"]) == 7
    assert found["tally_ids"] == []
    full = {zone["zone"]: zone["reference_seconds"] for zone in page["zones"]}
    assert sum(look["seconds"] for look in page["looks"]) == pytest.approx(90, abs=0.01)
    for look in page["looks"]:
        assert look["seconds"] == pytest.approx(full[look["zone"]] / 2, abs=0.001)
    assert found["plant"]["last_complete_look_on"] == "2026-05-04"
    assert found["plant"]["streak"] == {"looks": 1, "days": 1}


def test_several_zones_are_several_looks(ask: Ask) -> None:
    found = ask("look", "S03", "medium", "pot-rim", "--seconds", 50)
    assert len(found["look_ids"]) == 2
    seconds = {look["zone"]: look["seconds"] for look in ask("plant", "S03")["looks"]}
    assert seconds == {"medium": pytest.approx(20), "pot-rim": pytest.approx(30)}


def test_completeness_is_summed_over_the_looks_of_a_day(ask: Ask) -> None:
    for _ in range(2):
        plant = ask("look", "S03", "--whole-plant", "--seconds", 45)["plant"]
    assert plant["last_complete_look_on"] == "2026-05-04"
    alone = ask("look", "G02", "--whole-plant", "--seconds", 45)["plant"]
    assert alone["last_complete_look_on"] is None
    assert alone["last_look_on"] == "2026-05-04"


def test_what_cannot_be_seen_has_no_seconds_and_is_no_evidence(ask: Ask) -> None:
    found = ask("look", "S03", "axils", "--cannot-see", "behind the stake")
    assert found["found"] == 0
    (look,) = ask("plant", "S03")["looks"]
    assert (look["outcome"], look["seconds"]) == ("cannot-see", 0)
    assert found["plant"]["last_look_on"] is None


def test_roots_out_of_the_pot_say_so(ask: Ask) -> None:
    ask("look", "S03", "roots", "--seconds", 120, "--unpotted")
    ask("look", "S03", "roots", "--seconds", 120)
    assert [look["unpotted"] for look in ask("plant", "S03")["looks"]] == [True, False]


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("S04", "axils", "--seconds", "9"), "unknown-plant"),
        (("S03", "axlis", "--seconds", "9"), "unknown-zone"),
        (("S03", "flowers", "--seconds", "9"), "unknown-zone"),
        (("S03", "--seconds", "9"), "zones-or-whole"),
        (("S03", "axils", "--whole-plant", "--seconds", "9"), "zones-or-whole"),
        (("S03", "axils"), "look-needs-seconds"),
        (("S03", "axils", "--seconds", "-1"), "bad-seconds"),
        (("S03", "axils", "--seconds", "100000"), "bad-seconds"),
        (("S03", "axils", "--seconds", "nan"), "not-a-number"),
        (("S03", "axils", "--seconds", "9", "--removed", "-1"), "bad-count"),
        (("S03", "axils", "--seconds", "9", "--removed", "1.5"), "not-a-count"),
        (("S03", "axils", "medium", "--seconds", "9", "--removed", "1"), "count-needs-one-zone"),
        (("S03", "--whole-plant", "--seconds", "9", "--left", "1"), "count-needs-one-zone"),
        (("S03", "axils", "--seconds", "9", "--stage", "adult"), "stage-without-count"),
        (("S03", "axils", "--seconds", "9", "--left", "1", "--stage", "old"), "not-one-of"),
        (("S03", "axils", "--seconds", "9", "--unpotted"), "unpotted-needs-roots"),
        (("S03", "axils", "--seconds", "9", "--cannot-see", "dark"), "cannot-see-with-looking"),
        (("S03", "axils", "--left", "1", "--cannot-see", "dark"), "cannot-see-with-looking"),
        (("S03", "axils", "--cannot-see", " "), "empty-reason"),
        (("S03", "axils", "--seconds", "9", "--pest", "mealybut"), "unknown-pest"),
        (("S03", "axils", "--seconds", "9", "--on", "2026-04-27"), "plant-not-yet"),
    ],
)
def test_a_look_that_cannot_be_is_refused_and_nothing_written(
    ask: Ask, refused: Ask, words: tuple[str, ...], code: str
) -> None:
    assert refused(2, "look", *words)["code"] == code
    assert ask("plant", "S03")["looks"] == []


def test_the_nearest_zone_is_named(refused: Ask) -> None:
    assert "axils" in refused(2, "look", "S03", "axlis", "--seconds", "9")["message"]


def test_at_is_the_instant_and_its_date_the_day_written_about(ask: Ask, refused: Ask) -> None:
    given = ("look", "S03", "axils", "--seconds", "9")
    assert ask(*given, "--at", "2026-05-01T23:59")["on"] == "2026-05-01"
    assert ask(*given, "--at", "2026-05-02 00:01:30")["on"] == "2026-05-02"
    assert ask(*given, "--at", "2026-05-02T23:30:00+02:00")["on"] == "2026-05-02"
    assert ask(*given, "--at", "2027-01-01T08:00")["on"] == "2027-01-01"
    assert ask(*given, "--on", "2026-05-03", "--at", "2026-05-03T08:00")["on"] == "2026-05-03"
    disagreed = refused(2, *given, "--on", "2026-05-02", "--at", "2026-05-03T08:00")
    assert disagreed["code"] == "days-disagree"
    assert refused(2, *given, "--at", "noon")["code"] == "not-an-instant"


def test_who_looked_stands_before_or_after_the_command(ask: Ask) -> None:
    ask("look", "S03", "axils", "--seconds", 9, "--who", "Ada")
    ask("--who", "Bert", "look", "S03", "axils", "--seconds", 9)
    assert [look["who"] for look in ask("plant", "S03")["looks"]] == ["Ada", "Bert"]


def test_a_look_taken_back_takes_its_counts_along(ask: Ask, refused: Ask) -> None:
    kept = ask("look", "S03", "axils", "--seconds", 40, "--removed", 2, "--doubtful", 1)
    gone = ask("withdraw", kept["look_ids"][0], "--why", "wrong plant", "--on", "2026-05-06")
    assert gone["format"] == "rounds.withdraw"
    assert gone["withdrawn"] == kept["look_ids"] + kept["tally_ids"]
    assert gone["plant"]["last_find_on"] is None
    page = ask("plant", "S03", "--on", "2026-05-04")
    (look,) = page["looks"]
    assert look["withdrawn"] is True
    assert (look["found"], look["doubtful"], look["credited_seconds"]) == (0, 0, 0)
    assert [tally["withdrawn"] for tally in look["tallies"]] == [True, True]
    assert page["plant"]["last_look_on"] is None
    for entry in gone["withdrawn"]:
        assert refused(3, "withdraw", entry)["code"] == "already-withdrawn"


def test_a_count_taken_back_leaves_the_look(ask: Ask) -> None:
    kept = ask("look", "S03", "axils", "--seconds", 40, "--removed", 2, "--killed", 1)
    gone = ask("withdraw", kept["tally_ids"][0])
    assert gone["withdrawn"] == [kept["tally_ids"][0]]
    (look,) = ask("plant", "S03")["looks"]
    assert (look["withdrawn"], look["found"], look["removed"], look["killed"]) == (False, 1, 0, 1)
    assert [tally["withdrawn"] for tally in look["tallies"]] == [True, False]
    assert look["credited_seconds"] == 32


def test_a_move_taken_back_ends_the_quarantine_it_began(ask: Ask, refused: Ask) -> None:
    moved = ask("move", "G02", "stair foot", "--on", "2026-05-02")
    gone = ask("withdraw", moved["move_id"])
    assert gone["withdrawn"] == [moved["move_id"]]
    assert gone["plant"]["standing"] == "collection"
    assert gone["plant"]["place"] == "porch shelf"
    (only,) = ask("plant", "G02")["moves"]
    assert refused(3, "withdraw", only["id"])["code"] == "only-move"


@pytest.mark.parametrize("entry", ["G02", "look-1", "look-20260504-1-9", "tally-20260504-99-9"])
def test_an_entry_that_is_not_there_is_refused(refused: Ask, entry: str) -> None:
    assert refused(2, "withdraw", entry)["code"] == "unknown-entry"
    assert refused(2, "settle", entry, "alive")["code"] in ("unknown-entry", "not-a-doubt")


def test_a_doubt_that_was_alive_is_a_find_of_its_own_day(ask: Ask) -> None:
    kept = ask("look", "S03", "axils", "--seconds", 40, "--doubtful", 2, "--on", "2026-05-01")
    assert kept["found"] == 0
    ask("look", "S03", "--whole-plant", "--seconds", 180, "--on", "2026-05-02")
    settled = ask("settle", kept["tally_ids"][0], "alive")
    assert settled["settled"] == kept["tally_ids"][0]
    assert settled["plant"]["last_find_on"] == "2026-05-01"
    look = ask("plant", "S03", "--on", "2026-05-01")["looks"][0]
    assert (look["found"], look["left"], look["doubtful"]) == (2, 2, 0)
    assert look["tallies"][0]["kind"] == "doubtful"
    assert look["tallies"][0]["settled_as"] == "alive"


@pytest.mark.parametrize("verdict", ["remains", "not-an-insect"])
def test_a_doubt_that_was_none_is_in_no_count_and_its_zone_is_clean(ask: Ask, verdict: str) -> None:
    ask("look", "S03", "--whole-plant", "--seconds", 180)
    kept = ask("look", "S03", "axils", "--seconds", 9, "--doubtful", 1)
    assert kept["plant"]["last_complete_look_on"] is None
    settled = ask("settle", kept["tally_ids"][0], verdict)
    assert settled["plant"]["last_complete_look_on"] == "2026-05-04"
    assert settled["plant"]["last_find_on"] is None
    look = ask("plant", "S03")["looks"][-1]
    assert (look["found"], look["doubtful"]) == (0, 0)


def test_only_a_doubt_that_stands_can_be_settled(ask: Ask, refused: Ask) -> None:
    kept = ask("look", "S03", "axils", "--seconds", 40, "--removed", 1, "--doubtful", 1)
    removed, doubtful = kept["tally_ids"]
    assert refused(2, "settle", removed, "alive")["code"] == "not-a-doubt"
    assert refused(2, "settle", kept["look_ids"][0], "alive")["code"] == "not-a-doubt"
    assert refused(2, "settle", doubtful, "dead")["code"] == "not-one-of"
    ask("withdraw", doubtful)
    assert refused(3, "settle", doubtful, "alive")["code"] == "already-withdrawn"


def test_a_person_reads_what_was_kept_and_how_to_take_it_back(call: Ask) -> None:
    said = call("look", "S03", "axils", "--seconds", 40, "--removed", 2).out.splitlines()
    assert said[0] == "2 found alive on S03."
    tally = next(line for line in said if line.startswith("tally-"))
    assert "Nothing alive found on G02." in call("look", "G02", "medium", "--seconds", 4).out
    assert tally in call("withdraw", tally).out
    doubtful = call("look", "S03", "axils", "--seconds", 4, "--doubtful", 1).out.splitlines()
    speck = next(line for line in doubtful if line.startswith("tally-"))
    assert f"{speck} resolved: old remains." in call("settle", speck, "remains").out


MIXED = ("look", "S03", "axils", "--seconds", "60", "--stage", "adult", "--removed", "2",
         "--stage", "young", "--removed", "3", "--left", "1")  # fmt: skip


def test_several_stages_are_one_look_whose_seconds_count_once(ask: Ask) -> None:
    found = ask(*MIXED)
    assert (found["found"], len(found["look_ids"]), len(found["tally_ids"])) == (6, 1, 3)
    (look,) = ask("plant", "S03")["looks"]
    told = [(tally["kind"], tally["stage"], tally["count"]) for tally in look["tallies"]]
    assert told == [("removed", "adult", 2), ("removed", "young", 3), ("left", "young", 1)]
    assert (look["seconds"], look["credited_seconds"]) == (60, 60 - 8 * 6)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--removed", "1", "--stage", "adult", "--stage", "young", "--left", "1"),
         "counts-before-stage"),
        (("--stage", "adult", "--removed", "1", "--removed", "2"), "count-twice"),
        (("--stage", "adult", "--removed", "1", "--stage", "young", "--left", "1", "--left", "2"),
         "count-twice"),
        (("--stage", "adult", "--stage", "young", "--removed", "1"), "stage-without-count"),
        (("--stage", "adult", "--removed", "1", "--stage", "adult", "--left", "1"), "stage-twice"),
        (("--stage", "adult", "--removed", "1", "--stage", "old", "--left", "1"), "not-one-of"),
    ],
)  # fmt: skip
def test_stages_and_counts_that_do_not_pair_up_are_refused(
    ask: Ask, refused: Ask, words: tuple[str, ...], code: str
) -> None:
    assert refused(2, "look", "S03", "axils", "--seconds", "9", *words)["code"] == code
    assert ask("plant", "S03")["looks"] == []


def test_a_plant_may_be_called_by_a_number_behind_a_count(ask: Ask) -> None:
    ask("add", "7", "--name", "Halyard", "--place", "stair foot", "--on", "2026-05-01")
    found = ask("look", "--seconds", 30, "--removed", 2, "7", "axils")
    assert (found["plant"]["code"], found["found"]) == ("7", 2)
