"""The next days on the screen: from today by one key, and on to the plant of a line."""

from datetime import timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.service.coming import TOLD, Coming
from rounds.service.logbook import Logbook
from rounds.service.standing import PlantRecord
from rounds.tui.pages.coming import ComingView, coming_page
from tests.tui.conftest import Opens
from tests.tui.reading import complaints
from tests.tui.tours import worked_out


async def test_a_line_of_the_next_days_opens_its_plant_and_one_comes_back(
    demo: Path, opened: Opens
) -> None:
    async with opened(demo) as driver:
        await worked_out(driver)
        await driver.press("j")
        await driver.shows("next days", "to 18 May", "if looks go on as they have")
        assert driver.row_with("16 May").split() == [
            *("7", "║", "16", "May", "G07", "Lanyard", "roots", "out", "of", "the", "pot"),
        ]
        await driver.press("7", "enter")
        await driver.shows("G07  Lanyard", "enter a look")
        await driver.press("q")
        await driver.shows("next days")
        assert driver.row_with("16 May").startswith("  >  7")
        await driver.press("q")
        await driver.shows("enter  begin the round")


@pytest.mark.parametrize(
    ("size", "said"),
    [((80, 24), "may rejoin the others"), ((60, 20), "may rejoin"), ((40, 24), "may rejoin")],
)
def test_every_kind_is_said_in_its_words(
    demo: Path, clock: SetClock, size: tuple[int, int], said: str
) -> None:
    day = clock.today()
    with Logbook(demo, clock) as logbook:
        plant = logbook.collection().plant("S05")
        assert plant is not None
        record = PlantRecord(logbook, plant, day)
        kinds = ("release", "roots", "watch", *TOLD)
        lines = [Coming(day + timedelta(1), record, kind) for kind in kinds]
        page = coming_page(ComingView(day, lines, ["G07"], 18.0, 0, ""), *size)
    assert complaints(page, plain=True) == []
    rows = [row for row in page.text().splitlines() if "S05" in row]
    assert len(rows) == len(set(row[12:] for row in rows)) == len(kinds)
    assert rows[0].endswith(said)
    assert "still being worked out: G07" in page.text()
    assert ".." not in page.text()


async def test_an_empty_logbook_expects_nothing(empty: Path, opened: Opens) -> None:
    async with opened(empty) as driver:
        await driver.press("j")
        await driver.shows("nothing is expected in the next 14 days")
        await driver.press("q")
        await driver.shows("no plants yet")
