"""The line that is typed has a cursor, words, a selection and paste, and is text alone."""

from typing import Any

import pytest
from textual.events import Paste

from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.widgets.line import Line
from tests.tui.conftest import Opens
from tests.tui.quiet import key_event
from tests.tui.touring import desk_number

MARKUP = "[bold red]Thole[/] [link=x]"


async def paste(driver: Any, text: str) -> None:
    """A paste from the terminal."""
    await driver.until(lambda: driver.screen.typed is not None, "an open line")
    before = driver.screen.typed
    driver.app.post_message(Paste(text))
    await driver.until(lambda: driver.screen.typed != before, "the paste")


def shown(driver: Any) -> str:
    """The line as it is painted, without trailing blanks."""
    line = driver.screen.query_one(Line)
    assert line.display
    return str(line.render_line(0).text.rstrip())


async def test_the_cursor_goes_back_and_what_is_typed_goes_in_there(
    demo: Any, opened: Opens
) -> None:
    async with opened(demo) as driver:
        await driver.press("l", "0", "enter", *"Gff", "left", "left", "a")
        assert driver.screen.typed == "Gaff"
        assert shown(driver) == "Gaff"
        await driver.press("home", "delete", "end", "backspace")
        assert driver.screen.typed == "af"


async def test_words_are_gone_over_selected_and_taken_out(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        await driver.press("l", "0", "enter", *"S03", "enter", "enter", "2", "enter", "y")
        await driver.press(*"too", "space", *"crowded")
        await driver.press("ctrl+w")
        assert driver.screen.typed == "too "
        await driver.press("shift+home", "ctrl+c")
        assert driver.app.clipboard == "too "
        await driver.press("x")
        assert driver.screen.typed == "x"


async def test_a_paste_is_one_line_of_text_and_never_markup(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        await driver.press("l", "0", "enter")
        await paste(driver, f"{MARKUP}\x1b[2J\nand a second line\n")
        assert driver.screen.typed == f"{MARKUP} [2J"
        assert shown(driver) == f"{MARKUP} [2J"
        assert isinstance(driver.screen, PlantsScreen)


async def test_more_than_there_is_room_for_is_cut_where_room_ends(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        await driver.press("m")
        await paste(driver, "123456789")
        assert driver.screen.typed == "123456"


@pytest.mark.parametrize("width", [40, 80])
async def test_a_long_text_scrolls_within_its_columns(few: Any, opened: Opens, width: int) -> None:
    long = "a place behind the seedling bench on the second shelf from the top, x, y and z"
    async with opened(few, size=(width, 24)) as driver:
        await driver.press("0", "enter", *desk_number("new-place"), "enter")
        assert isinstance(driver.screen, FormScreen)
        await paste(driver, long)
        line = driver.screen.query_one(Line)
        assert line.content_region.right < width
        assert long.endswith(shown(driver)[-20:])
        await driver.press("home")
        assert shown(driver).startswith(long[:20])


async def test_what_a_field_keeps_is_seen_until_something_is_typed(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        await driver.press("l", "1", "enter", "6", "enter")
        assert isinstance(driver.screen, FormScreen)
        kept = driver.screen.form.fields[0].value
        assert shown(driver).strip() == kept
        await driver.press("backspace")
        assert shown(driver) == driver.screen.typed == kept


async def test_keys_that_follow_fast_go_into_the_next_line(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        await driver.press("0", "enter", *desk_number("dilution"), "enter")
        for key in (*"70", "enter", *"35", "enter", *"100"):
            event = key_event(key)
            event.set_sender(driver.app)
            driver.app.post_message(event)
        await driver.whole()
        screen = driver.screen
        assert isinstance(screen, FormScreen)
        assert [screen.entered[field.code] for field in screen.form.fields[:2]] == ["70", "35"]
        assert screen.typed == "100"


@pytest.mark.parametrize("way", [("m",), ("l", "0", "enter"), ("0", "enter", "1", "enter")])
async def test_the_key_that_ends_the_program_works_in_a_line(
    few: Any, opened: Opens, way: tuple[str, ...]
) -> None:
    async with opened(few) as driver:
        await driver.press(*way, "a", "b")
        assert driver.screen.line is not None
        await driver.press("ctrl+q")
        assert not driver.app.is_running


async def test_letters_mean_keys_again_once_the_line_is_taken(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        await driver.press("m", *"25", "enter", "l")
        assert isinstance(driver.screen, PlantsScreen)
        assert driver.app.focused is None
