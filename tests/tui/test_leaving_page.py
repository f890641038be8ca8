"""Before leaving: what is to be done is read whole at any size."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.collection.away_entry import enter_away
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.tui.page import CUT
from tests.tui.conftest import Opens
from tests.tui.touring import desk_line

TODAY = date(2026, 5, 4)
CAME = TODAY - timedelta(30)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 24), (120, 40)])
async def test_what_is_to_be_done_before_leaving_is_read_whole(
    add: Add, look: LookIn, logbook: Logbook, opened: Opens, size: tuple[int, int]
) -> None:
    add("G02", "Thole", on=CAME)
    look("G02", TODAY - timedelta(2), "axils", counts={"removed": 2})
    for number in range(1, 9):
        add(f"S{number:02}", "Pintle", place="stair foot", arrived=CAME, on=CAME)
        look(f"S{number:02}", CAME, seconds=600)
    enter_away(logbook, now(logbook.clock), TODAY + timedelta(1), TODAY + timedelta(10))
    async with opened(logbook.file.path, size=size) as driver:
        await desk_line("leaving")(driver)
        assert "prints what to check." in " ".join(driver.text.split())
        assert CUT not in driver.text
        assert "quarantine at once" in driver.row_with("1   G02")
        task = "2:30 roots " if size[0] == 40 else "2:30 unpot, check roots, "
        assert task in driver.row_with("║ S03")
