"""season: what the finds say, used and undone by a command."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.cli.conftest import Call

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")


@pytest.fixture
def busy(ask: Ask) -> None:
    """Fifteen plants of a delivery, each with insects at two zones when it came."""
    for number in range(15):
        code = f"P{number:02}"
        ask("add", code, "--name", "Capstan", "--place", "stair foot", "--on", "2026-04-10",
            "--source", "the ferry")  # fmt: skip
        for zone in ("axils", "undersides"):
            ask("look", code, zone, "--seconds", 30, "--removed", 1, "--on", "2026-04-11")


def test_before_there_are_finds_enough_nothing_is_offered(ask: Ask, refused: Ask) -> None:
    told = ask("season")
    assert (told["offered"], told["finds"], told["needed"]) == (False, 0, 30)
    assert told["learned"] == told["sources"] == told["value_ids"] == []
    assert refused(2, "season", "--use", "zones")["code"] == "learned-too-few"
    assert refused(2, "season", "--undo", "zones")["code"] == "learned-none-taken"
    error = refused(2, "season", "--use", "zones", "--undo", "zones")
    assert error["code"] == "use-and-undo"


def test_it_is_used_and_undone_to_the_digit(busy: None, ask: Ask, call: Call) -> None:
    before = ask("plant", "P03")["plant"]
    told = ask("season")
    assert told["offered"]
    assert [of["infested"] for of in told["sources"]] == [15]
    used = ask("season", "--use", "zones", "--key", "k1")
    assert len(used["value_ids"]) == sum(of["group"] == "zones" for of in used["learned"]) > 1
    assert all(of["in_use"] == (of["group"] == "zones") for of in used["learned"])
    assert ask("season", "--use", "zones", "--key", "k1")["already_known"]
    changed = ask("plant", "P03")["plant"]
    assert changed["chance_clean"] != before["chance_clean"]
    rows = {row["code"]: row for row in ask("parameters")["parameters"]}
    assert rows["forms.weight.axils"]["why"] == "learned from 30 finds"
    lines = call("season").out
    assert "axils" in lines
    assert "in use" in lines
    assert len(ask("season", "--undo", "zones")["value_ids"]) == len(used["value_ids"])
    assert ask("plant", "P03")["plant"] == before
