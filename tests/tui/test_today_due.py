"""Today where what is due does not fit, and on a day that is done, on pages of any size."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.day.day import Day
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import GAIN
from tests.days import whole_day
from tests.tui.conftest import Rows

TODAY = date(2026, 5, 4)
LONG_AGO = TODAY - timedelta(90)
SIZES = [(80, 24), (120, 40), (40, 24), (60, 20)]

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


@pytest.fixture
def shelf(add: Add, look: LookIn) -> None:
    """Twelve plants, of which eleven are due."""
    for number in range(1, 13):
        add(f"P{number:02}", on=LONG_AGO)
        look(f"P{number:02}", TODAY - timedelta(1 if number == 12 else 9))


@pytest.fixture
def shown(rows_of_today: Rows) -> Rows:
    """The rows without what stands before and after them."""

    async def rows(day: Day, size: tuple[int, int]) -> list[str]:
        return [row.strip() for row in await rows_of_today(day, size)]

    return rows


def row_with(text: str, rows: list[str]) -> str:
    return next(row for row in rows if text in row)


@pytest.mark.parametrize("size", SIZES)
async def test_the_minutes_that_would_hold_what_is_due_are_told_and_nothing_is_cut(
    shelf: None, logbook: Logbook, shown: Rows, size: tuple[int, int]
) -> None:
    rows = await shown(whole_day(logbook, TODAY, 1.0), size)
    assert ".." not in row_with("minutes", [row for row in rows if "due" in row])
    if size[0] >= 80:
        assert "5 minutes would cover all that is due; no time for " in "\n".join(rows)
    else:
        assert "all due takes 5 minutes; 9 wait" in rows
    assert any(" of them due" in row or " due wait" in row for row in rows)


async def test_of_many_that_wait_as_many_are_named_as_there_is_room_for(
    shelf: None, logbook: Logbook, shown: Rows
) -> None:
    day = whole_day(logbook, TODAY, 1.0)
    narrow, wide = [row_with("would cover", await shown(day, size)) for size in SIZES[:2]]
    assert "P04, " in narrow
    assert narrow.endswith(" more")
    assert wide.endswith("P11")


@pytest.mark.parametrize("size", [(80, 24), (40, 24)])
async def test_who_with_insects_gets_too_little_is_told_with_how_much_more_they_need(
    add: Add, look: LookIn, logbook: Logbook, shown: Rows, size: tuple[int, int]
) -> None:
    for code in ("P01", "P02"):
        add(code, on=LONG_AGO, size="large")
        look(code, TODAY - timedelta(1), "axils", seconds=60, counts={"removed": 2})
    rows = await shown(whole_day(logbook, TODAY, 2.0), size)
    row = row_with(" insects", [row for row in rows if " need " in row])
    said = ("P01, P02 need ", "P02, P01 need ")
    assert row.startswith(said if size[0] >= 80 else "2 need ")


async def test_where_all_that_is_due_fits_nothing_is_said_of_it(
    shelf: None, logbook: Logbook, shown: Rows
) -> None:
    text = "\n".join(await shown(whole_day(logbook, TODAY, 60.0), (80, 24)))
    assert "would cover" not in text
    assert "of them due" not in text


@pytest.mark.parametrize("size", SIZES)
async def test_a_day_that_is_done_says_so_and_what_one_more_round_would_bring(
    shelf: None, logbook: Logbook, shown: Rows, size: tuple[int, int]
) -> None:
    day = whole_day(logbook, TODAY, 60.0)
    assert day.plan is not None
    planned = tuple(replace(p, claim=GAIN) for p in day.plan.plan)
    done = replace(day, plan=replace(day.plan, plan=planned, left_out=(), rounds=1))
    rows = await shown(done, size)
    assert "done: all that was due is checked" in rows
    again = row_with("one more round", rows)
    assert ".." not in again
    assert ("P01" in again) == (size[0] > 40)
    assert not [row for row in rows if row.startswith("first:")]


@pytest.mark.parametrize("size", SIZES)
async def test_what_enter_begins_with_and_how_a_find_is_quarantined_now_stand_in_one_sentence(
    shelf: None, logbook: Logbook, shown: Rows, look: LookIn, size: tuple[int, int]
) -> None:
    look("P12", TODAY - timedelta(1), "axils", counts={"removed": 2})
    day = whole_day(logbook, TODAY, 10.0)
    assert day.plan is not None
    walked = [planned.status.code for planned in day.plan.plan]
    # hands carry nothing: the plant with insects is walked after the others
    assert walked[-1] == "P12"
    rows = await shown(day, size)
    text = " ".join(rows)
    if size[0] >= 80:
        said = f"cleaner plants come first, from {walked[0]}; to quarantine P12 now: "
    else:
        said = f"cleaner plants come first, from {walked[0]}; to quarantine P12 now: "
    number = text[text.index(said) + len(said) :].split(",")[0]
    assert row_with("quarantine at once", rows).split()[0] == number


@pytest.mark.parametrize("size", SIZES)
async def test_where_the_find_is_all_there_is_no_other_plant_is_named_before_it(
    add: Add, logbook: Logbook, shown: Rows, look: LookIn, size: tuple[int, int]
) -> None:
    add("P01", on=LONG_AGO)
    look("P01", TODAY - timedelta(1), "axils", counts={"removed": 2})
    text = " ".join(await shown(whole_day(logbook, TODAY, 10.0), size))
    assert "to quarantine P01 now: 1, enter" in text
    assert "clean plants come first" not in text
