"""Opening the screens copies the logbook before the first entry of the day."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import timedelta
from pathlib import Path
from typing import Any

from rounds.clock import SetClock

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
        await driver.until(lambda: "backup" in driver.text, "what is wrong")
        await driver.press("enter")
        await driver.shows("h help")
