"""From thirty finds to a plant among the others again, and a delivery: a season by keys alone.

Every date is held against the day it has to be, across a change of the clocks.
"""

import time
from datetime import date, datetime, timedelta
from datetime import time as time_of_day
from pathlib import Path

import pytest

from rounds.clock import SetClock
from tests.tui.conftest import Driver, Opens

CAME = date(2026, 3, 18)
"""clocks go forward in Berlin on 29 March, day 11"""
FINDS = {0: 2, 1: 3, 2: 5, 3: 9, 4: 14, 9: 1}
SPRAYED = (6, 13, 27, 34)
"""the third a week late"""
EVERY = 3
"""days from one whole look to the next"""


@pytest.fixture(autouse=True)
def _in_berlin(monkeypatch: pytest.MonkeyPatch, _at_greenwich: None) -> None:
    """Local time of a place whose clocks change."""
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()


@pytest.fixture
def clock() -> SetClock:
    """A clock that stands at half past seven on the day the plant came."""
    return SetClock(morning(0))


def morning(day: int) -> datetime:
    return datetime.combine(CAME + timedelta(day), time_of_day(7, 30)).astimezone()


async def typed(driver: Driver, *lines: str) -> None:
    for line in lines:
        await driver.press(*("space" if c == " " else c for c in line), "enter")


def show(driver: Driver, what: str = "") -> None:
    print(f"===== {what} {driver.clock.instant}\n{driver.text}")


async def test_explore(empty: Path, opened: Opens) -> None:
    async with opened(empty) as driver:
        t0 = time.process_time()
        await typed(driver, "porch shelf", "S03 Pintle", "", "s", "S03", "stair foot")
        show(driver)
        await typed(driver, "n", "", "10", "24")
        show(driver)
        await driver.press("enter")
        show(driver, "end")
        await driver.press("enter")
        show(driver, "round")
        print("CPU", time.process_time() - t0)
