"""Every page looks as it was captured: at four sizes, with colour and without."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

import pytest

from tests.tui.reading import CAPTURES, compare
from tests.tui.tours import TOURS, Tour, follow

Opened = Callable[..., AbstractAsyncContextManager[Any]]

SIZES = ("80x24", "120x40", "60x20", "40x24")
pytestmark = pytest.mark.usefixtures("polling")
WITHOUT_COLOUR = ("desk", "quarantine", "round", "later")
EVERY_TOUR = pytest.mark.parametrize(
    ("tour", "book"),
    [pytest.param(tour, tour.book, id=name) for name, tour in TOURS.items()],
    indirect=["book"],
)


def painted(driver: Any) -> str:
    """What the widget gives the terminal, without trailing blanks."""
    sheet = driver.screen.sheet
    return "\n".join(sheet.render_line(row).text.rstrip() for row in range(sheet.size.height))


def differences(driver: Any, name: str) -> list[str]:
    """What of a page is not as it was captured, at its own size on the terminal and at others."""
    found = []
    if painted(driver) != driver.text:
        found.append(f"{name}: the widget paints otherwise:\n{painted(driver)}")
    for size in SIZES:
        width, height = map(int, size.split("x"))
        found.append(compare(f"{name}-{size}", driver.screen.page(width, height).text()) or "")
    return [what for what in found if what]


@EVERY_TOUR
async def test_pages_look_as_captured(tour: Tour, book: Path, opened: Opened) -> None:
    async with opened(book, size=(80, 24)) as driver:
        assert not driver.screen.has_class("-plain")
        assert [d async for name in follow(tour, driver) for d in differences(driver, name)] == []


# the text of a page knows nothing of colour; these tours have finds, doubts, questions and walls
@pytest.mark.parametrize(
    ("tour", "book"),
    [pytest.param(TOURS[name], TOURS[name].book, id=name) for name in WITHOUT_COLOUR],
    indirect=["book"],
)
async def test_pages_say_the_same_without_colour(
    tour: Tour, book: Path, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(book, size=(80, 24)) as driver:
        assert driver.screen.has_class("-plain")
        assert [d async for name in follow(tour, driver) for d in differences(driver, name)] == []


def test_every_page_is_captured_at_every_size_and_none_that_is_gone() -> None:
    names = [step.name for tour in TOURS.values() for step in tour.steps]
    assert len(set(names)) == len(names)
    kept = {file.stem for file in CAPTURES.glob("*.txt")}
    assert kept == {f"{name}-{size}" for name in names for size in SIZES}
