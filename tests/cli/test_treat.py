"""treat: courses from their first step to their last, on one plant or a shelf, and what they hold.

Dates are right across a change of the clocks: the season of the first test crosses one.
"""

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.service.courses.next_way import next_told
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from tests.cli.conftest import Call

Ask = Callable[..., Any]

CAME = date(2026, 3, 18)
"""clocks go forward in Berlin on 29 March, day 11"""
FINDS = {0: 2, 1: 3, 2: 5, 3: 9, 4: 14, 9: 1}
SPRAYED = (6, 13, 27, 34)
"""the third a week late"""
EVERY = 3
"""days from one whole look to the next"""


pytestmark = pytest.mark.usefixtures("berlin")


def on(day: int) -> str:
    return str(CAME + timedelta(days=day))


def at(day: int, hour: str = "07:30") -> str:
    return f"{on(day)}T{hour}"


@pytest.fixture
def stair(ask: Ask) -> None:
    ask("place", "stair foot", "--apart", "--usual-c", "24", "--bench", "lower", "--on", on(0))
    ask("place", "porch shelf", "--usual-c", "24", "--on", on(0))
    ask("add", "S03", "--name", "Pintle", "--place", "stair foot", "--size", "small",
        "--at", at(0))  # fmt: skip


def criterion(plant: Any, code: str) -> Any:
    return next(c for c in plant["release"]["criteria"] if c["code"] == code)


def due(steps: list[dict[str, Any]]) -> list[str]:
    return [step["due_on"] for step in steps]


@pytest.mark.usefixtures("stair")
def test_from_thirty_finds_to_insects_again_and_a_delivery(ask: Ask, call: Call) -> None:
    """Lifting on days 0 to 4, the roots on day 5, four sprays, one late; the last find on day 9.

    Refused a day early, ended, watched, insects again on day 154; then a delivery of twenty.
    """
    for day in range(5):
        ask("look", "S03", "axils", "--seconds", 60, "--removed", FINDS[day], "--at", at(day))
    rinsed = ask("treat", "S03", "root-clean-out", "--done", "--at", at(5))
    assert [(s["kind"], s["done_on"]) for s in rinsed["steps"]] == [("root-clean-out", on(5))]
    assert rinsed["plant"]["chance_clean"]["value"] < 0.5

    begun = ask("treat", "S03", "contact-spray", "--at", at(6, "08:00"))
    assert due(begun["steps"]) == [on(6), on(13), on(20), on(27)]
    assert {c["code"] for c in begun["cautions"]} >= {"label", "leaf", "heat", "animals", "bees"}
    day, expected = 5, 120
    while day < expected:
        day += 1
        if day in SPRAYED:
            sprayed = ask("treat", "S03", "contact-spray", "--done", "--at", at(day, "09:00"))
        if day in FINDS:
            ask("look", "S03", "axils", "--seconds", 60, "--removed", FINDS[day], "--at", at(day))
        if day == 30:
            ask("look", "S03", "roots", "--unpotted", "--seconds", 120, "--at", at(day))
        if day == 21:
            # a step that was missed waits, and those after it keep their distance
            rows = [r for r in ask("today", "--on", on(21))["due"] if r["kind"] == "step"]
            assert rows == [{"on": on(20), "plant": "S03", "kind": "step", "text": "spray, 3 of 4",
                             "waiting_days": 1}]  # fmt: skip
            assert criterion(ask("plant", "S03", "--on", on(21))["plant"], "courses") == {
                "code": "courses", "met": False, "have": 1, "need": 0, "unit": "course",
                "expected_on": on(29), "lacks": None,
            }  # fmt: skip
        if day == 27:
            assert due(sprayed["steps"]) == [on(6), on(13), on(27), on(34)]
            assert call("release", "S03", "--at", at(27)).status == 3
        if day % EVERY == 0 and day > 5:
            plant = ask("look", "S03", "--whole-plant", "--seconds", 60, "--at", at(day))["plant"]
            foreseen = plant["release"]["expected_on"]
            expected = (date.fromisoformat(foreseen) - CAME).days if foreseen else 120
    assert plant["last_find_on"] == on(9)
    assert day == expected >= 40, "31 days of 16 degree-days after the last find"
    refused = call("release", "S03", "--at", at(day - 1, "20:00"), "--json")
    assert (refused.status, refused.found["error"]["code"]) == (3, "criteria-unmet")
    ended = ask("release", "S03", "--at", at(day, "20:00"))
    assert (ended["released"], ended["early"]) == (True, False)
    assert ended["plant"]["standing"] == "watch"
    ask("move", "S03", "porch shelf", "--on", on(day))
    watched(ask, day)
    came_back(ask, call, day)
    delivery_of_twenty(ask)


def watched(ask: Ask, released: int) -> None:
    """One further generation, thirty days at least; not a day more or less."""
    ends = [r for r in ask("agenda", "--on", on(released), "--days", 60)["due"]
            if (r["plant"], r["kind"]) == ("S03", "watch")]  # fmt: skip
    assert [row["on"] for row in ends] == [on(released + 31)]
    assert ask("plant", "S03", "--on", on(released + 30))["plant"]["standing"] == "watch"
    after = ask("plant", "S03", "--on", on(released + 31))
    assert (after["plant"]["standing"], after["cleared_before"]) == ("collection", None)


def came_back(ask: Ask, call: Call, released: int) -> None:
    """Insects on day 154: survivors or new arrivals cannot be told apart, and that is said."""
    back = ask("look", "S03", "axils", "--seconds", 60, "--removed", 1, "--at", at(154))["plant"]
    assert (back["standing"], back["last_find_on"]) == ("collection", on(154))
    cleared = ask("plant", "S03", "--on", on(154))["cleared_before"]
    assert (cleared["on"], cleared["days"]) == (on(released), 154 - released)
    said = f"cleared {154 - released} days ago; survivors or new arrivals cannot be told apart"
    assert cleared["text"] == said
    assert said in call("plant", "S03", "--on", on(154)).out
    plan = {row["code"]: row for row in ask("today", "--minutes", 30, "--on", on(154))["plan"]}
    assert said in [reason["text"] for reason in plan["S03"]["reasons"]]


def delivery_of_twenty(ask: Ask) -> None:
    """Six of twenty opened, one found on; they come on the day on which clocks go back."""
    day = 221
    assert on(day) == "2026-10-25"
    came = ask("arrive", "--units", 20, "--source", "the ferry", "--opened", 6, "--seconds", 180,
               "--found", "3 axils 2 adult", "--name", "Capstan", "--place", "stair foot",
               "--at", at(day))  # fmt: skip
    assert (came["opened"], came["infested"], came["found"]) == (6, 1, 2)
    assert came["verdict"]["code"] == "quarantine-and-course"
    third, *_, last = came["plants"][2:]
    found, mate = (ask("plant", code, "--on", on(day))["plant"] for code in (third, last))
    assert [p["standing_since"] for p in (found, mate)] == [on(day)] * 2
    assert [p["last_find_on"] for p in (found, mate)] == [on(day), None]
    assert criterion(found, "days_apart")["expected_on"] == on(day + 30)
    treated = ask("treat", "contact-spray", "--place", "stair foot", "--done", "--at", at(day))
    assert sorted(t["code"] for t in treated["treated"]) == came["plants"]
    assert due(treated["steps"]) == [on(day + 7 * n) for n in range(4)]
    late = ask("plant", third, "--on", on(day + 9))["courses"][0]
    assert [s["done_on"] for s in late["steps"]] == [on(day), None, None, None]
    assert due(late["steps"]) == [on(day), on(day + 7), on(day + 16), on(day + 23)]


@pytest.mark.usefixtures("stair")
def test_a_treatment_raises_the_chance_clean_on_its_day_and_withdrawing_it_undoes_that(
    ask: Ask,
) -> None:
    ask("look", "S03", "axils", "--seconds", 60, "--left", 2, "--stage", "young", "--at", at(0))
    before = ask("plant", "S03", "--on", on(0))["plant"]
    done = ask("treat", "S03", "contact-spray", "--done", "--at", at(0))
    assert done["plant"]["chance_clean"]["value"] > before["chance_clean"]["value"]
    assert done["plant"]["chance_clean"]["high"] > before["chance_clean"]["high"]
    step = done["steps"][0]
    assert ask("withdraw", step["done_id"])["withdrawn"] == [step["done_id"]]
    undone = ask("plant", "S03", "--on", on(0))
    assert undone["plant"]["chance_clean"] == before["chance_clean"]
    assert undone["courses"][0]["steps"][0]["done_on"] is None
    assert ask("withdraw", done["course_id"])["plant"]["release"]["ready"] is False
    gone = ask("plant", "S03", "--on", on(0))
    assert gone["courses"] == []
    assert criterion(gone["plant"], "courses")["met"] is True


@pytest.mark.usefixtures("stair")
def test_a_course_is_stopped_and_that_can_be_withdrawn(ask: Ask, refused: Ask) -> None:
    begun = ask("treat", "S03", "lifting", "--at", at(1))
    stopped = ask("treat", "S03", "lifting", "--stop", "--at", at(3))
    assert stopped["stopped_id"].startswith("stopped-")
    assert criterion(stopped["plant"], "courses")["have"] == 0
    assert criterion(ask("plant", "S03", "--on", on(2))["plant"], "courses")["have"] == 1
    assert refused(3, "treat", "S03", "lifting", "--stop", "--at", at(3))["code"] == (
        "course-not-running"
    )
    ask("withdraw", stopped["stopped_id"])
    known = ask("plant", "S03", "--on", on(3))["courses"]
    assert [(c["id"], c["stopped_on"]) for c in known] == [(begun["course_id"], None)]
    assert refused(3, "treat", "S03", "lifting", "--at", at(4))["code"] == "course-running"


@pytest.mark.usefixtures("stair")
def test_a_step_is_named_and_done_out_of_turn(ask: Ask, refused: Ask) -> None:
    begun = ask("treat", "S03", "contact-spray", "--at", at(0))
    second = begun["steps"][1]["id"]
    done = ask("treat", "S03", "contact-spray", "--step", second, "--done", "--at", at(2))
    assert [s["done_on"] for s in done["steps"]] == [None, on(2), None, None]
    assert due(done["steps"]) == [on(0), on(2), on(9), on(16)]
    again = refused(3, "treat", "S03", "contact-spray", "--step", second, "--done", "--at", at(3))
    assert again["code"] == "step-done-already"
    ask("withdraw", second)
    assert ask("plant", "S03", "--on", on(3))["courses"][0]["steps"][1]["done_on"] is None
    unknown = refused(2, "treat", "S03", "contact-spray", "--step", "step-9", "--done")
    assert unknown["code"] == "unknown-step"


def label(interval: int, most: int) -> list[str]:
    return ["--product", "Leaf Rinse", "--interval-days", str(interval), "--most-uses", str(most),
            "--reentry-hours", "12", "--gear", "gloves, goggles"]  # fmt: skip


@pytest.mark.usefixtures("stair")
def test_what_a_label_says_is_kept_to_warned_of_and_refuses_nothing(ask: Ask, refused: Ask) -> None:
    begun = ask("treat", "S03", "labelled-product", *label(10, 2), "--at", at(0))
    assert due(begun["steps"]) == [on(0), on(10)]
    assert [c["code"] for c in begun["cautions"]][:2] == ["gear", "reentry"]
    first = ask("treat", "S03", "labelled-product", "--done", "--at", at(10, "20:00"))
    # twelve hours of a clock, over the night in which it goes forward
    (until,) = [w["text"] for w in first["warnings"] if w["code"] == "re-entry"]
    assert "29 March" in until
    assert "9:00" in until
    other = refused(2, "treat", "S03", "labelled-product", *label(3, 9), "--done", "--at", at(15))
    assert other["code"] == "label-at-begin"
    early = ask("treat", "S03", "labelled-product", "--done", "--at", at(15))
    assert "too-early" in {w["code"] for w in early["warnings"]}
    assert early["steps"][1]["done_on"] == on(15)
    more = ask("treat", "S03", "labelled-product", *label(10, 2), "--at", at(40))
    assert "too-many" in {w["code"] for w in more["warnings"]}


@pytest.mark.usefixtures("stair")
def test_a_product_kills_what_its_grower_says(ask: Ask) -> None:
    ask("look", "S03", "axils", "--seconds", 60, "--left", 2, "--stage", "young", "--at", at(0))
    ask("add", "S04", "--name", "Thole", "--place", "stair foot", "--size", "small", "--at", at(0))
    ask("look", "S04", "axils", "--seconds", 60, "--left", 2, "--stage", "young", "--at", at(0))
    usual = ask("treat", "S03", "labelled-product", *label(7, 3), "--done", "--at", at(0))
    told = ask("treat", "S04", "labelled-product", *label(7, 3), "--kills", "0.9", "--done",
               "--at", at(0))  # fmt: skip
    assert told["plant"]["chance_clean"]["value"] > usual["plant"]["chance_clean"]["value"]


@pytest.mark.usefixtures("stair")
def test_a_whole_shelf_is_treated_in_one_act_or_not_at_all(ask: Ask, refused: Ask) -> None:
    for code in ("S04", "S05"):
        ask("add", code, "--name", code, "--place", "stair foot", "--at", at(0))
    ask("add", "G02", "--name", "Oar", "--place", "porch shelf", "--at", at(0))
    found = ask("treat", "contact-spray", "--place", "stair foot", "--at", at(1))
    assert [t["code"] for t in found["treated"]] == ["S03", "S04", "S05"]
    assert found["plant"]["code"] == "S03"
    assert len({t["course_id"] for t in found["treated"]}) == 3
    assert ask("plant", "G02", "--on", on(1))["courses"] == []
    done = ask("treat", "contact-spray", "--bench", "Lower", "--done", "--at", at(1))
    assert [t["code"] for t in done["treated"]] == ["S03", "S04", "S05"]
    ask("treat", "S03", "S04", "G02", "lifting", "--at", at(1))
    # one of them has it: nothing is written for the others
    assert refused(3, "treat", "S05", "G02", "lifting", "--at", at(2))["code"] == "course-running"
    assert [c["course"] for c in ask("plant", "S05", "--on", on(2))["courses"]] == ["contact-spray"]
    assert refused(2, "treat", "lifting", "--bench", "upper")["code"] == "nobody-on-shelf"
    assert refused(2, "treat", "lifting")["code"] == "no-plant-named"


@pytest.mark.usefixtures("stair")
def test_a_cold_place_gets_more_sprays(ask: Ask) -> None:
    ask("place", "larder", "--usual-c", "12", "--on", on(0))
    ask("place", "ice house", "--usual-c", "7", "--on", on(0))
    ask("add", "C01", "--name", "Bollard", "--place", "larder", "--already-here", "--at", at(0))
    ask("add", "C02", "--name", "Cleat", "--place", "ice house", "--already-here", "--at", at(0))
    # 85 degree-days of an egg at 4 a day are 22 days, then two more sprays
    cold = ask("treat", "C01", "contact-spray", "--at", at(0))
    assert due(cold["steps"]) == [on(7 * n) for n in range(6)]
    frozen = ask("treat", "C02", "contact-spray", "--at", at(0))
    assert {w["code"] for w in frozen["warnings"]} == {"cold"}


@pytest.mark.usefixtures("stair")
def test_a_plant_that_dislikes_wet_leaves_is_never_told_a_spray_without_that_word(
    ask: Ask, call: Ask
) -> None:
    ask("add", "S03", "--change", "--dislikes", "wet-leaves", "--on", on(0))
    begun = ask("treat", "S03", "contact-spray", "--at", at(0))
    assert begun["warnings"][0]["code"] == "wet-leaves"
    assert begun["cautions"][0]["code"] == "wet-leaves"
    ask("withdraw", begun["course_id"])
    assert "dislikes wet leaves" in call("treat", "S03", "contact-spray", "--on", on(0)).out


@pytest.mark.usefixtures("stair")
def test_out_of_medium_is_for_forms_marked_to_stand_it(ask: Ask, refused: Ask) -> None:
    assert refused(2, "treat", "S03", "out-of-medium", "--on", on(0))["code"] == (
        "course-not-for-form"
    )
    ask("add", "O01", "--name", "Oriel", "--place", "stair foot", "--form", "monopodial-orchid",
        "--at", at(0))  # fmt: skip
    steps = ask("treat", "O01", "out-of-medium", "--at", at(0))["steps"]
    assert [s["kind"] for s in steps] == ["take-out", *["wet-and-look"] * 14, "pot-up"]
    assert due(steps) == [on(day) for day in range(16)]


@pytest.mark.usefixtures("stair")
@pytest.mark.parametrize(
    ("argv", "code"),
    [
        (("S03", "contact-sprai"), "unknown-course"),
        (("S33", "contact-spray"), "unknown-plant"),
        (("S03", "labelled-product"), "label-needed"),
        (("S03", "labelled-product", "--product", "Rinse", "--interval-days", "7"), "label-needed"),
        (("S03", "labelled-product", *label(0, 2)), "label-fact"),
        (("S03", "labelled-product", *label(7, 2), "--kills", "1.2"), "label-fact"),
        (("S03", "contact-spray", "--product", "Rinse"), "course-without-label"),
        (("S03", "contact-spray", "--step", "step-1"), "step-not-done"),
        (("S03", "contact-spray", "--done", "--stop"), "stop-and-done"),
    ],
)
def test_bad_input_is_one_sentence_and_nothing_is_written(
    ask: Ask, refused: Ask, argv: tuple[str, ...], code: str
) -> None:
    assert refused(2, "treat", *argv, "--on", on(1))["code"] == code
    assert ask("plant", "S03", "--on", on(1))["courses"] == []


@pytest.mark.usefixtures("stair")
def test_the_same_key_begins_a_course_once(ask: Ask) -> None:
    call = ("treat", "S03", "lifting", "--key", "spring", "--at", at(1))
    first, again = ask(*call), ask(*call)
    assert (first["already_known"], again["already_known"]) == (False, True)
    assert again["course_id"] == first["course_id"]
    assert len(ask("plant", "S03", "--on", on(1))["courses"]) == 1


@pytest.mark.usefixtures("stair")
def test_a_course_is_copied_edited_and_begun(ask: Ask, refused: Ask, logbook_file: Path) -> None:
    copied = Path(ask("courses", "--copy", "contact-spray")["copied_to"])
    assert copied == logbook_file.parent / "courses" / "contact-spray.toml"
    assert refused(2, "courses", "--copy", "contact-spray")["code"] == "course-copied"
    own = copied.with_name("rinsing.toml")
    copied.rename(own)
    text = own.read_text(encoding="utf-8").replace("value = 7,", "value = 5,")
    own.write_text(f'name = "rinsing with rain water"\n{text}', encoding="utf-8")
    found = {c["code"]: c for c in ask("courses")["courses"]}
    assert found["rinsing"]["name"] == "rinsing with rain water"
    assert (found["rinsing"]["is_own"], found["contact-spray"]["is_own"]) == (True, False)
    assert due(ask("treat", "S03", "rinsing", "--at", at(0))["steps"])[:2] == [on(0), on(5)]
    own.write_text('[[steps]]\nkind = "burn"\n', encoding="utf-8")
    assert refused(2, "courses")["code"] == "course-file"


@pytest.mark.usefixtures("stair")
def test_a_part_goes_on_with_the_course_of_the_whole(ask: Ask) -> None:
    ask("treat", "S03", "contact-spray", "--done", "--at", at(1))
    ask("divide", "S03", "--into", "2", "--code", "S09", "--at", at(3))
    ask("treat", "S03", "contact-spray", "--done", "--at", at(8))
    ask("treat", "S09", "contact-spray", "--done", "--at", at(9))
    whole, part = (ask("plant", code, "--on", on(9))["courses"][0] for code in ("S03", "S09"))
    assert [s["done_on"] for s in whole["steps"]][:2] == [on(1), on(8)]
    assert [s["done_on"] for s in part["steps"]][:2] == [on(1), on(9)]


def options(found: Any) -> dict[str, Any]:
    return {option["code"]: option for option in found["what_next"]}


@pytest.mark.usefixtures("stair")
def test_what_to_do_next_has_reason_alternative_cautions_and_the_day_it_would_bring(
    ask: Ask, call: Ask
) -> None:
    for day in range(3):
        ask("look", "S03", "axils", "--seconds", 60, "--removed", 4, "--at", at(day))
        ask("look", "S03", "--whole-plant", "--seconds", 60, "--at", at(day))
    found = ask("plant", "S03", "--on", on(2))
    codes = [option["code"] for option in found["what_next"]]
    assert codes == ["contact-spray", "lifting", "root-clean-out", "part"]
    first, second = found["what_next"][:2]
    assert first["reason"].startswith("found on 3 of the last 14 days")
    assert first["alternative"] == second["text"]
    assert {"label", "leaf"} <= {caution["code"] for caution in first["cautions"]}
    # as things go is the forecast itself; a treatment never puts the day off beyond its course
    expected = found["plant"]["release"]["expected_on"]
    days = {code: option["expected_on"] for code, option in options(found).items()}
    assert days["lifting"] == expected
    assert days["root-clean-out"] <= expected
    assert days["contact-spray"] <= expected
    assert days["part"] is None
    assert "What to do next" in call("plant", "S03", "--on", on(2)).out
    # what is under way is not proposed again
    ask("treat", "S03", "contact-spray", "--done", "--at", at(2))
    assert "contact-spray" not in options(ask("plant", "S03", "--on", on(2)))


@pytest.mark.usefixtures("stair")
def test_a_course_begun_brings_the_day_that_was_told_of_it(ask: Ask, logbook_file: Path) -> None:
    with Logbook(logbook_file) as logbook:
        # what is learned of the eye from the finds of a day would move the day as well
        logbook.put_setting("own-eye", "off")
    ask("look", "S03", "roots", "--unpotted", "--seconds", 120, "--removed", 3, "--at", at(0))
    ask("look", "S03", "--whole-plant", "--seconds", 60, "--at", at(0))
    found = ask("plant", "S03", "--on", on(0))
    assert found["what_next"][0]["code"] == "root-clean-out"
    told = found["what_next"][0]["expected_on"]
    assert told < found["plant"]["release"]["expected_on"]
    # told of a course begun tomorrow, with looks every day
    begun = ask("treat", "S03", "root-clean-out", "--done", "--at", at(1))
    looked = ask("look", "S03", "--whole-plant", "--seconds", 60, "--at", at(1, "09:00"))["plant"]
    assert begun["steps"][0]["done_on"] == on(1)
    assert looked["release"]["expected_on"] == told


@pytest.mark.usefixtures("stair")
def test_after_a_root_clean_out_only_later_finds_ask_for_another(ask: Ask) -> None:
    def first(day: int) -> str:
        return str(ask("plant", "S03", "--on", on(day))["what_next"][0]["code"])

    below = ("look", "S03", "medium", "--seconds", 60, "--removed", 3, "--at")
    ask(*below, at(0))
    ask("look", "S03", "--whole-plant", "--seconds", 60, "--at", at(0))
    assert first(0) == "root-clean-out"
    ask("treat", "S03", "root-clean-out", "--done", "--at", at(1))
    ask("look", "S03", "axils", "--seconds", 60, "--removed", 1, "--at", at(2))
    assert first(2) == "lifting"
    ask(*below, at(3))
    assert first(3) == "root-clean-out"


@pytest.mark.usefixtures("stair")
@pytest.mark.parametrize("zone", ["medium", "axils"])
@pytest.mark.parametrize("removed", [3, 60])
def test_what_comes_next_is_the_same_in_a_summary_as_on_the_page(
    ask: Ask, logbook_file: Path, zone: str, removed: int
) -> None:
    ask("look", "S03", zone, "--seconds", 60, "--removed", removed, "--at", at(0))
    page = ask("plant", "S03", "--on", on(0))["what_next"][0]["code"]
    with Logbook(logbook_file) as logbook:
        plant = logbook.collection().plant("S03")
        assert plant is not None
        assert next_told(record_of(logbook, plant, CAME)) == page
    assert (removed, page) in {(3, "lifting"), (3, "root-clean-out"), (60, "part")}


@pytest.mark.usefixtures("stair")
def test_a_plant_that_dislikes_wet_leaves_is_told_of_no_spray_without_the_word(
    ask: Ask, call: Ask
) -> None:
    ask("add", "S03", "--change", "--dislikes", "wet-leaves", "--on", on(0))
    for day in range(3):
        ask("look", "S03", "axils", "--seconds", 60, "--removed", 4, "--at", at(day))
    found = ask("plant", "S03", "--on", on(2))
    assert found["what_next"][0]["code"] == "lifting"
    spray = options(found)["contact-spray"]
    assert "dislikes wet leaves" in spray["text"]
    assert spray["cautions"][0]["code"] == "wet-leaves"
    for line in call("plant", "S03", "--on", on(2)).out.splitlines():
        assert "spray" not in line or "wet leaves" in line


@pytest.mark.usefixtures("stair")
def test_nothing_is_proposed_for_a_plant_without_finds_or_with_old_ones(ask: Ask) -> None:
    assert ask("plant", "S03", "--on", on(0))["what_next"] == []
    ask("look", "S03", "axils", "--seconds", 60, "--removed", 1, "--at", at(0))
    assert ask("plant", "S03", "--on", on(30))["what_next"]
    assert ask("plant", "S03", "--on", on(31))["what_next"] == []
