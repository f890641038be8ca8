"""parameters: every value the sums rest on, changed and put back."""

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")

AXILS = "forms.weight.axils"
SURVIVAL = "pests.mealybug.stages.egg.daily_survival"
APART = "infestation.arrivals.apart"
DAYS = "quarantine.settings.default.days_apart"


def row(found: Any, code: str) -> Any:
    return next(value for value in found["parameters"] if value["code"] == code)


def change(ask: Ask, code: str, value: float, *more: str) -> Any:
    return ask("parameters", "--set", code, value, "--why", "I counted", *more)


def test_every_value_says_what_is_known_of_it(ask: Ask) -> None:
    found = ask("parameters")
    codes = [value["code"] for value in found["parameters"]]
    assert len(codes) == len(set(codes)) > 170
    assert row(found, DAYS) == {
        "code": DAYS,
        "value": 30,
        "default": 30,
        "low": 14,
        "high": 42,
        "unit": "day",
        "tag": "read",
        "source": row(found, DAYS)["source"],
        "changed_on": None,
        "why": None,
        "name": "default: days in quarantine",
        "group": "ending quarantine",
        "fixed": None,
        "gave_way": False,
        "who": None,
        "id": None,
    }
    assert {value["tag"] for value in found["parameters"]} <= {
        "read", "derived", "assumption", "memory"
    }  # fmt: skip
    fixed = row(found, "pests.mealybug.stages.L1.sub_stages")["fixed"]
    assert fixed["code"] == "structure"
    assert fixed["text"].startswith("Fixed")


def test_a_change_holds_from_its_day_on_and_all_figures_follow(ask: Ask) -> None:
    ask("look", "S03", "--whole-plant", "--seconds", 180, "--on", "2026-05-01")
    before = ask("plant", "S03")["plant"]
    found = change(ask, APART, 0.005, "--on", "2026-05-04", "--who", "Ada")
    assert found["value_id"].startswith("value-20260504-0-")
    changed = row(found, APART)
    assert (changed["value"], changed["default"]) == (0.005, 0.0002)
    assert (changed["changed_on"], changed["why"], changed["who"]) == (
        "2026-05-04", "I counted", "Ada"
    )  # fmt: skip
    now = ask("plant", "S03")["plant"]
    assert now["chance_clean"]["value"] < before["chance_clean"]["value"]
    assert now["changed_values"] == [{"code": APART, "value": 0.005, "default": 0.0002}]
    assert ask("today")["changed_values"] == now["changed_values"]
    # what is said of the day before is as it was
    assert row(ask("parameters", "--on", "2026-05-03"), APART)["value"] == 0.0002
    assert ask("plant", "S03", "--on", "2026-05-03")["plant"]["changed_values"] == []


def test_a_criterion_that_was_changed_is_the_one_that_is_judged_by(ask: Ask) -> None:
    change(ask, DAYS, 40)
    plant = ask("plant", "S03")["plant"]
    criterion = plant["release"]["criteria"][0]
    assert (criterion["code"], criterion["need"]) == ("days_apart", 40)
    assert [value["code"] for value in plant["changed_values"]] == [DAYS]
    # the rules that were not chosen say nothing of it
    change(ask, "quarantine.settings.strict.clean_looks", 30)
    assert [v["code"] for v in ask("plant", "S03")["plant"]["changed_values"]] == [DAYS]


def test_back_to_the_usual_value_and_withdrawn_come_to_the_same(ask: Ask) -> None:
    before = ask("plant", "S03")["plant"]
    first = change(ask, APART, 0.005)
    ask("parameters", "--reset", APART)
    assert row(ask("parameters"), APART)["changed_on"] is None
    assert ask("plant", "S03")["plant"] == before
    second = change(ask, APART, 0.004)
    gone = ask("withdraw", second["value_id"])
    assert (gone["withdrawn"], gone["plant"]) == ([second["value_id"]], None)
    assert ask("plant", "S03")["plant"] == before
    ask("withdraw", first["value_id"])


def test_a_withdrawn_change_lets_the_one_before_it_hold_again(ask: Ask) -> None:
    change(ask, APART, 0.005, "--on", "2026-05-01")
    second = change(ask, APART, 0.001)
    assert row(ask("parameters"), APART)["value"] == 0.001
    assert row(ask("parameters", "--on", "2026-05-02"), APART)["value"] == 0.005
    ask("withdraw", second["value_id"])
    assert row(ask("parameters"), APART)["value"] == 0.005


def test_the_same_key_changes_it_once(ask: Ask) -> None:
    first = change(ask, APART, 0.005, "--key", "k")
    again = change(ask, APART, 0.005, "--key", "k")
    assert (first["already_known"], again["already_known"]) == (False, True)
    assert again["value_id"] == first["value_id"]


def test_shares_of_one_whole_give_way_in_proportion(ask: Ask) -> None:
    found = change(ask, AXILS, 0.48)
    weights = {v["code"]: v for v in found["parameters"] if v["code"].startswith("forms.weight.")}
    assert sum(weight["value"] for weight in weights.values()) == pytest.approx(1)
    for code, weight in weights.items():
        if code != AXILS:
            assert weight["value"] == pytest.approx(weight["default"] * 0.52 / 0.65)
            assert (weight["gave_way"], weight["changed_on"]) == (True, None)
    zones = {zone["zone"]: zone["weight"] for zone in ask("plant", "S03")["zones"]}
    assert zones["axils"] == pytest.approx(0.48)
    assert zones["roots"] == pytest.approx(0.05 * 0.52 / 0.65)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--set", "forms.weight.axil", "0.4", "--why", "x"), "unknown-value"),
        (("--set", AXILS, "0.9", "--why", "x"), "value-out-of-range"),
        (("--set", AXILS, "0.69", "--why", "x"), "value-crowds-out"),
        (("--set", AXILS, "0.35", "--why", "x"), "value-the-same"),
        (("--set", AXILS, "0.4"), "value-needs-why"),
        (("--set", AXILS, "0.4", "--why", "  "), "value-needs-why"),
        (("--set", AXILS, "much", "--why", "x"), "value-without-number"),
        (("--set", AXILS, "nan", "--why", "x"), "value-without-number"),
        (("--set", DAYS, "30.5", "--why", "x"), "value-not-whole"),
        (("--set", "forms.zones.fern", "1", "--why", "x"), "value-fixed"),
        (("--set", "pests.mealybug.stages.L1.sub_stages", "4", "--why", "x"), "value-fixed"),
        (("--reset", AXILS), "value-is-usual"),
        (("--reset", "axils"), "unknown-value"),
        (("--why", "x"), "why-without-value"),
        (("--set", AXILS, "0.4", "--reset", DAYS, "--why", "x"), "set-and-reset"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_written(
    ask: Ask, refused: Ask, words: tuple[str, ...], code: str
) -> None:
    assert refused(2, "parameters", *words)["code"] == code
    assert all(value["changed_on"] is None for value in ask("parameters")["parameters"])


def test_a_person_reads_what_is_changed_and_where_it_matters(call: Ask) -> None:
    assert call("parameters").out.startswith("No value is changed.\n")
    said = call("parameters", "--set", SURVIVAL, "0.97", "--why", "a dry room").out
    assert SURVIVAL in said
    assert "a dry room" in said
    sentence = "with a changed value: egg: daily survival 0.97"
    assert sentence in call("plant", "S03").out
    assert sentence in call("today").out
