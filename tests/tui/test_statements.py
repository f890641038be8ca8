"""Nothing is read from the file, nor written to it, while a page is laid out and painted."""

from pathlib import Path
from typing import Any

import pytest

from rounds.tui.screens.release import ReleaseScreen
from tests.tui.conftest import Opens
from tests.tui.touring import Tour, follow, plant, press
from tests.tui.tours import TOURS

SIZES = ((80, 24), (120, 40), (60, 20), (40, 24))
AT_THE_DESK = ("desk", "quarantine", "forms", "lives", "hands", "start", "settings")
pytestmark = pytest.mark.usefixtures("polling")


async def statements(driver: Any) -> list[str]:
    """What SQLite is asked for while the page in front is laid out at every size, and painted."""
    asked: list[str] = []
    connection = driver.app.logbook.file.connection
    # whether others have written is asked from time to time, and between two sizes too
    timers = list(driver.app._timers)
    for timer in timers:
        timer.pause()
    # a size shown for the first time may ask for more to be worked out
    await driver.pages_at(SIZES)
    await driver.whole()
    connection.set_trace_callback(asked.append)
    try:
        await driver.pages_at(SIZES)
        driver.screen.paint()
    finally:
        connection.set_trace_callback(None)
        for timer in timers:
            timer.resume()
    return asked


@pytest.mark.parametrize(
    ("tour", "book"),
    [pytest.param(TOURS[name], TOURS[name].book, id=name) for name in AT_THE_DESK],
    indirect=["book"],
)
async def test_a_page_is_painted_without_a_statement(tour: Tour, book: Path, opened: Opens) -> None:
    async with opened(book) as driver:
        found = {name: await statements(driver) async for name in follow(tour, driver)}
    assert len(found) == len(tour.steps)
    assert {name: asked for name, asked in found.items() if asked} == {}


async def test_a_letter_of_a_reason_only_lays_the_page_out_again(demo: Path, opened: Opens) -> None:
    async with opened(demo) as driver:
        await press(driver, (*plant("S03"), "2", "enter", "y"))
        screen, logbook = driver.screen, driver.app.logbook
        assert isinstance(screen, ReleaseScreen)
        assert logbook is not None
        status = screen.status
        asked: list[str] = []
        connection = logbook.file.connection
        connection.set_trace_callback(asked.append)
        await driver.press(*"crowded")
        await driver.shows("crowded_")
        connection.set_trace_callback(None)
        assert screen.status is status
        # whether others have written is asked from time to time; nothing of a plant is read
        assert [text for text in asked if "derived" in text or "look" in text] == []
