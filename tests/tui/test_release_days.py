"""Ending a quarantine on a large screen: what the days expected suppose is said."""

from datetime import timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.pages.release import ReleaseView, release_page
from tests.tui.reading import SIZES, complaints


@pytest.mark.parametrize(("every", "said"), [(1, "look every day,"), (3, "looks every 3 days,")])
def test_the_days_expected_say_what_they_suppose(
    few: Path, clock: SetClock, every: int, said: str
) -> None:
    start = clock.today()
    with Logbook(few, clock) as logbook:
        for number in range(4):
            day = local_noon(start + timedelta(every * number))
            enter_look(logbook, day, "S03", LookEntered((), 200.0))
        plant = logbook.collection().plant("S03")
        assert plant is not None
        record = record_of(logbook, plant, start + timedelta(3 * every))
        view = ReleaseView(record, "stair foot", "apart", "", "", None, None)
        text = " ".join(release_page(view, 120, 40).text().split())
        assert said in text
        assert "and 18 degC, the mean of the last 14 days" in text
        for size in SIZES:
            assert complaints(release_page(view, *size), plain=True) == []
