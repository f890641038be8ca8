"""arrive: how many of a delivery to open, whether to take it, and its plants in quarantine."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rounds.core.body import make_body
from rounds.core.estimates.delivery import found_in_full_look, look_sensitivity
from rounds.service.logbook.parameters import load_parameters
from tests.cli.conftest import Call

Ask = Callable[..., Any]

DAY = "2026-05-04"
FERRY = ("arrive", "--units", 20, "--source", "the ferry")


@pytest.fixture(autouse=True)
def places(ask: Ask) -> None:
    ask("place", "porch shelf", "--usual-c", 20, "--on", "2026-01-01")
    ask("place", "stair foot", "--apart", "--usual-c", 20, "--on", "2026-01-01")


def codes(told: Any) -> list[str]:
    return [reason["code"] for reason in told["verdict"]["reasons"]]


def test_a_delivery_of_20_with_6_opened_and_one_found_on(ask: Ask) -> None:
    """One visit to the quarantine place: advice, a find, the mates learn of it, a course wanted."""
    asked = ask(*FERRY)
    assert (asked["arrival_id"], asked["plants"]) == (None, [])
    assert 6 < asked["open_units"] < 20
    told = ask(*FERRY, "--opened", 6, "--seconds", 180, "--found", "3 axils 2 adult",
               "--name", "Capstan")  # fmt: skip
    assert told["verdict"]["code"] == "quarantine-and-course"
    assert codes(told) == ["found", "breeding", "too-few-opened", "unopened", "room"]
    assert (told["opened"], told["infested"], told["found"]) == (6, 1, 2)
    assert told["plants"] == [f"P{number:02}" for number in range(1, 21)]
    found, clean, unopened = (ask("plant", code) for code in ("P03", "P04", "P20"))
    assert [plant["plant"]["standing"] for plant in (found, clean, unopened)] == ["quarantine"] * 3
    assert found["plant"]["last_find_on"] == DAY
    assert {look["zone"] for look in found["looks"]} == {
        "axils", "undersides", "new-growth", "sheaths", "stem-base", "pot-rim", "medium"
    }  # fmt: skip
    assert sum(look["seconds"] for look in clean["looks"]) == pytest.approx(180, abs=0.01)
    assert clean["plant"]["last_complete_look_on"] == DAY
    assert unopened["looks"] == []
    # what was found on one lowers the chance of all that came with it
    alone = ask("arrive", "--units", 1, "--source", "the fair", "--take")["plants"][0]
    supposed = ask("plant", alone)["plant"]["chance_clean"]["value"]
    assert unopened["plant"]["chance_clean"]["value"] < supposed
    assert unopened["plant"]["chance_clean"]["value"] < clean["plant"]["chance_clean"]["value"]
    reasons = next(p for p in ask("today", "--minutes", 120)["plan"] if p["code"] == "P20")
    assert "came-with-infested" in [reason["code"] for reason in reasons["reasons"]]


def test_what_opening_tells_is_the_exact_sample_with_an_imperfect_look(ask: Ask) -> None:
    """Hypergeometric, as `calc sample-size` has it (ISPM 31), by the sensitivity of a full look."""
    for units in (1, 4, 8, 20, 60, 400):
        told = ask("arrive", "--units", units, "--source", "the ferry")
        sample = told["sample"]
        asked = ask("calc", "sample-size", "--units", units, "--prevalence", sample["share"],
                    "--confidence", sample["confidence"],
                    "--sensitivity", sample["sensitivity"])["result"]  # fmt: skip
        assert sample["infested_units"] == asked["infested_units"]
        assert told["open_units"] == (asked["samples"] or units)
        assert sample["enough"] == (asked["samples"] is not None)
        assert sample["told"] == 0


def test_as_many_are_to_be_opened_as_the_page_on_the_figures_says(ask: Ask) -> None:
    page = (Path(__file__).parents[2] / "docs" / "method.md").read_text(encoding="utf-8")
    assert "of 20, 11; of 100, 12; of fewer than 10, all" in page
    wanted = {n: ask("arrive", "--units", n, "--source", "x")["open_units"] for n in (9, 20, 100)}
    assert wanted == {9: 9, 20: 11, 100: 12}
    assert "shows it with 51 in 100" in page
    assert int(100 * ask(*FERRY)["sample"]["sensitivity"]) == 51


def test_the_sensitivity_is_that_of_the_inference(ask: Ask) -> None:
    """A clean full look at one of a named source tells its mate just so much."""
    table = load_parameters()
    supposed = table.infestation.priors["arrival"]
    body = make_body("leafy-plant", "medium", False, table)
    stages = table.pests["mealybug"].stages
    sensitivity = look_sensitivity(found_in_full_look(body, stages), supposed)
    assert ask(*FERRY)["sample"]["sensitivity"] == pytest.approx(sensitivity, abs=1e-12)
    ask("arrive", "--units", 2, "--source", "the ferry", "--opened", 1, "--seconds", 180)
    # of plants that came infested, 38 in 100 hold nothing at all
    holds = 1 - (1 + supposed.mean / supposed.shape) ** -supposed.shape
    clean_if_infested = 1 - holds * sensitivity
    # Beta(1, 3): the mean of q after a mate with that log
    weight = 3 + clean_if_infested * 1
    told = (3 * 1 / 5 + clean_if_infested * 2 / 5) / weight
    mate = ask("plant", "P02")["plant"]["chance_clean"]["value"]
    assert mate == pytest.approx(1 - told * holds, abs=2e-3)


def test_what_is_left_leaves_no_trace(ask: Ask, call: Call, logbook_file: Path) -> None:
    bad = (*FERRY, "--opened", 6, "--seconds", 180, "--found", "3 axils 12 adult",
           "--found", "4 undersides 1 young", "--found", "5 roots 1")  # fmt: skip
    before = ask("rank"), ask("agenda")
    told = ask(*bad)
    assert told["verdict"]["code"] == "leave"
    assert codes(told)[:6] == ["found", "many", "widespread", "breeding", "in-pot", "not-worth-it"]
    assert (told["plants"], told["arrival_id"], told["new_plants"]) == ([], None, [])
    assert (ask("rank"), ask("agenda")) == before
    assert "Nothing was entered." in call(*bad).out
    kept = ask(*bad, "--key", "k")
    assert (kept["plants"], ask(*bad, "--key", "k")["already_known"]) == ([], True)
    # a worthier one is worth the trouble, and anything can be taken all the same
    assert ask(*bad, "--value", 3, "--leave")["verdict"]["code"] == "quarantine-and-course"
    assert len(ask(*bad, "--take")["plants"]) == 20


def test_the_verdict_follows_counts_stages_zones_worth_and_room(ask: Ask, refused: Ask) -> None:
    def judged(*said: str | int) -> Any:
        return ask("arrive", "--units", 6, "--source", "the swap", "--opened", 6, "--seconds", 180,
                   *said, "--leave")  # fmt: skip

    assert judged()["verdict"]["code"] == "quarantine"
    assert "nothing-found" in codes(judged())
    few = judged("--found", "1 axils 2 young")
    assert (few["verdict"]["code"], few["found"]) == ("quarantine", 2)
    assert judged("--found", "1 axils 4 young")["verdict"]["code"] == "quarantine-and-course"
    assert judged("--found", "1 axils 1 egg-mass")["verdict"]["code"] == "quarantine-and-course"
    assert judged("--found", "1 medium 1 eggs")["verdict"]["code"] == "leave"
    assert judged("--found", "1 medium 1 eggs", "--value", 2)["verdict"]["code"] != "leave"
    unsure = judged("--found", "2 axils 1 doubtful")
    assert (unsure["verdict"]["code"], unsure["found"]) == ("quarantine", 0)
    assert "unsure" in codes(unsure)
    # without room apart, insects are reason enough
    ask("place", "stair foot", "--not-apart", "--change", "--on", DAY)
    assert judged("--found", "1 axils 1 young")["verdict"]["code"] == "leave"
    assert codes(judged())[-1] == "no-room"
    assert refused(2, *FERRY, "--opened", 1)["code"] == "delivery-needs-place"
    assert codes(judged("--place", "porch shelf"))[-1] == "room-not-apart"


def test_said_again_it_goes_on_with_the_plants_there_are(ask: Ask) -> None:
    first = ask(*FERRY, "--opened", 6)
    assert len(first["plants"]) == len(first["new_plants"]) == 20
    assert "not-entered" in codes(first)
    ask("look", first["plants"][1], "axils", "--seconds", 40, "--removed", 1, "--stage", "young")
    again = ask("arrive", "--units", 20, "--source", "The Ferry", "--opened", 6)
    assert (again["plants"], again["new_plants"]) == (first["plants"], [])
    assert again["arrival_id"] == first["arrival_id"]
    assert (again["infested"], again["verdict"]["code"]) == (1, "quarantine")
    # another kind of plant from there, the same day, is a delivery of its own with the same mates
    more = ask("arrive", "--units", 2, "--source", "THE FERRY", "--name", "Bobstay", "--take",
               "--code", "B1", "--code", "B2")  # fmt: skip
    assert more["new_plants"] == ["B1", "B2"]
    plan = {p["code"]: p for p in ask("today", "--minutes", 200)["plan"]}
    assert "came-with-infested" in [reason["code"] for reason in plan["B1"]["reasons"]]


def test_an_arrival_is_not_taken_back(ask: Ask, refused: Ask) -> None:
    told = ask(*FERRY, "--opened", 0)
    assert refused(3, "withdraw", told["arrival_id"])["code"] == "apart-arrived"


@pytest.mark.parametrize(
    ("said", "code", "argument"),
    [
        (("--units", 0, "--source", "x"), "units-out-of-range", "--units"),
        (("--units", 501, "--source", "x"), "units-out-of-range", "--units"),
        (("--units", 3, "--source", " "), "source-empty", "--source"),
        (("--units", 3, "--source", "x", "--opened", 4), "opened-out-of-range", "--opened"),
        (("--units", 3, "--source", "x", "--seconds", 9), "opened-not-said", "--opened"),
        (("--units", 3, "--source", "x", "--opened", 1, "--seconds", -1), "bad-seconds",
         "--seconds"),
        (("--units", 3, "--source", "x", "--opened", 1, "--found", "axils 2"), "no-find",
         "--found"),
        (("--units", 3, "--source", "x", "--opened", 1, "--found", "2 axils 2"),
         "find-not-opened", "--found"),
        (("--units", 3, "--source", "x", "--opened", 1, "--found", "1 axels 2"), "unknown-zone",
         "--found"),
        (("--units", 3, "--source", "x", "--opened", 1, "--found", "1 axils 2 grown"),
         "not-one-of", "--found"),
        (("--units", 2, "--source", "x", "--opened", 1, "--code", "A1"), "codes-of-delivery",
         "--code"),
        (("--units", 1, "--source", "x", "--opened", 1, "--size", "huge"), "not-one-of", "--size"),
        (("--units", 1, "--source", "x", "--opened", 1, "--place", "attic"), "unknown-place",
         "--place"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_nothing_is_written(
    ask: Ask, refused: Ask, said: tuple[Any, ...], code: str, argument: str
) -> None:
    error = refused(2, "arrive", *said)
    assert (error["code"], error["places"][0]["argument"]) == (code, argument)
    assert ask("rank")["plants"] == []


def test_deliveries_are_read_from_a_file_and_known_the_second_time(
    ask: Ask, refused: Ask, tmp_path: Path
) -> None:
    file = tmp_path / "came.csv"
    file.write_text(
        "source,arrived,units,opened,seconds,found,name,size,code\n"
        "the ferry,2026-05-02,3,2,60,1 axils 2 adult; 2 new growth 1 young,Capstan,small,\n"
        "the fair,2026-05-03,1,,,,,,F9\n",
        encoding="utf-8",
    )
    read = ask("import", file)
    assert (read["kind"], read["rows"], read["written"]) == ("arrivals", 2, 2)
    assert ask("import", file)["already_known"] == 2
    plants = {plant["code"]: plant for plant in ask("rank")["plants"]}
    assert sorted(plants) == ["F9", "P01", "P02", "P03"]
    assert [plants[code]["last_find_on"] for code in sorted(plants)] == [
        None, "2026-05-02", "2026-05-02", None
    ]  # fmt: skip
    assert date.fromisoformat(plants["P03"]["standing_since"]) == date(2026, 5, 2)
    file.write_text("source,arrived,units,name\nthe ferry,2026-05-02,5,Capstan\n", encoding="utf-8")
    error = refused(2, "import", file)
    assert (error["code"], error["places"][0]["column"]) == ("delivery-differs", "units")
    file.write_text("source,arrived,units,opened,found\nx,2026-05-02,2,1,1 axils\n", "utf-8")
    assert refused(2, "import", file)["places"][0]["column"] == "found"


def test_plants_looked_at_too_briefly_do_not_make_it_surer(ask: Ask) -> None:
    """Of a medium plant a full look takes 90 seconds at the least: 20 tell next to nothing."""
    shown = ask(*FERRY, "--opened", 6, "--seconds", 20, "--found", "3 axils 1")
    sure = ask("arrive", "--units", 20, "--source", "the fair", "--opened", 6, "--seconds", 180)
    assert shown["opened"] == sure["opened"] == 6
    assert 0 < shown["sample"]["told"] < sure["sample"]["told"] / 3
    (said,) = (r["text"] for r in shown["verdict"]["reasons"] if r["code"] == "too-few-opened")
    assert said.startswith("1 checked, 5 more too briefly, 11 advised: if 5 of 20 were infested")
    (said,) = (r["text"] for r in sure["verdict"]["reasons"] if r["code"] == "too-few-opened")
    assert said.startswith("6 checked, 11 advised")
