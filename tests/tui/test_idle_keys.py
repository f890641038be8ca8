"""On every screen each letter and figure changes the page, or the message row says why not."""

import shutil
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from string import ascii_lowercase, digits
from typing import Any

import pytest

from rounds.tui.keys import key_of
from rounds.tui.screens.round import RoundScreen
from tests.tui.touring import Tour, types, walk, worked_out
from tests.tui.tours import TOURS

Opened = Callable[..., AbstractAsyncContextManager[Any]]

OF_YESTERDAY = ("hands",)
"""Tours that go back to a day on which the plants were there already."""

SILENT = "f12"
"""Writes no character, so that nothing is said of it; what was said before goes."""


def kind_of(screen: Any) -> tuple[object, ...]:
    """What a screen is to a key: which one, at which stage, and with which question."""
    view = getattr(screen, "view", None)
    asked = getattr(view, "question", None)
    return (
        type(screen),
        getattr(screen, "stage", getattr(view, "stage", None)),
        getattr(asked, "code", None),
        getattr(screen, "asked", None) is not None,
        screen.helping,
        types(screen),
    )


def in_order(screen: Any) -> list[str]:
    """All letters and figures, those that lead elsewhere last."""
    last = [key_of("leave")]
    return [key for key in (*digits, *ascii_lowercase) if key not in last] + last


async def back_to(driver: Any, screen: Any) -> bool:
    """Back to a screen from those opened over it; whether it is still there."""
    if screen not in driver.app.screen_stack:
        return False
    while driver.app.screen is not screen:
        driver.app.pop_screen()
        await driver.press(SILENT)
    return True


async def dead_keys(driver: Any, name: str) -> list[str]:
    """The keys that leave the page as it is and say nothing."""
    dead, screen = [], driver.app.screen
    for key in in_order(screen):
        if screen.note or isinstance(screen, RoundScreen):
            await driver.press(SILENT)
        before = (driver.text, screen)
        await driver.press(key)
        if not driver.app.is_running:
            break
        if (driver.text, driver.app.screen) == before:
            dead.append(f"{name}: {key}")
        if not await back_to(driver, screen):
            break
        if types(screen):
            await driver.press("backspace")
    return dead


def book_of(name: str, tour: Tour) -> str:
    """The smallest book on which the keys of a tour do what they are for."""
    if not tour.any_book:
        return tour.book
    return "few_for_long" if name in OF_YESTERDAY else "few"


@pytest.fixture(scope="module")
def known() -> set[tuple[object, ...]]:
    """The kinds of screen at which all keys were pressed, on whichever tour: once is enough."""
    return set()


@pytest.mark.parametrize(
    ("tour", "book"),
    [pytest.param(tour, book_of(name, tour), id=name) for name, tour in TOURS.items()],
    indirect=["book"],
)
@pytest.mark.usefixtures("polling")
async def test_each_letter_and_figure_changes_the_page_or_says_why_not(
    tour: Tour, book: Path, opened: Opened, tmp_path: Path, known: set[tuple[object, ...]]
) -> None:
    dead: list[str] = []
    is_through = False
    while not is_through:
        copy = tmp_path / "copy.db"
        if book.exists():
            shutil.copy(book, copy)
        else:
            copy.unlink(missing_ok=True)
        async with opened(copy) as driver:
            is_through = await pressed_through(tour, driver, known, dead)
    assert not dead, "\n".join(dead)


async def pressed_through(
    tour: Tour, driver: Any, known: set[tuple[object, ...]], dead: list[str]
) -> bool:
    """Press all keys where that was not done yet; False once a key changed what comes after."""
    async for name in walk(tour, driver):
        kind = kind_of(driver.screen)
        if kind not in known:
            known.add(kind)
            await worked_out(driver)
            before = as_it_stands(driver)
            dead += await dead_keys(driver, name)
            if not driver.app.is_running or as_it_stands(driver) != before:
                return False
            if types(driver.screen):
                # what was tried is still in the line
                return False
    return True


def as_it_stands(driver: Any) -> tuple[object, ...]:
    """All that the steps to come could rest on."""
    logbook = driver.app.logbook
    return driver.app.screen, driver.text, logbook.stamp() if logbook else None
