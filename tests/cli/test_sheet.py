"""sheet: the plan of a day on paper, as text and as a page to print."""

import json
from collections.abc import Callable
from html.parser import HTMLParser
from math import ceil
from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.cli.lines import width
from rounds.cli.sheet_text import PAGE_ROWS
from rounds.words.forms import minutes_seconds

Ask = Callable[..., Any]
Call = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")

HOSTILE = (
    "Halyard of the long name " * 20,
    "<script>alert(1)</script>",
    "綿虫の鉢植えの長い長い名前の植物" * 4,
    "a & b \"c\" 'd'",
)
ELSEWHERE = {"src", "href", "action", "data", "srcset", "poster", "background"}


class Page(HTMLParser):
    """The tags of a page, its attributes, and its text."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: set[str] = set()
        self.said = ""
        self.unclosed: list[str] = []
        self.feed(source)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes |= {name for name, _ in attrs}
        if tag not in ("meta", "br"):
            self.unclosed.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.unclosed.pop() == tag

    def handle_data(self, data: str) -> None:
        self.said += data


def test_a_sheet_has_the_plan_of_the_day(ask: Ask) -> None:
    sheet, plan = ask("sheet", "--minutes", 20), ask("today", "--minutes", 20)
    assert sheet["html"] is None
    assert (sheet["minutes"], sheet["planned_seconds"]) == (20, plan["planned_seconds"])
    assert [p["code"] for p in sheet["plants"]] == [p["code"] for p in plan["plan"]]
    for printed, planned in zip(sheet["plants"], plan["plan"], strict=True):
        assert printed["reasons"] == [reason["text"] for reason in planned["reasons"]]
        assert printed["hygiene_stop_before"] == planned["hygiene_stop_before"]
        zones = [
            {"zone": zone["zone"], "planned_seconds": zone["planned_seconds"]}
            for zone in printed["zones"]
        ]
        assert zones == planned["zones"]
        assert all(
            zone["advice"] == words.say(f"zones.{zone['zone']}.advice") for zone in printed["zones"]
        )


def test_the_sheet_of_another_day_is_planned_for_it(ask: Ask, call: Call) -> None:
    ask("look", "G02", "--whole-plant", "--seconds", 180)
    assert [p["code"] for p in ask("sheet")["plants"]] == ["S03"]
    assert [p["code"] for p in ask("sheet", "--on", "2026-05-05")["plants"]] == ["G02", "S03"]
    assert call("sheet", "--on", "2026-05-05").out.startswith("rounds: sheet for 5 May ")


def test_it_prints_on_eighty_columns_and_on_pages(call: Call, ask: Ask) -> None:
    for number, name in enumerate(HOSTILE):
        ask("add", f"H{number}", "--name", name, "--place", "porch shelf", "--already-here")
    ask("add", "S09", "--name", "Marline", "--place", "stair foot")
    said = call("sheet", "--minutes", 90).out
    pages = said.split("\f")
    assert len(pages) > 1
    for number, page in enumerate(pages, 1):
        rows = page.splitlines()
        assert rows[0].endswith(f"page {number} of {len(pages)}")
        assert len(rows) <= PAGE_ROWS
    narrow = [row for row in said.splitlines() if all(ord(c) < 0x1100 for c in row)]
    assert max(width(row) for row in narrow) <= 80
    # once on the whole sheet
    assert said.count("no flame") == 1
    assert said.count("STOP after S03") == 1
    # a plant and its zones stay on one page
    assert all(page.count("axils") == page.count("[ ] every zone") for page in pages)


def test_a_zone_has_a_box_for_everything_that_is_written(call: Call, ask: Ask) -> None:
    rows = call("sheet").out.splitlines()
    heads = next(row for row in rows if row.startswith("  zone"))
    for text in words.section("sheet.column").values():
        assert text in heads
    axils = next(row for row in rows if row.startswith("  axils"))
    boxes = [heads.index(words.say(f"sheet.column.{code}")) for code in ("seconds", "removed")]
    assert [axils[column : column + 2] for column in boxes] == ["__", "__"]
    zones = ask("sheet")["plants"][0]["zones"]
    planned = next(zone["planned_seconds"] for zone in zones if zone["zone"] == "axils")
    # never less than counts as seen
    assert f" {minutes_seconds(ceil(planned))} " in axils
    assert not [row for row in rows if " 0:00 " in row]


def test_the_page_to_print_stands_alone_and_is_no_markup_of_others(
    ask: Ask, tmp_path: Path
) -> None:
    for number, name in enumerate(HOSTILE):
        ask("add", f"H{number}", "--name", name, "--place", "porch shelf", "--already-here",
            "--spot", "<img src=x>")  # fmt: skip
    file = tmp_path / "sheet.html"
    found = ask("sheet", "--minutes", 60, "--html", file)
    assert found["html"] == str(file)
    source = file.read_text(encoding="utf-8")
    page = Page(source)
    assert page.unclosed == []
    assert not {"script", "link", "img", "iframe", "object"} & set(page.tags)
    assert not page.attributes & ELSEWHERE
    assert not [name for name in page.attributes if name.startswith("on")]
    assert "url(" not in source
    assert "http" not in source
    for name in HOSTILE:
        assert name.strip() in page.said
    assert page.tags.count("section") == len(found["plants"])
    zones = sum(len(plant["zones"]) for plant in found["plants"])
    assert page.tags.count("tr") == zones + len(found["plants"])


def test_a_sheet_may_be_written_again_but_over_nothing_else(
    ask: Ask, call: Call, tmp_path: Path
) -> None:
    file, letter = tmp_path / "sheet.html", tmp_path / "letter.html"
    letter.write_text("<p>dear keeper</p>", encoding="utf-8")
    ask("sheet", "--html", file)
    before = file.read_text(encoding="utf-8")
    ask("sheet", "--html", file, "--on", "2026-05-05")
    assert file.read_text(encoding="utf-8") != before
    refused = call("sheet", "--html", letter, "--json")
    assert (refused.status, refused.found["error"]["code"]) == (2, "file-is-no-sheet")
    assert letter.read_text(encoding="utf-8") == "<p>dear keeper</p>"
    for wrong in (tmp_path / "none" / "sheet.html", tmp_path, ""):
        said = call("sheet", "--html", wrong, "--json")
        assert (said.status, said.found["error"]["code"]) == (2, "file-not-written")
    assert sorted(f.name for f in tmp_path.glob("*.html*")) == ["letter.html", "sheet.html"]


def test_minutes_that_cannot_be_are_refused(call: Call) -> None:
    assert json.loads(call("sheet", "--minutes", 0, "--json").out)["error"]["code"] == (
        "minutes-not-positive"
    )


def test_a_day_with_nothing_to_look_at_says_so(ask: Ask, call: Call) -> None:
    for code in ("G02", "S03"):
        ask("look", code, "--whole-plant", "--seconds", 180)
    assert "No plant is planned for this day." in call("sheet").out
    assert ask("sheet")["plants"] == []
