"""The file goes while the screens have it open: one sentence, and nothing written past it."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

from rounds.store import LogbookFile

Opened = Callable[..., AbstractAsyncContextManager[Any]]


async def test_another_file_under_an_open_round_ends_it_with_a_sentence(
    few: Path, opened: Opened, tmp_path: Path
) -> None:
    async with opened(few) as driver:
        await driver.press("enter")
        await driver.shows("removed")
        await driver.press("f")
        other = tmp_path / "other.db"
        LogbookFile(other).close()
        other.replace(few)
        await driver.press("f")
        await driver.until(lambda: driver.app.fault is not None or "replaced" in driver.text, "why")
        assert driver.app.crash is None
