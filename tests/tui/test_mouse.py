"""The mouse: a click marks a line and a second opens it, keys are pressed, text is copied."""

from typing import Any

import pytest
from textual import events
from textual.geometry import Offset

from rounds.tui.forms.plant import edit_form, move_form
from rounds.tui.pages.today_lines import lines_of
from rounds.tui.screens.desk import DeskScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.conftest import Opens

LEFT = 1


async def send(driver: Any, kind: type[events.MouseEvent], at: Offset, button: int = LEFT) -> None:
    """What the terminal says of the mouse."""
    event = kind(None, at.x, at.y, 0, 0, button, False, False, False, at.x, at.y)
    driver.app.post_message(event)
    await driver.whole()


async def click(driver: Any, at: Offset) -> None:
    """Down and up on one cell."""
    await send(driver, events.MouseDown, at)
    await send(driver, events.MouseUp, at)


async def drag(driver: Any, start: Offset, end: Offset) -> None:
    """Down on one cell, over to another, and up there."""
    await send(driver, events.MouseDown, start)
    await send(driver, events.MouseMove, end)
    await send(driver, events.MouseUp, end)


def place_of(driver: Any, text: str) -> Offset:
    """Where a text begins that stands on the page once."""
    found = [
        Offset(line.index(text), row)
        for row, line in enumerate(driver.text.splitlines())
        if text in line
    ]
    assert len(found) == 1, f"{text!r} is not there once:\n{driver.text}"
    return found[0]


def copied(driver: Any) -> str:
    """What lies on the clipboard of the program."""
    return str(driver.app.clipboard)


async def test_a_click_marks_a_line_and_a_second_opens_it(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        await driver.press("l")
        screen = driver.screen
        assert isinstance(screen, PlantsScreen)
        status = screen.shown[6].status
        at = place_of(driver, f"{status.code}  {status.name}")
        await click(driver, at)
        assert driver.row_with(f" 7   {status.code}").startswith("  > ")
        assert (driver.screen, screen.mark) == (screen, 6)
        await click(driver, at)
        assert isinstance(driver.screen, PlantScreen)
        assert driver.screen.code == status.code


async def test_on_today_a_click_chooses_a_line_and_a_second_opens_it(
    demo: Any, opened: Opens
) -> None:
    async with opened(demo) as driver:
        assert isinstance(driver.screen, TodayScreen)
        lines = lines_of(driver.screen.day)
        seen = [n for n, of in enumerate(lines, 1) if f"{n} ║ {of.code}" in driver.text]
        number, code = seen[-1], lines[seen[-1] - 1].code
        at = place_of(driver, f"{number} ║ {code}")
        await click(driver, at)
        assert isinstance(driver.screen, TodayScreen)
        assert driver.screen.number == number
        await click(driver, at)
        assert isinstance(driver.screen, PlantScreen)
        assert driver.screen.code == code


async def test_a_click_on_a_key_of_the_strip_presses_it(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        await click(driver, place_of(driver, "l plants"))
        assert isinstance(driver.screen, PlantsScreen)
        # two keys one after the other, on the word of what they do
        await click(driver, place_of(driver, "by name"))
        assert driver.screen.line is not None
        # enter takes an empty line
        await click(driver, place_of(driver, "enter  "))
        assert driver.screen.line is None
        await click(driver, place_of(driver, "q back"))
        await click(driver, place_of(driver, "begin the round"))
        assert isinstance(driver.screen, RoundScreen)


async def test_an_answer_is_given_by_a_click(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        await driver.press("1", "enter", "x")
        assert isinstance(driver.screen, PlantScreen)
        assert driver.screen.asked is not None
        await click(driver, place_of(driver, "n keep it"))
        assert driver.screen.asked is None


async def test_a_key_that_cannot_be_pressed_is_no_button(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        await driver.press("0", "enter")
        assert isinstance(driver.screen, DeskScreen)
        await click(driver, place_of(driver, "1-9"))
        assert driver.screen.number == ""


async def test_the_wheel_moves_the_mark_and_stops_at_the_ends(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        await driver.press("l")
        screen = driver.screen
        assert isinstance(screen, PlantsScreen)
        middle = Offset(10, 10)
        await send(driver, events.MouseScrollUp, middle, 0)
        assert (screen.mark, screen.message) == (0, "")
        for _ in range(screen.lines_count() + 3):
            await send(driver, events.MouseScrollDown, middle, 0)
        assert (screen.mark, screen.message) == (screen.lines_count() - 1, "")


@pytest.mark.parametrize("size", [(80, 24), (40, 24)])
async def test_what_is_dragged_over_is_copied_as_text(
    demo: Any, opened: Opens, size: tuple[int, int]
) -> None:
    async with opened(demo, size=size) as driver:
        rows = driver.text.splitlines()
        await drag(driver, Offset(1, 2), Offset(size[0] - 1, 4))
        await driver.press("ctrl+c")
        assert copied(driver) == "\n".join([rows[2][1:], *rows[3:5]])
        assert driver.app.is_running
        # a drag over a line of the list opens nothing
        assert isinstance(driver.screen, TodayScreen)
        assert driver.screen.number is None


async def test_a_word_of_a_round_is_copied(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        await driver.press("enter")
        at = place_of(driver, "Thole")
        await drag(driver, at, Offset(at.x + 4, at.y))
        await driver.press("ctrl+c")
        assert copied(driver) == "Thole"


async def test_with_nothing_selected_the_same_key_leaves(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        await driver.press("ctrl+c")
        assert not driver.app.is_running


async def test_what_is_selected_is_told_apart_without_colour(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        driver.app.no_color = True
        at = place_of(driver, "Thole")
        await drag(driver, at, Offset(at.x + 4, at.y))
        widget, region = driver.screen.get_widget_at(*at)
        strip = widget.render_line(at.y - region.y)
        reverse = [part.text for part in strip if part.style and part.style.reverse]
        assert "".join(reverse) == "Thole"


async def test_in_a_form_a_click_goes_to_a_line_and_another_takes_a_choice(
    few: Any, opened: Opens
) -> None:
    async with opened(few) as driver:
        assert driver.app.logbook is not None
        screen = move_form(driver.app.logbook, "G02")
        await driver.app.push_screen(screen)
        await driver.whole()
        # what was typed so far is no part of what is chosen
        await driver.press("s", "t")
        await click(driver, place_of(driver, "2 stair foot"))
        assert (screen.entered["place"], screen.marked) == ("stair foot", 1)
        await click(driver, place_of(driver, "from day"))
        assert screen.marked == 3
        await click(driver, place_of(driver, "page down"))
        assert screen.stage == "question"


async def test_where_lines_are_more_than_rows_the_wheel_brings_them_in_sight(
    few: Any, opened: Opens
) -> None:
    async with opened(few, (40, 16)) as driver:
        assert driver.app.logbook is not None
        screen = edit_form(driver.app.logbook, "S03")
        await driver.app.push_screen(screen)
        await driver.whole()
        assert "from day" not in driver.text
        for _ in range(9):
            await send(driver, events.MouseScrollDown, Offset(10, 6), 0)
        assert "from day" in driver.text
        # the next key is typed into the line that was marked, which is in sight again
        await driver.press("R")
        await driver.shows("R_")
        assert driver.row_with("R_").startswith(" > name")


@pytest.mark.parametrize("code", ["S03", "G05"])
async def test_the_page_of_a_plant_is_copied_as_text(demo: Any, opened: Opens, code: str) -> None:
    async with opened(demo) as driver:
        assert driver.app.logbook is not None
        await driver.app.push_screen(PlantScreen(driver.app.logbook, code))
        await driver.whole()
        at = place_of(driver, "axils")
        await drag(driver, at, Offset(at.x + 25, at.y))
        await driver.press("ctrl+c")
        assert copied(driver).startswith("axils")
        assert copied(driver) in driver.row_with("axils")


async def test_the_criteria_of_a_quarantine_are_copied_as_text(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        assert driver.app.logbook is not None
        await driver.app.push_screen(ReleaseScreen(driver.app.logbook, "G07"))
        await driver.whole()
        row = driver.row_with("quarantine days since last find")
        at = place_of(driver, "quarantine days since last find")
        await drag(driver, at, Offset(78, at.y))
        await driver.press("ctrl+c")
        assert copied(driver) == row[at.x :]
        await click(driver, place_of(driver, "q back"))
        assert not isinstance(driver.screen, ReleaseScreen)


async def test_help_scrolls_is_copied_and_a_click_on_a_key_of_it_presses_that(
    few: Any, opened: Opens
) -> None:
    async with opened(few, size=(40, 12)) as driver:
        await driver.press("h")
        await driver.shows("begins or goes on", " more below", "closes this")
        assert "in quarantine: new" not in driver.text
        # keys scroll it, and close it no more than the wheel does
        await driver.press("pagedown", "down")
        await driver.shows("in quarantine: new", " more above", "closes this")
        await send(driver, events.MouseScrollUp, Offset(4, 5))
        await driver.press("pageup", "pageup")
        await driver.shows("begins or goes on")
        begins = place_of(driver, "begins or goes on")
        await drag(driver, begins, begins + Offset(5, 0))
        await driver.press("ctrl+c")
        assert copied(driver) == "begins"
        await driver.press("h", "h")
        # opened again it begins at its first line
        await click(driver, place_of(driver, "all plants"))
        assert isinstance(driver.screen, PlantsScreen)
        assert not driver.screen.helping
