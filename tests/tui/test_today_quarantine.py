"""What today says of plants in quarantine, and of who comes then, on pages of any size."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from textual import events
from textual.geometry import Offset

from rounds.core.collection import Plant
from rounds.service.day.day import Day
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.plant.status import PlantStatus
from rounds.tui.page import CUT
from rounds.tui.pages.release import sentence
from rounds.tui.pages.today_lines import earliest_text, lines_of
from rounds.tui.screens.today import TodayScreen
from rounds.tui.widgets.sections import ListSections
from tests.days import whole_day
from tests.tui.conftest import Opens, Rows
from tests.tui.test_mouse import send

TODAY = date(2026, 5, 4)
CAME = TODAY - timedelta(30)
SIZES = [(80, 24), (120, 40), (40, 24), (60, 20)]

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


@pytest.fixture
def apart(add: Add, look: LookIn) -> None:
    """Insects were found on S03 yesterday, on S05 three weeks ago."""
    for code in ("S03", "S05"):
        add(code, "Pintle", place="stair foot", arrived=CAME, on=CAME)
    look("S05", TODAY - timedelta(21), "axils", counts={"removed": 1})
    for days in (14, 7, 1):
        look("S05", TODAY - timedelta(days), seconds=600)
    look("S03", TODAY - timedelta(1), "axils", counts={"removed": 2})


def row_of(code: str, rows: list[str]) -> str:
    return next(row for row in rows if f"║ {code}" in row)


def with_release(day: Day, change: Callable[[PlantStatus], PlantStatus]) -> Day:
    return replace(day, statuses={key: change(of) for key, of in (day.statuses or {}).items()})


@pytest.mark.parametrize("size", SIZES)
async def test_no_day_is_named_while_insects_are_known_to_live_on_a_plant(
    apart: None, logbook: Logbook, rows_of_today: Rows, size: tuple[int, int]
) -> None:
    day = whole_day(logbook, TODAY)
    expected = {of.code: of.release and of.release.expected_on for of in day.ordered}
    assert expected["S03"], "clean looks from now on would lead to a day"
    rows = await rows_of_today(day, size)
    alive, clean = row_of("S03", rows), row_of("S05", rows)
    assert "no date yet" in alive
    assert ("insects gone" in alive) == (size[0] >= 80)
    # nor is one named where its quarantine is ended, but as an if
    told = {of.code: sentence(of) for of in day.ordered if of.release}
    assert re.search(r"no date yet, .+; about .+ if no more are found", told["S03"])
    assert "no date yet" not in told["S05"]
    assert "no date yet" not in clean
    assert str(expected["S05"].day if expected["S05"] else "") in clean


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("named", "said"),
    [
        (date(2026, 6, 21), "was 21 June"),
        (date(2026, 9, 30), "calculating"),
        (None, "calculating"),
    ],
)
async def test_the_day_named_last_stands_as_such_while_that_of_today_is_worked_out(
    apart: None,
    logbook: Logbook,
    rows_of_today: Rows,
    size: tuple[int, int],
    named: date | None,
    said: str,
) -> None:
    def waits(of: PlantStatus) -> PlantStatus:
        assert of.release is not None
        release = replace(of.release, is_forecast=False, was_expected_on=named)
        return replace(of, release=release)

    day = with_release(whole_day(logbook, TODAY), waits)
    rows = await rows_of_today(day, size)
    assert said in row_of("S05", rows)
    assert "no date yet" in row_of("S03", rows)


def test_no_old_day_stands_beside_a_plant_that_is_probably_infested(
    apart: None, logbook: Logbook
) -> None:
    status = next(s for s in whole_day(logbook, TODAY).ordered if s.code == "S05")
    assert status.release is not None
    named = replace(status.release, is_forecast=False, was_expected_on=date(2026, 6, 21))
    status = replace(status, release=named)
    assert earliest_text(status) == "was 21 June"
    probable = replace(status.claim, code="alive", is_probable=True)
    assert earliest_text(replace(status, claim=probable)) == "no date yet"


@pytest.fixture
def many(add: Add, look: LookIn) -> None:
    """Fourteen plants in quarantine, one of which nobody has ever looked at; six others."""
    for number in range(1, 15):
        add(f"S{number:02}", "Pintle", place="stair foot", arrived=CAME, on=CAME)
    for number in range(1, 7):
        add(f"G{number:02}", "Thole", on=CAME)


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 24)])
async def test_what_has_no_row_is_counted_and_reached_by_keys_and_wheel(
    many: None, logbook: Logbook, opened: Opens, size: tuple[int, int]
) -> None:
    async with opened(logbook.file.path, size=size) as driver:
        assert isinstance(driver.screen, TodayScreen)
        seen = [row for row in driver.text.splitlines() if "║ S" in row]
        last = f"{len(lines_of(driver.screen.day))} ║ "
        hidden = f"{14 - len([row for row in seen if row.split()[1] == '║'])} more below"
        assert hidden in driver.text
        assert CUT not in driver.text
        await driver.press("pagedown", "pagedown")
        assert "below" not in driver.text
        assert last in driver.text
        await driver.press("pageup", "pageup")
        assert hidden in driver.text
        rows = next(iter(driver.screen.query(ListSections)))
        at = Offset(10, rows.region.y + 1)
        for _ in range(20):
            await send(driver, events.MouseScrollDown, at, button=0)
        await driver.shows(last)
        # a number brings its line in sight
        await driver.press("1")
        await driver.shows("line 1: enter opens it")


@pytest.mark.parametrize("size", [(80, 24), (80, 30), (40, 30), (120, 40)])
async def test_rows_to_spare_hold_the_plants_that_come_then(
    add: Add, logbook: Logbook, rows_of_today: Rows, size: tuple[int, int]
) -> None:
    for number in range(1, 30):
        add(f"P{number:02}", "Thole", on=CAME)
    day = whole_day(logbook, TODAY, 60.0)
    assert day.plan is not None
    rows = await rows_of_today(day, size)
    shown = [row for row in rows if row.strip()[:1] == "P"]
    said = next(row for row in rows if "more" in row).split()
    # the first stands above; with many rows it is listed too
    first = 1 if size[1] < 32 else 0
    assert len(shown) - 1 + first + int(said[0]) == len(day.plan.plan)
    empty = [row for row, following in pairwise(rows) if not (row or following)]
    assert len(empty) <= 2, "no room is left where more could stand"
