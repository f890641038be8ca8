"""plant: signs, repotting, division and times apart, each with the name it is taken back by."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.core.log.entries import Sign
from rounds.service.collection.apart import put_apart
from rounds.service.collection.repot import repot
from rounds.service.entries.corrections import replace_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import read_entry_name
from rounds.service.logbook.moment import local_noon, now
from rounds.store.signs import append_sign
from tests.cli.conftest import NOW

Ask = Callable[..., Any]

DAY = date(2026, 5, 4)

pytestmark = pytest.mark.usefixtures("porch")


def sign_at(path: Path, look: str, kind: str) -> None:
    """A sign seen at a look, as a round writes it."""
    name = read_entry_name(look)
    with Logbook(path) as logbook, logbook.file.writing():
        sign = Sign(logbook.file.next_id(), name.day, name.owner_id, name.entry_id, 0, kind)
        append_sign(logbook.file, sign)


def test_signs_are_listed_and_taken_back(ask: Ask, call: Ask, logbook_file: Path) -> None:
    kept = ask("look", "G02", "axils", "--seconds", 40, "--who", "Ada")
    other = ask("look", "G02", "medium", "--seconds", 9)
    sign_at(logbook_file, kept["look_ids"][0], "ants")
    sign_at(logbook_file, other["look_ids"][0], "soot")
    ants, soot = ask("plant", "G02")["signs"]
    assert (ants["day"], ants["zone"], ants["sign"], ants["who"], ants["withdrawn"]) == (
        "2026-05-04", "axils", "ants", "Ada", False
    )  # fmt: skip
    assert (soot["zone"], soot["who"], soot["withdrawn"]) == ("medium", None, False)
    assert ask("plant", "G02", "--on", "2026-05-03")["signs"] == []
    assert ask("withdraw", ants["id"])["withdrawn"] == [ants["id"]]
    ask("withdraw", other["look_ids"][0])
    assert [sign["withdrawn"] for sign in ask("plant", "G02")["signs"]] == [True, True]
    said = call("plant", "G02").out
    assert "Signs without an insect" in said
    assert ants["id"] in said
    assert "Signs without" not in call("plant", "S03").out


def test_a_sign_goes_on_to_the_look_put_in_the_place_of_its_own(
    ask: Ask, logbook_file: Path
) -> None:
    kept = ask("look", "G02", "axils", "--seconds", 40)
    sign_at(logbook_file, kept["look_ids"][0], "ants")
    with Logbook(logbook_file) as logbook:
        replace_look(logbook, local_noon(DAY), kept["look_ids"][0], zone="sheaths", seconds=40)
    (sign,) = ask("plant", "G02")["signs"]
    assert (sign["zone"], sign["withdrawn"]) == ("sheaths", False)


def test_repotted_and_divided_are_told_of_both_plants(
    ask: Ask, call: Ask, logbook_file: Path
) -> None:
    with Logbook(logbook_file) as logbook:
        repot(logbook, local_noon(date(2026, 5, 2)), "S03", repotted=True, roots=None)
    written = ask("divide", "S03", "--into", 3, "--code", "S07", "--code", "S08", "--on",
                  "2026-05-03")  # fmt: skip
    page, part = ask("plant", "S03"), ask("plant", "S08")
    (repotted,) = page["repotted"]
    assert repotted["on"] == "2026-05-02"
    assert page["divided"] == [
        {"on": "2026-05-03", "into": 3, "parts": ["S07", "S08"], "id": written["divided_id"]}
    ]
    assert page["divided_from"] is None
    assert (part["repotted"], part["divided"]) == ([], [])
    assert part["divided_from"] == {"code": "S03", "on": "2026-05-03", "into": 3}
    assert ask("plant", "S03", "--on", "2026-05-02")["divided"] == []
    said = call("plant", "S03").out
    assert "divided into 3, new: S07, S08" in said
    assert "divided from S03, into 3" in call("plant", "S08").out
    ask("withdraw", repotted["id"])
    ask("withdraw", written["divided_id"])
    page = ask("plant", "S03")
    assert (page["repotted"], page["divided"]) == ([], [])


def test_put_apart_is_taken_back_by_the_name_that_is_printed(
    ask: Ask, call: Ask, logbook_file: Path
) -> None:
    with Logbook(logbook_file) as logbook:
        put_apart(logbook, now(SetClock(NOW)), "G02")
    page = ask("plant", "G02")
    (period,) = page["periods"]
    assert (period["began_on"], period["ended_id"]) == ("2026-05-04", None)
    assert page["plant"]["standing"] == "quarantine"
    assert period["id"] in call("plant", "G02").out
    gone = ask("withdraw", period["id"])
    assert gone["withdrawn"] == [period["id"]]
    assert gone["plant"]["standing"] == "collection"
    assert ask("plant", "G02")["periods"] == []


def test_an_ended_quarantine_and_a_plant_gone_are_taken_back_too(ask: Ask, call: Ask) -> None:
    ask("release", "S03", "--early", "a slip")
    (period,) = ask("plant", "S03")["periods"]
    assert period["ended_id"] in call("plant", "S03").out
    # on the day before it was still apart
    (before,) = ask("plant", "S03", "--on", "2026-05-03")["periods"]
    assert (before["id"], before["ended_on"], before["ended_id"]) == (period["id"], None, None)
    assert ask("withdraw", period["ended_id"])["plant"]["standing"] == "quarantine"
    assert ask("plant", "S03")["gone"] is None
    ask("gone", "S03", "died")
    gone = ask("plant", "S03")["gone"]
    assert (gone["on"], gone["how"]) == ("2026-05-04", "died")
    assert "gone: died" in call("plant", "S03").out
    assert ask("plant", "S03", "--on", "2026-05-03")["gone"] is None
    assert ask("withdraw", gone["id"])["plant"]["standing"] == "quarantine"


def test_a_time_apart_that_nobody_decided_by_itself_is_not_taken_back(
    ask: Ask, refused: Ask
) -> None:
    ask("move", "G02", "stair foot")
    ask("divide", "S03", "--into", 2, "--code", "S07", "--on", "2026-05-03")
    for code, why in (("S03", "arrived"), ("G02", "moved-apart"), ("S07", "divided")):
        before = ask("plant", code)
        (period,) = before["periods"]
        error = refused(3, "withdraw", period["id"])
        assert error["code"] == f"apart-{why}"
        assert code in error["message"]
        assert ask("plant", code) == before
    # with its move it goes
    ask("withdraw", ask("plant", "G02")["moves"][-1]["id"])
    assert ask("plant", "G02")["periods"] == []
