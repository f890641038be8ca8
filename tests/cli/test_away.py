"""away: days on which nobody looks."""

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")


def test_days_away_are_entered_listed_and_taken_back(ask: Ask) -> None:
    found = ask("away", "2026-05-05", "2026-05-14")
    (entered,) = found["away"]
    assert entered == {
        "id": found["away_id"],
        "first_day": "2026-05-05",
        "last_day": "2026-05-14",
        "days": 10,
    }
    assert found["away_id"].startswith("away-20260505-0-")
    assert [(line["code"], line["stand_in"]) for line in found["before"]] == [("S03", True)]
    assert ask("away") == {**found, "away_id": None}
    back = ask("today", "--on", "2026-05-15")
    assert back["minutes"] == 24
    gone = ask("withdraw", found["away_id"])
    assert (gone["withdrawn"], gone["plant"]) == ([found["away_id"]], None)
    assert ask("away")["away"] == []
    assert ask("today", "--on", "2026-05-15")["minutes"] == 10


def test_the_same_key_enters_them_once(ask: Ask) -> None:
    first = ask("away", "2026-05-05", "2026-05-14", "--key", "spring")
    again = ask("away", "2026-05-05", "2026-05-14", "--key", "spring")
    assert (first["already_known"], again["already_known"]) == (False, True)
    assert again["away_id"] == first["away_id"]
    assert len(again["away"]) == 1


@pytest.mark.parametrize(
    ("days", "code"),
    [
        (("2026-05-05",), "away-one-day"),
        (("2026-05-05", "2026-05-01"), "away-backwards"),
        (("2026-05-05", "2027-05-06"), "away-too-long"),
        (("soon", "2026-05-06"), "not-a-date"),
        (("2026-05-05", "1850-01-01"), "day-out-of-reach"),
    ],
)
def test_days_that_cannot_be_are_refused(
    call: Callable[..., Any], days: tuple[str, ...], code: str
) -> None:
    said = call("away", *days, "--json")
    assert (said.status, said.found["error"]["code"]) == (2, code)
    assert call("away", "--json").found["away"] == []


def test_a_person_reads_the_list(call: Callable[..., Any]) -> None:
    assert call("away").out == "No days away entered.\n"
    said = call("away", "2026-05-05", "2026-05-14").out
    assert said.startswith("5 to 14 May  10 days  away-20260505-0-")
    assert "Before you leave, " in said
    assert "S03  Pintle" in said
    assert "stand-in too" in said
    assert "back after 10 days: 24 min, 14 more" in call("today", "--on", "2026-05-15").out
    assert "back after" not in call("today", "--on", "2026-05-15", "--minutes", 5).out
