"""Ending a quarantine on a large screen: what the days expected suppose is said."""

from datetime import timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.pages.release import ReleaseView, release_page
from tests.days import whole_day
from tests.tui.reading import SIZES, complaints


@pytest.mark.parametrize(("every", "said"), [(1, "look every day,"), (3, "look every 3 days,")])
def test_the_days_expected_say_what_they_suppose(
    few: Path, clock: SetClock, every: int, said: str
) -> None:
    start = clock.today()
    with Logbook(few, clock) as logbook:
        for number in range(4):
            day = local_noon(start + timedelta(every * number))
            enter_look(logbook, day, "S03", LookEntered((), 200.0))
        today = whole_day(logbook, start + timedelta(3 * every))
        status = next(status for status in today.ordered if status.code == "S03")
        view = ReleaseView(status, today.choices, "", None, None)
        text = " ".join(release_page(view, 120, 40).text().split())
        assert said in text
        assert "and 18 degC, the mean of the last 14 days" in text
        for size in SIZES:
            assert complaints(release_page(view, *size), plain=True) == []
