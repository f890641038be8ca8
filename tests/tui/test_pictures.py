"""Every growth form has a drawing, and every zone its place in it."""

import string
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

import pytest
from rich.cells import cell_len

from rounds.service.logbook.parameters import load_parameters
from rounds.tui.page import FIRST, MIDDLE, Cell, Page, plain
from rounds.tui.pages.picture import (
    HEIGHT,
    WIDTH,
    drawing,
    has_small_font,
    picture,
    zone_rows,
)
from rounds.tui.widgets.canvas import Canvas

Opened = Callable[..., AbstractAsyncContextManager[Any]]

ZONES = {
    form: tuple(share.zone for share in shares) for form, shares in load_parameters().forms.items()
}
FORMS = sorted(ZONES)
EACH_ZONE = [(form, zone) for form in FORMS for zone in ZONES[form]]
NO_ZONE, BLANK = ".", " "
SURFACE = 7
"""The row where stems meet the pot; below it one pot is common to all."""

Cells = dict[tuple[int, int], tuple[str, str]]
"""Character and role by row and column."""


def cells_of(form: str, zone: str | None = None, small_font: bool = False) -> Cells:
    return {
        (row, cell.column + offset): (character, cell.role)
        for row, cells in enumerate(picture(form, zone, small_font))
        for cell in cells
        for offset, character in enumerate(cell.text)
    }


def here(form: str, zone: str) -> set[tuple[int, int]]:
    return {at for at, (_, role) in cells_of(form, zone).items() if role == "here"}


def lines(form: str, small_font: bool = False) -> list[str]:
    return [plain(row, WIDTH) for row in picture(form, small_font=small_font)]


@pytest.mark.parametrize("form", FORMS)
def test_a_drawing_is_as_large_as_its_place_on_the_page(form: str) -> None:
    assert len(picture(form)) == HEIGHT == 11
    assert WIDTH == 24 < MIDDLE - FIRST, "the mark of the zone at hand stands between"
    assert all(cell_len(line) <= WIDTH for line in drawing(form).lines)
    assert not any("▀" <= character <= "▟" for line in lines(form) for character in line)
    assert all(cell_len(character) == 1 for line in drawing(form).lines for character in line)


@pytest.mark.parametrize("form", FORMS)
def test_what_is_painted_is_what_was_drawn(form: str) -> None:
    assert [line.rstrip() for line in lines(form)] == list(drawing(form).lines)
    assert {role for _, role in cells_of(form).values()} == {"quiet"}


@pytest.mark.parametrize("form", FORMS)
def test_the_map_gives_each_stroke_one_mark_and_a_blank_none(form: str) -> None:
    drawn = drawing(form)
    for line, zones in zip(drawn.lines, drawn.zone_map, strict=True):
        assert [c == BLANK for c in line] == [c == BLANK for c in zones]
    used = set("".join(drawn.zone_map)) - {NO_ZONE, BLANK}
    assert used == set(drawn.marks.values())
    assert len(used) == len(drawn.marks), "two zones share a mark"


@pytest.mark.parametrize("form", FORMS)
def test_the_zones_are_those_of_the_growth_form(form: str) -> None:
    assert tuple(drawing(form).marks) == ZONES[form]
    assert tuple(zone_rows(form)) == ZONES[form]


@pytest.mark.parametrize(("form", "zone"), EACH_ZONE)
def test_the_zone_at_hand_is_marked_in_the_drawing(form: str, zone: str) -> None:
    marked = here(form, zone)
    lit, unlit = cells_of(form, zone), cells_of(form)
    assert marked
    assert all(lit[at][0] != BLANK for at in marked)
    assert {at: text for at, (text, _) in lit.items()} == {
        at: text for at, (text, _) in unlit.items()
    }
    assert {role for at, (_, role) in lit.items() if at not in marked} == {"quiet"}


@pytest.mark.parametrize("form", FORMS)
def test_no_cell_is_of_two_zones(form: str) -> None:
    for one, other in combinations(ZONES[form], 2):
        assert here(form, one).isdisjoint(here(form, other)), (one, other)


@pytest.mark.parametrize("form", FORMS)
def test_zones_are_listed_from_top_to_bottom_each_on_its_own_row(form: str) -> None:
    rows = list(zone_rows(form).values())
    assert rows[0] >= 0
    assert rows[-1] < HEIGHT
    assert all(above < below for above, below in pairwise(rows))


@pytest.mark.parametrize(("form", "zone"), EACH_ZONE)
def test_a_zone_is_listed_where_it_is_on_the_plant(form: str, zone: str) -> None:
    nearest = min(abs(zone_rows(form)[zone] - row) for row, _ in here(form, zone))
    # with eleven zones on eleven rows, those of the pot stand one row lower than their cells
    assert nearest <= (1 if len(ZONES[form]) == HEIGHT else 0)


@pytest.mark.parametrize("form", FORMS)
def test_one_pot_is_common_to_all(form: str) -> None:
    drawn, other = drawing(form), drawing(FORMS[0])
    assert drawn.lines[SURFACE + 1 :] == other.lines[SURFACE + 1 :]
    assert drawn.lines[SURFACE].replace("┴", "─") == "      ┌─────────┐"
    assert "┴" in drawn.lines[SURFACE]
    assert here(form, "pot-rim") == here(FORMS[0], "pot-rim")
    assert here(form, "roots") == here(FORMS[0], "roots")
    surface = {
        stroke: {(SURFACE, at) for at, c in enumerate(drawn.lines[SURFACE]) if c == stroke}
        for stroke in "─┴"
    }
    assert here(form, "medium") == surface["─"]
    assert here(form, "stem-base") >= surface["┴"]


def test_no_two_drawings_are_alike() -> None:
    for small_font in (False, True):
        above_the_pot = {tuple(lines(form, small_font)[:SURFACE]) for form in FORMS}
        assert len(above_the_pot) == len(FORMS)


@pytest.mark.parametrize("form", FORMS)
def test_a_small_font_has_every_character_and_changes_no_place(form: str) -> None:
    zone = ZONES[form][0]
    small, large = cells_of(form, zone, small_font=True), cells_of(form, zone)
    assert {at: role for at, (_, role) in small.items()} == {
        at: role for at, (_, role) in large.items()
    }
    readable = set(string.printable) - set(string.whitespace)
    assert {text for text, _ in small.values()} <= readable


@pytest.mark.parametrize("form", FORMS)
def test_a_zone_of_another_growth_form_marks_nothing(form: str) -> None:
    everywhere = {zone for zones in ZONES.values() for zone in zones}
    for zone in everywhere - set(ZONES[form]):
        assert picture(form, zone) == picture(form)


def test_an_unknown_growth_form_is_refused() -> None:
    with pytest.raises(KeyError):
        picture("driftwood")


def painted(canvas: Canvas, rows: list[list[Cell]]) -> dict[tuple[int, int], bool]:
    """Whether the sheet reverses each stroke, by row and column of the drawing."""
    page = Page(80, 24)
    for row, cells in enumerate(rows):
        for cell in cells:
            page.put(row, FIRST + cell.column, cell.text, cell.role)
    canvas.show(page)
    found = {}
    for row in range(len(rows)):
        column = -FIRST
        for segment in canvas.render_line(row):
            for offset, character in enumerate(segment.text):
                is_reversed = bool(segment.style and segment.style.reverse)
                if character != BLANK or is_reversed:
                    found[row, column + offset] = is_reversed
            column += segment.cell_length
    return found


async def test_without_colour_the_zone_at_hand_is_reversed(
    demo: Path, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(demo) as driver:
        await driver.press("enter")
        await driver.shows("removed")
        for form, zone in EACH_ZONE:
            shown = painted(driver.screen.canvas, picture(form, zone))
            assert set(shown) == set(cells_of(form))
            assert {at for at, is_reversed in shown.items() if is_reversed} == here(form, zone)


def test_the_linux_console_gets_plain_strokes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "linux")
    assert has_small_font()
    monkeypatch.setenv("TERM", "xterm-256color")
    assert not has_small_font()
