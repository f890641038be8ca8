"""Ending a quarantine on a large screen: what the days expected suppose is said."""

from datetime import timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.screens.release import ReleaseScreen
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
