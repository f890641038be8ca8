"""Days on the screens where a clock does what is rare: travel, both its changes, 29 February."""

import time
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import local_noon
from tests.tui.touring import plant, press

Opens = Callable[..., AbstractAsyncContextManager[Any]]
GoTo = Callable[[str], None]

BERLIN = "CET-1CEST,M3.5.0,M10.5.0/3"
AUCKLAND = "NZST-12NZDT,M9.5.0,M4.1.0/3"
NEW_YORK = "EST5EDT,M3.2.0,M11.1.0"


@pytest.fixture
def go_to(monkeypatch: pytest.MonkeyPatch) -> GoTo:
    """Take the machine to another time zone, by its rule as POSIX writes it."""

    def go(zone: str) -> None:
        monkeypatch.setenv("TZ", zone)
        time.tzset()

    return go


def collection(path: Path, clock: SetClock, came: date) -> Path:
    """G02, which was always there, and S03, in quarantine since a day."""
    with Logbook(path, clock) as logbook:
        moment = local_noon(came)
        put_place(logbook, moment, "porch shelf", PlaceDetails())
        put_place(logbook, moment, "stair foot", PlaceDetails(apart=True, usual_c=18.0))
        here = PlantDetails("Thole", place="porch shelf", size="small", already_here=True)
        add_plant(logbook, moment, "G02", here)
        new = PlantDetails("Pintle", place="stair foot", size="small", arrived=came)
        add_plant(logbook, moment, "S03", new)
        choose(logbook, "second-looks", "off")
    return path


async def count_one(driver: Any) -> None:
    """A round begun, one counted at its first zone, that closed, and left."""
    await driver.press("enter", "f", "z", "space", "q")


def finds(driver: Any) -> list[tuple[date, int]]:
    """What was found on G02, by day."""
    return sorted((look.day, look.live()) for look in driver.record("G02").log if look.live())


async def test_who_flies_east_finds_the_look_on_the_day_it_was_made(
    tmp_path: Path, opened: Opens, clock: SetClock, go_to: GoTo
) -> None:
    go_to(BERLIN)
    clock.instant = datetime(2026, 5, 4, 20, 30, tzinfo=UTC)
    path = collection(tmp_path / "log.db", clock, date(2026, 5, 1))
    async with opened(path) as driver:
        assert "today 4 May" in driver.text
        await count_one(driver)
    go_to(AUCKLAND)
    async with opened(path) as driver:
        assert "today 5 May" in driver.text, "the same instant, a day on"
        await press(driver, plant("G02"))
        await driver.shows("streak 0 looks", "newest entry: 1 removed at new growth, 4 May")
        assert finds(driver) == [(date(2026, 5, 4), 1)]
        await press(driver, plant("S03"))
        await driver.shows("day 4 of quarantine")


async def test_who_flies_west_into_the_day_before_is_asked_about_the_clock(
    tmp_path: Path, opened: Opens, clock: SetClock, go_to: GoTo
) -> None:
    go_to(BERLIN)
    clock.instant = datetime(2026, 5, 4, 22, 30, tzinfo=UTC)
    path = collection(tmp_path / "log.db", clock, date(2026, 5, 1))
    async with opened(path) as driver:
        assert "today 5 May" in driver.text
        await count_one(driver)
    go_to(NEW_YORK)
    async with opened(path) as driver:
        await driver.shows("today 4 May", "there are looks of 5 May, after today")
        await count_one(driver)
    go_to(BERLIN)
    async with opened(path) as driver:
        await driver.shows("today 5 May")
        assert finds(driver) == [(date(2026, 5, 4), 1), (date(2026, 5, 5), 1)], (
            "both are kept, as entered"
        )


@pytest.mark.parametrize(
    ("before", "hours"),
    [
        (datetime(2026, 3, 29, 0, 59, 50, tzinfo=UTC), ("1:59", "3:00")),
        (datetime(2026, 10, 25, 0, 59, 50, tzinfo=UTC), ("2:59", "2:00")),
    ],
    ids=["an hour that is not", "an hour that is twice"],
)
async def test_a_change_of_the_clocks_within_a_round_moves_neither_seconds_nor_days(
    tmp_path: Path,
    opened: Opens,
    clock: SetClock,
    go_to: GoTo,
    before: datetime,
    hours: tuple[str, str],
) -> None:
    go_to(BERLIN)
    day = before.astimezone().date()
    clock.instant = before
    path = collection(tmp_path / "log.db", clock, day - timedelta(3))
    async with opened(path) as driver:
        await driver.press("enter", "f", "z")
        assert f"{before.astimezone():%H:%M}".lstrip("0") == hours[0]
        clock.instant += timedelta(seconds=20)
        clock.seconds += 20
        assert f"{clock.instant.astimezone():%H:%M}".lstrip("0") == hours[1]
        await driver.press("f")
        assert "removed      2" in driver.text
        assert "0:20 of about" in driver.text
        await driver.press("space", "q")
        (look,) = (look for look in driver.record("G02").log if not look.is_open)
        assert (look.day, look.seconds, look.live()) == (day, 20.0, 2)
        await press(driver, plant("S03"))
        await driver.shows("day 3 of quarantine")
    for days in (1, 2):
        # the same time on the clock, which is 23 or 25 hours later where the change lies between
        clock.instant = datetime.combine(
            day + timedelta(days), before.astimezone().time()
        ).astimezone()
        async with opened(path) as driver:
            await press(driver, plant("S03"))
            await driver.shows(f"day {3 + days} of quarantine")


async def test_29_february_is_a_day_like_any_other(
    tmp_path: Path, opened: Opens, clock: SetClock
) -> None:
    clock.instant = datetime(2028, 2, 29, 9, tzinfo=UTC)
    path = collection(tmp_path / "log.db", clock, date(2028, 2, 28))
    async with opened(path) as driver:
        assert "today 29 February" in driver.text
        await count_one(driver)
        await press(driver, plant("S03"))
        await driver.shows("day 1 of quarantine")
    clock.instant = datetime(2028, 3, 1, 9, tzinfo=UTC)
    async with opened(path) as driver:
        assert "today 1 March" in driver.text
        await press(driver, plant("G02"))
        await driver.shows("insects last found 29 February", "found 1 day ago")
        await press(driver, plant("S03"))
        await driver.shows("day 2 of quarantine")
    clock.instant = datetime(2029, 3, 1, 9, tzinfo=UTC)
    async with opened(path) as driver:
        await press(driver, plant("G02"))
        await driver.shows("29 February 2028")


@pytest.mark.parametrize(
    ("year", "is_there"), [(2028, True), (2027, False)], ids=["leap year", "none"]
)
async def test_29_february_is_typed_only_where_there_is_one(
    tmp_path: Path, opened: Opens, clock: SetClock, year: int, is_there: bool
) -> None:
    clock.instant = datetime(year, 3, 4, 9, tzinfo=UTC)
    path = collection(tmp_path / "log.db", clock, date(year, 2, 20))
    async with opened(path) as driver:
        await press(driver, (*plant("G02"), "3", "enter"))
        await driver.shows("A quarantine place")
        await driver.press("down", "9", "down", "down", *"29 February", "pagedown")
        await driver.shows("from 29 February on" if is_there else "29 February")
        assert ("write it?" in driver.text) is is_there
