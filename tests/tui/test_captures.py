"""Every page looks as it was captured, says so without colour, and never breaks.

Nothing is read from the file, nor written to it, while a page is laid out and painted.
"""

from collections.abc import Callable, Iterator
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

import pytest

from rounds.tui.page import Page
from rounds.tui.screens.frame import Frame
from rounds.tui.widgets.painted import Painted
from tests.tui.reading import CAPTURES, compare, complaints, sizes_in_turn, way_out
from tests.tui.screens_page import captured
from tests.tui.seen import in_sight
from tests.tui.touring import Tour, follow
from tests.tui.tours import TOURS

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]
Pages = dict[tuple[int, int], Page]
STATEMENT_SIZES = ((120, 40), (40, 24))


def widgets_in_sight(driver: Any) -> list[Painted]:
    """The widgets that paint what is in sight, from top to bottom."""
    return [widget for widget in driver.screen.query(Painted) if in_sight(widget)]


def painted(driver: Any) -> str:
    """What the widgets give the terminal, without trailing blanks; but not the line that is typed.

    Where it lies, the page says the same with a sign for the cursor.
    """
    rows = [" " * driver.app.size.width] * driver.app.size.height
    for widget in widgets_in_sight(driver):
        region = widget.region
        for y in in_sight(widget).line_range:
            text, before = widget.render_line(y - region.y).text, rows[y]
            rows[y] = before[: region.x] + text + before[region.x + len(text) :]
    return "\n".join(row.rstrip() for row in rows)


def said(driver: Any) -> str:
    """The page, without the line that is typed on one that is laid out."""
    if isinstance(driver.screen, Frame) and driver.screen.line is not None:
        region = driver.screen.line.region
        rows = driver.text.splitlines()
        before, after = rows[region.y][: region.x], rows[region.y][region.right :]
        rows[region.y] = f"{before.ljust(region.x)}{' ' * region.width}{after}".rstrip()
        return "\n".join(rows)
    return str(driver.text)


def colours(driver: Any) -> set[object]:
    """The colours that the widgets give the terminal."""
    styles = [
        part.style
        for widget in widgets_in_sight(driver)
        for y in in_sight(widget).line_range
        for part in widget.render_line(y - widget.region.y)
    ]
    found = (of for style in styles if style for of in (style.color, style.bgcolor))
    return {colour for colour in found if colour is not None}


def differences(driver: Any, name: str, pages: Pages) -> Iterator[str]:
    """What of a page is not as it was captured, at its own size on the terminal and at others."""
    if painted(driver) != said(driver):
        yield f"{name}: the widget paints otherwise:\n{painted(driver)}"
    for width, height in captured(name):
        text = pages[width, height].text()
        yield compare(f"{name}-{width}x{height}", text) or ""


def told_by_colour(driver: Any, name: str) -> Iterator[str]:
    """What is not the same where the terminal wants no colour: pages themselves know of none."""
    if not colours(driver):
        yield f"{name} has no colour"
    driver.app.no_color = True
    if painted(driver) != said(driver):
        yield f"{name} without colour: the widget paints otherwise:\n{painted(driver)}"
    if colours(driver):
        yield f"{name} without colour has {colours(driver)}"
    driver.app.no_color = False


def broken(driver: Any, name: str, pages: Pages, keys_named: KeysNamed) -> Iterator[str]:
    """What is wrong with a page, at all sizes it was laid out to."""
    out = way_out(driver)
    for (width, height), page in pages.items():
        yield from (f"{name} at {width}x{height}, {c}" for c in complaints(page, plain=True))
        if out not in keys_named(page):
            yield f"{name} at {width}x{height}: no way out is named"


async def statements(driver: Any) -> list[str]:
    """What SQLite is asked for while the page in front is painted and laid out at two sizes.

    It was shown at both before: a size shown for the first time may ask for more to be worked out.
    """
    asked: list[str] = []
    # whether others have written is asked from time to time, and between two sizes too
    timers = list(driver.app._timers)
    for timer in timers:
        timer.pause()
    connection = driver.app.logbook.file.connection if driver.app.logbook else None
    if connection is not None:
        connection.set_trace_callback(asked.append)
    try:
        await driver.pages_at(STATEMENT_SIZES)
        driver.screen.paint()
    finally:
        if connection is not None:
            connection.set_trace_callback(None)
        for timer in timers:
            timer.resume()
    return asked


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
        turn = 0
        async for name in follow(tour, driver):
            turn += 1
            sizes = (*captured(name), *sizes_in_turn(turn), *STATEMENT_SIZES)
            pages = await driver.pages_at(sizes)
            found += differences(driver, name, pages)
            found += told_by_colour(driver, name)
            found += broken(driver, name, pages, keys_named)
            found += [f"{name} asks the file: {asked}" for asked in await statements(driver)]
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


async def test_a_theme_put_on_is_seen_on_all_that_was_painted_before(
    few: Path, opened: Opened
) -> None:
    def shown(driver: Any) -> list[Any]:
        return [[*strip] for strip in driver.screen._compositor.render_strips(driver.app.size)]

    async with opened(few) as driver:
        before = shown(driver)
        driver.app.logbook.put_setting("colours", "light")
        driver.app.take_settings()
        await driver.whole()
        worn = shown(driver)
    async with opened(few) as driver:
        assert worn == shown(driver) != before


def test_every_page_is_captured_where_it_shows_something_of_its_own_and_none_that_is_gone() -> None:
    names = [step.name for tour in TOURS.values() for step in tour.steps]
    assert len(set(names)) == len(names)
    kept = {file.stem for file in CAPTURES.glob("*.txt")}
    assert kept == {f"{name}-{w}x{h}" for name in names for w, h in captured(name)}
