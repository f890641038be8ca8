"""Ending a quarantine: what the days suppose is said, the nearest first, and nothing is cut."""

from datetime import timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.screens.release import ReleaseScreen
from rounds.words.forms import day_month
from tests.tui.conftest import Opens
from tests.tui.reading import SIZES, complaints


@pytest.mark.parametrize(("every", "said"), [(1, "look every day,"), (3, "look every 3 days,")])
async def test_the_days_expected_say_what_they_suppose(
    few: Path, clock: SetClock, opened: Opens, every: int, said: str
) -> None:
    start = clock.today()
    with Logbook(few, clock) as logbook:
        for number in range(4):
            day = local_noon(start + timedelta(every * number))
            enter_look(logbook, day, "S03", LookEntered((), 200.0))
    clock.instant += timedelta(3 * every)
    async with opened(few, (120, 40)) as driver:
        assert driver.app.logbook is not None
        driver.app.push_screen(ReleaseScreen(driver.app.logbook, "S03"))
        await driver.whole()
        text = " ".join(driver.text.split())
        assert said in text
        assert "and 18 degC, the mean of the last 14 days" in text
        for page in (await driver.pages_at(SIZES)).values():
            assert complaints(page, plain=True) == []


@pytest.mark.parametrize("size", [(40, 24), (60, 20), (80, 24)])
async def test_no_criterion_is_cut_and_the_nearest_day_comes_first(
    demo: Path, opened: Opens, size: tuple[int, int]
) -> None:
    seen = 0
    async with opened(demo, size) as driver:
        assert driver.app.logbook is not None
        for code in ("S03", "G07", "S05", "S09", "G11"):
            screen = ReleaseScreen(driver.app.logbook, code)
            await driver.app.push_screen(screen)
            await driver.whole()
            assert ".." not in driver.text
            release = screen.status.release
            assert release is not None
            met = [criterion.met is True for criterion in release.criteria]
            rows = [row for row in driver.text.splitlines() if row.lstrip().startswith("\u2551 ")]
            assert len(rows) == met.count(False)
            days = [c.expected_on for c in release.criteria if c.met is False and c.expected_on]
            told = [row.rstrip().rsplit("  ", 1)[-1].strip() for row in rows]
            said = [day_month(day, screen.status.on) for day in sorted(days)]
            assert [day.split()[-2:] for day in told] == [day.split()[-2:] for day in said]
            seen += len(said)
    assert seen > 10
