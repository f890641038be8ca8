"""Every page looks as it was captured at four sizes, says so without colour, and never breaks."""

from collections.abc import Callable, Iterator
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

import pytest

from rounds.tui.page import Page
from tests.tui.reading import CAPTURES, SIZES, compare, complaints, way_out
from tests.tui.tours import TOURS, Tour, follow

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]

CAPTURED = ((80, 24), (120, 40), (60, 20), (40, 24))


def painted(driver: Any) -> str:
    """What the widget gives the terminal, without trailing blanks."""
    canvas = driver.screen.canvas
    return "\n".join(canvas.render_line(row).text.rstrip() for row in range(canvas.size.height))


def colours(driver: Any) -> set[object]:
    """The colours that the widget gives the terminal."""
    canvas = driver.screen.canvas
    styles = [part.style for row in range(canvas.size.height) for part in canvas.render_line(row)]
    return {colour for style in styles if style for colour in (style.color, style.bgcolor)} - {None}


def differences(driver: Any, name: str) -> Iterator[str]:
    """What of a page is not as it was captured, at its own size on the terminal and at others."""
    if painted(driver) != driver.text:
        yield f"{name}: the widget paints otherwise:\n{painted(driver)}"
    for width, height in CAPTURED:
        text = driver.screen.page(width, height).text()
        yield compare(f"{name}-{width}x{height}", text) or ""


def told_by_colour(driver: Any, name: str) -> Iterator[str]:
    """What is not the same where the terminal wants no colour: pages themselves know of none."""
    if not colours(driver):
        yield f"{name} has no colour"
    driver.app.no_color = True
    if painted(driver) != driver.text:
        yield f"{name} without colour: the widget paints otherwise:\n{painted(driver)}"
    if colours(driver):
        yield f"{name} without colour has {colours(driver)}"
    driver.app.no_color = False


def broken(driver: Any, name: str, keys_named: KeysNamed) -> Iterator[str]:
    """What is wrong with a page, at every size there may be."""
    out = way_out(driver)
    for width, height in SIZES:
        page = driver.screen.page(width, height)
        yield from (f"{name} at {width}x{height}, {c}" for c in complaints(page, plain=True))
        if out not in keys_named(page):
            yield f"{name} at {width}x{height}: no way out is named"


# one walk for all of it: to reach the pages takes longest
@pytest.mark.usefixtures("polling")
@pytest.mark.parametrize(
    ("tour", "book"),
    [pytest.param(tour, tour.book, id=name) for name, tour in TOURS.items()],
    indirect=["book"],
)
async def test_pages_look_as_captured_say_the_same_without_colour_and_hold_together(
    tour: Tour, book: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    found: list[str] = []
    async with opened(book, size=(80, 24)) as driver:
        async for name in follow(tour, driver):
            found += differences(driver, name)
            found += told_by_colour(driver, name)
            found += broken(driver, name, keys_named)
    assert [what for what in found if what] == []


async def test_where_no_colour_is_wanted_there_is_none_from_the_start(
    few: Path, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(few) as driver:
        assert not driver.screen.has_class("-plain")
        text = driver.text
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(few) as driver:
        assert driver.screen.has_class("-plain")
        assert colours(driver) == set()
        assert driver.text == text


def test_every_page_is_captured_at_every_size_and_none_that_is_gone() -> None:
    names = [step.name for tour in TOURS.values() for step in tour.steps]
    assert len(set(names)) == len(names)
    kept = {file.stem for file in CAPTURES.glob("*.txt")}
    sizes = [f"{width}x{height}" for width, height in CAPTURED]
    assert kept == {f"{name}-{size}" for name in names for size in sizes}
