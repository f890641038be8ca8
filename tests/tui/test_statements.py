"""A letter that is typed leads to nothing that is read from the file.

What is laid out and painted without a statement is held on every tour, in `test_captures`.
"""

from pathlib import Path

from rounds.tui.screens.release import ReleaseScreen
from tests.tui.conftest import Opens
from tests.tui.touring import plant, press


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
