"""The chance clean by day is drawn where rows are to spare, and said in words above the curve."""

import re
from pathlib import Path

from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.widgets.plotted import MARKS
from tests.tui.conftest import Driver, Opens

WAS, AHEAD, ASKED = (MARKS[kind] for kind in ("was", "ahead", "asked"))
AXIS = "[\u2502\u2524]"


async def on_release(driver: Driver, code: str) -> None:
    """Its page, with all of it worked out."""
    assert driver.app.logbook is not None
    driver.app.push_screen(ReleaseScreen(driver.app.logbook, code))
    await driver.whole()


async def test_the_curve_is_told_in_words_and_its_marks_differ_without_colour(
    demo: Path, opened: Opens
) -> None:
    async with opened(demo, (120, 40)) as driver:
        await on_release(driver, "G07")
        await driver.shows("chance clean of 100: ", " today, ", "; 95 asked")
        rows = driver.text.splitlines()
        top = next(row for row, text in enumerate(rows) if f"{WAS} so far" in text) + 1
        plotted = [row for row in rows[top:] if re.search(AXIS, row)]
        figures = {re.split(AXIS, row)[0].strip(): row for row in plotted}
        assert ASKED in figures["95"]
        assert {"50", "0"} <= set(figures)
        # what was stands before what is expected, column by column
        was = [column for row in plotted for column, of in enumerate(row) if of == WAS]
        ahead = [column for row in plotted for column, of in enumerate(row) if of == AHEAD]
        assert was
        assert ahead
        assert max(was) < min(ahead)
        # the axis has the first day, today, and the last
        days = rows[rows.index(plotted[-1]) + 2].split()
        assert "today" in days
        assert len(days) >= 5
        # its highest point stands no lower than the line of what is asked
        asked_row = next(at for at, row in enumerate(plotted) if ASKED in row)
        assert AHEAD in "".join(plotted[: asked_row + 1])


async def test_where_rows_are_few_there_is_no_curve_and_nothing_else_changes(
    demo: Path, opened: Opens
) -> None:
    async with opened(demo) as driver:
        await on_release(driver, "G07")
        assert AHEAD not in driver.text
        assert "held down by: " in driver.text
