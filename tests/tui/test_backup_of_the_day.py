"""Opening the screens copies the logbook before the first entry of the day."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import timedelta
from pathlib import Path
from typing import Any

from rounds.clock import SetClock
from rounds.service.safety.backups import folder_of
from rounds.tui.screens.settings import SettingsScreen

Opened = Callable[..., AbstractAsyncContextManager[Any]]


def copies(path: Path) -> list[str]:
    return sorted(file.name for file in (path.parent / "backups").glob("*.db"))


async def test_each_day_the_screens_are_open_has_its_copy(
    few: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(few) as driver:
        await driver.until(lambda: len(copies(few)) == 1, "a copy")
        clock.instant += timedelta(1)
        await driver.until(lambda: len(copies(few)) == 2, "a copy of the next day")
    assert copies(few) == [f"{few.stem}-2026-05-04.db", f"{few.stem}-2026-05-05.db"]


async def test_a_copy_that_cannot_be_written_is_told_and_stops_nothing(
    few: Path, opened: Opened
) -> None:
    (few.parent / "backups").write_text("no folder")
    async with opened(few) as driver:
        await driver.until(lambda: "The backup in" in driver.text, "what is wrong")
        await driver.press("enter")
        await driver.shows("h help")
        await driver.press("q")
        await driver.until(lambda: "The backup in" in driver.text, "it is still wrong")


async def test_the_folder_of_backups_is_typed_tried_at_once_and_kept(
    few: Path, opened: Opened, tmp_path: Path
) -> None:
    stick, no_folder = tmp_path / "stick", tmp_path / "file"
    no_folder.write_text("no folder")
    async with opened(few) as driver:
        await driver.until(lambda: len(copies(few)) == 1, "a copy")
        driver.app.push_screen(SettingsScreen(driver.app.logbook, None, "backup-folder"))
        await driver.shows("folder, then enter")
        await driver.press(*str(no_folder), "enter")
        await driver.until(lambda: "could not be written" in driver.text, "what is wrong")
        assert folder_of(driver.app.logbook) == few.parent / "backups"
        await driver.press("enter")
        await driver.press(*str(stick), "enter")
        await driver.until(lambda: len(list(stick.glob("*.db"))) == 1, "a first copy")
        assert folder_of(driver.app.logbook) == stick
        await driver.press("enter")
        await driver.press(*"-", "enter")
        await driver.until(lambda: len(copies(few)) == 2, "a copy beside the logbook")
        assert folder_of(driver.app.logbook) == few.parent / "backups"
