"""sheet: a plant the plan looks at in one go is one line; its zones are there for a find."""

from collections.abc import Callable
from html.parser import HTMLParser
from math import ceil
from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.cli.lines import width
from rounds.words.forms import minutes_seconds

Ask = Callable[..., Any]
Call = Callable[..., Any]

BRIEF = ("--on", "2026-05-09", "--minutes", 0.95)
"""Time for one plant zone by zone, and for a glance at another."""


@pytest.fixture(autouse=True)
def _shelf(ask: Ask) -> None:
    """Invented: G05 was not seen for 8 days, G04 for 5."""
    ask("place", "porch shelf", "--on", "2026-01-01")
    for code, seen in (("G05", "2026-05-01"), ("G04", "2026-05-04"), ("G02", "2026-05-08")):
        ask("add", code, "--name", "Thole", "--place", "porch shelf", "--already-here", "--size",
            "small", "--on", "2026-01-01")  # fmt: skip
        ask("look", code, "--whole-plant", "--seconds", 60, "--on", seen)


class Cells(HTMLParser):
    """The text of the rows of a page, section by section, and of its small zones."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.rows: list[list[list[str]]] = []
        self.zones: list[str] = []
        self._into: list[str] | None = None
        self._in_zones = False
        self.feed(source)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "section":
            self.rows.append([])
        elif tag == "tr" and self.rows:
            self.rows[-1].append([])
        elif tag in ("td", "th") and self.rows:
            self.rows[-1][-1].append("")
            self._into = self.rows[-1][-1]
        elif tag == "p":
            self._in_zones = ("class", "zones") in attrs
        elif tag == "span" and self._in_zones:
            self.zones.append("")
            self._into = self.zones

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th", "span"):
            self._into = None

    def handle_data(self, data: str) -> None:
        if self._into is not None:
            self._into[-1] += data


def named(plant: Any) -> list[str]:
    return [f"{number} {zone['name']}" for number, zone in enumerate(plant["zones"], 1)]


def test_the_sheet_says_which_plants_are_looked_at_in_one_go(ask: Ask) -> None:
    plants, plan = ask("sheet", *BRIEF)["plants"], ask("today", *BRIEF)["plan"]
    assert [(p["code"], p["whole_plant"]) for p in plants] == [("G05", False), ("G04", True)]
    assert [p["whole_plant"] for p in plan] == [p["whole_plant"] for p in plants]
    assert [p["planned_seconds"] for p in plants] == pytest.approx(
        [sum(zone["planned_seconds"] for zone in p["zones"]) for p in plan]
    )


def test_on_paper_it_is_one_line_with_its_seconds(ask: Ask, call: Call) -> None:
    by_zone, whole = ask("sheet", *BRIEF)["plants"]
    said = call("sheet", *BRIEF).out
    _, of_zones, of_whole = said.split("-" * 78)
    assert words.say("bench.whole-plant") not in of_zones
    row = next(row for row in of_whole.splitlines() if "whole plant " in row)
    assert f" {minutes_seconds(ceil(whole['planned_seconds']))} " in row
    assert row.rstrip().endswith("______")
    assert row.count("_") == 6
    heads = next(row for row in of_whole.splitlines() if row.startswith("  zone"))
    assert heads.index(words.say("sheet.column.seconds")) == row.index("_")
    assert words.say("sheet.column.killed") not in heads
    # the zones stand below it for what is found, each with its number and a line
    for name in named(whole):
        assert f"{name} " in of_whole
    assert of_whole.count("_" * 18) >= len(whole["zones"])
    assert words.say("zones.axils.advice") not in of_whole
    assert words.say("zones.axils.advice") in of_zones
    assert "every zone looked at" not in of_whole
    assert max(width(row) for row in said.splitlines()) <= 80
    assert len(of_whole.splitlines()) < len(of_zones.splitlines())
    assert by_zone["code"] in of_zones


def test_how_that_is_done_is_said_only_where_there_is_one(call: Call) -> None:
    told = words.say("sheet.how.whole").split(".")[0]
    for asked, is_told in ((BRIEF, True), ((*BRIEF[:3], 20), False)):
        said = " ".join(call("sheet", *asked).out.split())
        assert (told in said) is is_told


def test_on_the_page_to_print_it_is_one_row_and_its_zones_are_small(
    ask: Ask, tmp_path: Path
) -> None:
    file = tmp_path / "sheet.html"
    by_zone, whole = ask("sheet", *BRIEF, "--html", file)["plants"]
    page = Cells(file.read_text(encoding="utf-8"))
    of_zones, of_whole = page.rows
    assert len(of_zones) == 1 + len(by_zone["zones"])
    heads, row = of_whole
    assert len(heads) == len(row) == 3
    assert row[0].startswith("whole plant")
    assert row[1] == minutes_seconds(ceil(whole["planned_seconds"]))
    assert page.zones == named(whole)
