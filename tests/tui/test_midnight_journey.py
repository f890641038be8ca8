"""A round walked past midnight: what is counted then stands with it, and today is the new day."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from rounds.clock import SetClock

Opens = Callable[..., AbstractAsyncContextManager[Any]]


async def test_a_round_past_midnight_keeps_all_and_today_moves_on(
    few: Path, opened: Opens, clock: SetClock
) -> None:
    late = datetime(2026, 5, 4, 23, 58).astimezone()
    clock.instant = late
    async with opened(few) as driver:
        await driver.press("enter", "f")
        assert "round 4 May" in driver.text
        clock.instant = late + timedelta(minutes=5)
        clock.seconds += 20
        await driver.press("f", "f")
        assert "removed      3" in driver.text
        assert "round 4 May" in driver.text, "what is under way is of the day it began"
        await driver.press("q")
        assert "today 5 May" in driver.text
        assert "which had insects 4 May" in driver.text
        assert "due since 4 May" in driver.text
        await driver.press("enter")
        assert "round 5 May" in driver.text
        live = [(look.zone, look.live()) for look in driver.record("G02").log]
    assert live == [("new-growth", 3)]
