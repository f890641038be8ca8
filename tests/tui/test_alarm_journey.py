"""Finds that rise ask to act at once: their line on today leads to what to do next, and goes."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.courses.written import Asked, treat
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.screens.coming import ComingScreen
from rounds.tui.screens.courses import CoursesScreen
from tests.tui.test_lives_journeys import on_screen

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
CAME = TODAY - timedelta(9)
ALARM = "finds rising: act now"
BEHIND = "is removing enough?"


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """S03 in quarantine, on which ever more is found."""
    return found_on(tmp_path / "logbook.db", clock, (2, 3, 5, 9, 14))


@pytest.fixture
def behind(tmp_path: Path, clock: SetClock) -> Path:
    """S03 in quarantine, on which about as much is found again and again."""
    return found_on(tmp_path / "behind.db", clock, (2, 1, 2, 1, 1))


def found_on(path: Path, clock: SetClock, counts: tuple[int, ...]) -> Path:
    """S03 in quarantine with so many finds, two days apart."""
    with Logbook(path, clock) as logbook:
        put_place(logbook, local_noon(CAME), "stair foot", PlaceDetails(apart=True, usual_c=22.0))
        details = PlantDetails(name="Pintle", size="small", place="stair foot", arrived=CAME)
        add_plant(logbook, local_noon(CAME), "S03", details)
        for days, count in zip((9, 7, 5, 3, 1), counts, strict=True):
            day = local_noon(TODAY - timedelta(days))
            enter_look(logbook, day, "S03", LookEntered(("axils",), 180.0, {"removed": count}))
    return path


async def test_the_line_leads_to_what_to_do_next(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.shows(ALARM)
        await driver.press("1", "enter")
        await on_screen(driver, CoursesScreen)
        await driver.shows("courses of treatment", "begin: contact spray")


async def test_on_the_next_days_it_leads_there_too(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.shows(ALARM)
        await driver.press("j")
        await on_screen(driver, ComingScreen)
        await driver.shows("finds rising")
        await driver.press("1", "enter")
        await on_screen(driver, CoursesScreen)


async def test_it_goes_once_a_course_is_begun(path: Path, opened: Opened) -> None:
    with Logbook(path) as logbook:
        treat(logbook, local_noon(TODAY), ["S03"], Asked("contact-spray"))
    async with opened(path) as driver:
        await driver.shows("spray, 1 of 4")
        assert ALARM not in driver.text


async def test_finds_that_go_on_without_rising_lead_there_too_until_a_course_is_begun(
    behind: Path, opened: Opened
) -> None:
    async with opened(behind) as driver:
        await driver.shows(BEHIND)
        assert ALARM not in driver.text
        await driver.press("1", "enter")
        await on_screen(driver, CoursesScreen)
        await driver.press("q")
        await driver.shows(BEHIND)
        await driver.press("j")
        await on_screen(driver, ComingScreen)
        await driver.press("1", "enter")
        await on_screen(driver, CoursesScreen)
    with Logbook(behind) as logbook:
        treat(logbook, local_noon(TODAY), ["S03"], Asked("contact-spray"))
    async with opened(behind) as driver:
        await driver.shows("spray, 1 of 4")
        assert BEHIND not in driver.text


async def test_finds_that_rise_are_told_once(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.shows(ALARM)
        assert BEHIND not in driver.text
