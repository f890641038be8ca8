"""What today says of plants in quarantine, and of who comes then, on pages of any size."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.day.day import Day
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.plant.status import PlantStatus
from tests.days import whole_day
from tests.tui.conftest import Rows

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
    assert ("alive 3 May" in alive) == (size[0] >= 80)
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
