"""Charts and what if by keys: drawn, as rows, worked out beside the keys, and nothing written."""

from datetime import timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.screens.charts import ChartsScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.what_if import WhatIfScreen
from rounds.tui.widgets.plotted import MARKS
from tests.tui.conftest import Driver, Opens


def plotted(driver: Driver) -> list[str]:
    """The rows that have an upright axis."""
    return [row for row in driver.text.splitlines() if any(c in row for c in "\u2502\u2524")]


@pytest.fixture
def looked_at(few_for_long: Path, clock: SetClock) -> Path:
    """The same, S03 with a find and two whole looks since."""
    with Logbook(few_for_long, clock) as logbook:
        for ago, entered in (
            (12, LookEntered(("axils",), 30.0, {"removed": 2})),
            (5, LookEntered((), 60.0)),
            (2, LookEntered((), 60.0)),
        ):
            day = clock.today() - timedelta(days=ago)
            enter_look(logbook, local_noon(day), "S03", entered)
    return few_for_long


async def test_the_charts_of_a_plant_are_drawn_and_read(looked_at: Path, opened: Opens) -> None:
    async with opened(looked_at) as driver:
        assert driver.app.logbook is not None
        driver.app.push_screen(PlantScreen(driver.app.logbook, "S03"))
        await driver.whole()
        assert "j charts" in driver.text
        await driver.press("j")
        assert isinstance(driver.screen, ChartsScreen)
        await driver.shows("insects found", "1 of 2", "across: day")
        assert plotted(driver)
        await driver.press("o")
        await driver.shows("what was done", "o drawn")
        assert plotted(driver) == []
        await driver.press("o", "space")
        await driver.shows("Chance clean today: ", "2 of 2", MARKS["was"])
        assert any(MARKS["asked"] in row for row in plotted(driver))
        # no room for a drawing: the same is read
        await driver.resize(40, 14)
        assert plotted(driver) == []
        await driver.shows("expected", "more below")
        await driver.resize(80, 24)
        await driver.press("space", "q")
        assert isinstance(driver.screen, PlantScreen)


async def test_the_charts_of_all_plants_are_gone_through_from_the_menu(
    looked_at: Path, opened: Opens
) -> None:
    async with opened(looked_at) as driver:
        assert driver.app.logbook is not None
        driver.app.push_screen(ChartsScreen(driver.app.logbook))
        await driver.whole()
        seen = []
        for _ in range(6):
            seen.append(driver.text.splitlines()[0].split("  ")[1])
            await driver.press("space")
        assert len(set(seen)) == 6
        assert driver.text.splitlines()[0].split("  ")[1] == seen[0]


async def test_the_day_moves_as_a_line_is_changed_and_nothing_is_written(
    looked_at: Path, opened: Opens
) -> None:
    async with opened(looked_at) as driver:
        assert driver.app.logbook is not None
        before = driver.app.logbook.stamp()
        driver.app.push_screen(PlantScreen(driver.app.logbook, "S03"))
        await driver.whole()
        # from the page that ends a quarantine
        await driver.press("2", "enter", "enter")
        assert isinstance(driver.screen, WhatIfScreen)
        await driver.shows("as it goes", "nothing is saved")
        said = driver.text.splitlines()[3]
        await driver.press("3", "enter", "right")
        assert driver.screen.what.celsius is not None
        await driver.shows("later than")
        assert driver.text.splitlines()[3] != said
        await driver.press("x", "x")
        assert driver.text.splitlines()[3] == said
        await driver.press("x")
        await driver.shows("nothing here to undo")
        assert driver.app.logbook.stamp() == before
