"""Charts and what if by keys: drawn, as rows, worked out beside the keys, and nothing written."""

from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.service.charts.chart import (
    Axis,
    Chart,
    Point,
    Series,
    Tick,
    class_axis,
    count_axis,
    share_axis,
    value,
)
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.screens.charts import ChartsScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.what_if import WhatIfScreen
from rounds.tui.widgets.plotted import MARKS, drawn
from tests.tui.conftest import Driver, Opens


def plotted(driver: Driver) -> list[str]:
    """The rows that have an upright axis."""
    return [row for row in driver.text.splitlines() if any(c in row for c in "\u2502\u2524")]


def rows_of(chart: Chart, width: int, height: int) -> list[str]:
    """A chart as text."""
    rows = []
    for cells in drawn(chart, width, height):
        row = ""
        for cell in cells:
            row = row.ljust(cell.column) + cell.text
        rows.append(row)
    return rows


def chart_of(across: Axis, up: Axis, *series: Series, of_classes: bool = False) -> Chart:
    """A chart of some series alone."""
    return Chart("", "", "", "", across, up, series, (), (), of_classes=of_classes)


@pytest.mark.parametrize("height", [10, 12, 14, 20, 30])
def test_what_is_needed_has_a_row_below_100_and_the_line_meets_it_when_it_is_reached(
    height: int,
) -> None:
    days = Axis(0, 10, (Tick(0, "0"),), "day")
    ahead = Series("ahead", "ahead", tuple(value(at, 0.84 + at / 80) for at in range(11)))
    asked = Series("asked", "needed", (value(0, 0.95), value(10, 0.95)))
    rows = rows_of(chart_of(days, share_axis("chance", asked=0.95), asked, ahead), 60, height)
    top = next(number for number, row in enumerate(rows) if row.startswith("100\u2524"))
    assert rows[top + 1].startswith(" 95\u2524")
    needed = rows[top + 1][4:]
    # reached on day 9 of 10, at nine tenths of the columns
    assert needed.index(MARKS["ahead"]) == pytest.approx(0.9 * 55, abs=4)
    assert MARKS["asked"] in needed


def test_names_of_counts_are_evenly_apart_and_columns_say_their_heights() -> None:
    days = Axis(0, 10, (Tick(0, "0"),), "week")
    found = Series("column", "found", tuple(Point(at, 0, at + 2) for at in (1, 5, 9)),
                   is_numbered=True)  # fmt: skip
    for height in range(10, 24):
        rows = rows_of(chart_of(days, count_axis(12, "insects"), found), 40, height)
        named = [number for number, row in enumerate(rows) if "\u2524" in row]
        assert len(named) >= 2
        assert len({after - before for before, after in pairwise(named)}) == 1
        text = "\n".join(row.partition("\u2524")[2] or row.partition("\u2502")[2] for row in rows)
        assert all(number in text for number in ("3", "7", "11"))


def test_one_mark_stands_where_yours_and_assumed_coincide() -> None:
    across, up = share_axis("found"), class_axis(["egg", "adult"])
    yours = Series("middle", "yours", (value(0.1, 2), value(0.7, 1)))
    assumed = Series("assumed", "assumed", (value(0.101, 2), value(0.8, 1)))
    rows = rows_of(chart_of(across, up, yours, assumed, of_classes=True), 60, 12)
    egg = next(row for row in rows if "egg\u2524" in row)
    adult = next(row for row in rows if "adult\u2524" in row)
    assert MARKS["alike"] in egg
    assert MARKS["middle"] not in egg
    assert MARKS["assumed"] not in egg
    assert MARKS["middle"] in adult
    assert MARKS["assumed"] in adult
    assert f"{MARKS['alike']} yours as assumed" in rows[0]


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
        await driver.shows("done", "o drawn")
        assert plotted(driver) == []
        await driver.press("o", "space")
        await driver.shows("Chance clean today: ", "2 of 2", MARKS["was"])
        assert any(MARKS["asked"] in row for row in plotted(driver))
        # no room for a drawing: the same is read
        await driver.resize(40, 14)
        assert plotted(driver) == []
        await driver.shows("expected", "more below, arrow keys scroll")
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
        for number in range(6):
            # until it is worked out all have one title
            await driver.shows(f"{number + 1} of 6")
            await driver.until(lambda: "charts over time" not in driver.text, "a chart")
            seen.append(driver.text.splitlines()[0].split("  ")[1])
            await driver.press("space")
        assert len(set(seen)) == 6
        await driver.shows("1 of 6")
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
        await driver.shows("as now", "nothing is saved")
        assert "x undo" not in driver.text
        said = driver.text.splitlines()[3]
        await driver.press("3", "enter", "right")
        assert driver.screen.what.celsius is not None
        await driver.shows("later than", "x undo")
        assert driver.text.splitlines()[3] != said
        # what must be met is reached where there is no room for all of it
        await driver.resize(40, 14)
        await driver.shows("more below, page keys scroll")
        await driver.press("pagedown", "pagedown", "pagedown")
        await driver.shows("more above, page keys scroll")
        assert "more below" not in driver.text
        await driver.resize(80, 24)
        await driver.press("x", "x")
        assert driver.text.splitlines()[3] == said
        await driver.press("x")
        await driver.shows("nothing here to undo")
        assert driver.app.logbook.stamp() == before
