"""What is typed line by line is left by empty lines alone, at any of them, and nothing is lost."""

import sqlite3
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

import pytest

from rounds.tui.forms.fields import Form
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.settings import SettingsScreen
from rounds.tui.screens.sheet_entry import SheetEntryScreen
from tests.tui.test_form_pages import forms_of

Opened = Callable[..., AbstractAsyncContextManager[Any]]

WORKED_OUT = ("derived", "past", "past_from")
"""tables of what is worked out from the entries, in the thread, at any time"""
WAYS_OUT = {
    80: ("erase all of it, then enter twice", "enter twice leaves the form"),
    40: ("enter twice leaves", "enter twice leaves"),
}
"""what is said at a line that may stay as it is, with something there and empty, by width"""
LEAVES = "an empty line leaves the form"
"""what is said at one that is never empty, at any width"""


def entered(path: Path) -> str:
    """All that stands in a logbook, without what was worked out from it."""
    with sqlite3.connect(path) as connection:
        names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        tables = sorted({name for (name,) in names} - set(WORKED_OUT))
        assert len(tables) > 10
        rows = [(t, connection.execute(f'SELECT * FROM "{t}"').fetchall()) for t in tables]
    connection.close()
    return repr(rows)


def erasing(screen: FormScreen) -> list[str]:
    """The keys that take all of what stands at the line away, and one more."""
    value = screen.field.shown(screen.entered[screen.field.code])
    return ["backspace"] * (len(value) + 2)


@pytest.mark.parametrize(("turn", "width"), list(enumerate(WAYS_OUT)))
async def test_every_form_is_left_at_every_line_by_empty_lines_and_says_so(
    demo: Path, opened: Opened, turn: int, width: int
) -> None:
    """Every second line at each width: what is said there is the same at all lines of a kind."""
    said: set[str] = set()
    async with opened(demo, (width, 24)) as driver:
        forms = await all_forms(driver)
        under, before = driver.app.screen, entered(demo)
        lines = [(form, at) for form in forms for at in range(len(form.fields))]
        for form, at in lines[turn :: len(WAYS_OUT)]:
            screen = FormScreen(form)
            await driver.app.push_screen(screen)
            await driver.press(*["down"] * at)
            assert screen.marked == at
            said.add(await leave_by_empty_lines(driver, screen, WAYS_OUT[width]))
            assert driver.app.screen is under, f"{form.title}, {form.fields[at].label}"
        assert entered(demo) == before
    assert said == {*WAYS_OUT[width], LEAVES}


async def all_forms(driver: Any) -> list[Form]:
    await driver.until(lambda: driver.app.logbook is not None, "the logbook")
    forms = [screen.form for _, screen in forms_of(driver.app.logbook)]
    assert len(forms) == 14
    return forms


async def leave_by_empty_lines(driver: Any, screen: FormScreen, ways: tuple[str, str]) -> str:
    """At the line at hand: what the page says, then that it holds. What it said comes back."""
    where = f"{screen.form.title}, {screen.field.label}"
    said = ways[0] if screen.entered[screen.field.code] else ways[1]
    if screen.field.leaves(screen.entered[screen.field.code]):
        assert LEAVES in one_line(driver.text), where
        await driver.press("enter")
        return LEAVES
    assert said in one_line(driver.text), where
    held, at = dict(screen.entered), screen.marked
    await driver.press(*erasing(screen), "enter")
    assert "enter leaves the form, down goes on" in one_line(driver.text), where
    assert (screen.entered, screen.marked) == (held, at), where
    await driver.press("enter")
    return said


def one_line(text: str) -> str:
    return " ".join(text.split())


async def test_enter_alone_keeps_what_stands_there_and_goes_on(demo: Path, opened: Opened) -> None:
    async with opened(demo) as driver:
        for form in await all_forms(driver):
            screen = FormScreen(form)
            await driver.app.push_screen(screen)
            for at, field in enumerate(form.fields):
                assert screen.marked == at
                if field.leaves(screen.entered[field.code]):
                    await driver.press("down")
                elif at + 1 < len(form.fields):
                    await driver.press("enter")
            assert screen.entered == {field.code: field.value for field in form.fields}
            driver.app.pop_screen()
            await driver.press()


async def test_what_was_typed_is_asked_about_before_an_empty_line_leaves_it(
    demo: Path, opened: Opened
) -> None:
    async with opened(demo) as driver:
        form = next(form for form in await all_forms(driver) if form.title == "new plant")
        under, before, screen = driver.app.screen, entered(demo), FormScreen(form)
        await driver.app.push_screen(screen)
        await driver.press("enter", *"Pintle", "enter")
        held, at = dict(screen.entered), screen.marked
        assert "Pintle" in held.values()
        await driver.press(*erasing(screen), "enter", "enter")
        assert "leave the form? what was typed is not saved" in one_line(driver.text)
        await driver.press("n")
        assert (screen.entered, screen.marked) == (held, at)
        await driver.press(*erasing(screen), "enter", "enter", "y")
        assert driver.app.screen is under
        assert entered(demo) == before


async def test_any_other_key_after_an_emptied_line_stays_in_the_form(
    demo: Path, opened: Opened
) -> None:
    async with opened(demo) as driver:
        form = next(form for form in await all_forms(driver) if form.title == "new plant")
        screen = FormScreen(form)
        await driver.app.push_screen(screen)
        code = screen.entered["code"]
        await driver.press(*erasing(screen), "enter")
        assert f"code stays {code}" in one_line(driver.text)
        await driver.press("Z", "9", "enter")
        assert (screen.entered["code"], screen.marked) == ("Z9", 1)
        await driver.press("up", *erasing(screen), "enter", "down")
        assert (screen.entered["code"], screen.marked) == ("Z9", 1)
        # the line before the next one was not emptied again: enter goes on
        await driver.press("up", "enter")
        assert screen.marked == 1


async def test_a_setting_that_is_typed_is_left_by_an_empty_line(demo: Path, opened: Opened) -> None:
    async with opened(demo) as driver:
        await driver.until(lambda: driver.app.logbook is not None, "the logbook")
        screen, before, typed = SettingsScreen(driver.app.logbook, None), entered(demo), 0
        await driver.app.push_screen(screen)
        for at, setting in enumerate(screen.settings()):
            screen.mark = at
            if setting.keep is not None:
                await driver.press("enter")
                assert screen.line is not None, setting.code
                await driver.press("enter")
                assert screen.line is None, setting.code
                typed += 1
        assert typed > 2
        assert entered(demo) == before


@pytest.mark.parametrize("lines", [(), ("today",), ("today", "Ada")], ids=len)
async def test_a_sheet_is_left_at_each_of_its_first_lines(
    demo: Path, opened: Opened, lines: tuple[str, ...]
) -> None:
    async with opened(demo) as driver:
        await driver.until(lambda: driver.app.logbook is not None, "the logbook")
        under = driver.app.screen
        await driver.app.push_screen(SheetEntryScreen(driver.app.logbook, "Ada"))
        for line in lines:
            await driver.press(*line, "enter")
        assert "q" in driver.text.splitlines()[-1].split() + driver.text.splitlines()[-2].split()
        await driver.press("q", "enter")
        assert driver.app.screen is under
