"""From insects on a new plant to its return, insects again, and a delivery: a year by keys alone.

Every date is held against the day it has to be, across both changes of the clocks.
"""

import time
from datetime import date, datetime, timedelta
from datetime import time as time_of_day
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.service.courses.standing import courses_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.tui.pages.plant import lines_of
from rounds.tui.screens.courses import CoursesScreen
from rounds.tui.screens.desk import LINES
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.conftest import Driver, Opens

CAME = date(2026, 3, 18)
"""clocks go forward in Berlin on 29 March, day 11, and back on 25 October, day 221"""
FINDS = {0: 2, 1: 3, 2: 5, 3: 9, 4: 14, 9: 1}
SECOND_SPRAY, EVERY = 13, 3
"""its day; days between whole looks at which nothing is found"""
ENDS = 75
"""the day on which the last criterion, the chance clean, is met"""


@pytest.fixture(autouse=True)
def _in_berlin(monkeypatch: pytest.MonkeyPatch, _at_greenwich: None) -> None:
    """Local time of a place whose clocks change."""
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()


@pytest.fixture
def clock(_in_berlin: None) -> SetClock:
    """A clock that stands at half past seven on the day the plant came."""
    return SetClock(morning(0))


def morning(day: int) -> datetime:
    """Half past seven by the clock on the wall."""
    return datetime.combine(CAME + timedelta(day), time_of_day(7, 30)).astimezone()


class Keeper:
    """Whose hand is at the keys."""

    def __init__(self, driver: Driver) -> None:
        self.driver = driver
        # what is worked out between two keys is worked out for nobody
        driver.waits = False

    async def types(self, *lines: str) -> None:
        for line in lines:
            await self.driver.press(*("space" if c == " " else c for c in line), "enter")

    async def on(self, screen: type[PageScreen]) -> None:
        await self.driver.until(lambda: isinstance(self.driver.screen, screen), screen.__name__)

    async def says(self, *texts: str) -> None:
        """Sentences are on the page, over as many rows as they need."""

        def told() -> bool:
            said = " ".join(self.driver.text.split())
            return all(text in said for text in texts)

        await self.driver.until(told, f"{texts} on the page")

    async def wakes(self, day: int) -> None:
        """Another morning; the first screen shows it."""
        await self.goes_home()
        self.driver.clock.instant = morning(day)
        await self.driver.press("l", "q")

    async def goes_home(self) -> None:
        while not isinstance(self.driver.screen, TodayScreen):
            await self.driver.press("q")

    async def looks(self, *, find: int = 0, asked: str = "", answer: str = "") -> None:
        """A round of a minute at the one plant, and the answer to what is asked at its end."""
        driver = self.driver
        if not isinstance(driver.screen, RoundScreen):
            await driver.press("enter")
            await self.on(RoundScreen)
        assert isinstance(driver.screen, RoundScreen)
        while driver.screen.view.zone is not None and driver.screen.view.zone.zone != "axils":
            await driver.look(8, "space")
        await driver.look(30, *(f"{find}f" if find else ""))
        await driver.look(14, "v")
        if asked:
            await self.says(asked)
            await driver.press(answer, "v")
        await self.says("S03 done")
        await driver.press("space")
        await self.on(TodayScreen)

    async def opens(self, line: str, code: str = "S03") -> None:
        """A line of the page of a plant, by its code."""
        await self.goes_home()
        await self.driver.press(".", *code)
        await self.driver.shows(f"{code}  ")
        await self.driver.press("enter")
        await self.on(PlantScreen)
        screen = self.driver.screen
        assert isinstance(screen, PlantScreen)
        number = lines_of(screen.detail.status).index(line) + 1
        await self.driver.press(*str(number), "enter")

    async def begins(self, course: str, *keys: str, code: str = "S03") -> None:
        """A course, in its form, from its line on the page of the courses."""
        await self.opens("courses", code)
        await self.on(CoursesScreen)
        await self.driver.shows(f"begin: {course}")
        number = self.driver.row_with(f"begin: {course}").replace(">", "").split()[0]
        await self.driver.press(number, "enter", *keys, "pagedown", "y", "enter")
        await self.on(CoursesScreen)


async def looked(keeper: Keeper, first: int, last: int, **asked: str) -> None:
    """Days of finds, and every third one without: each round pressed key by key."""
    for day in range(first, last + 1):
        if day in FINDS or day % EVERY == 0:
            await keeper.wakes(day)
            await keeper.looks(find=FINDS.get(day, 0), **asked)
            record = keeper.driver.record("S03")
            assert record.on == CAME + timedelta(day)
            assert day not in FINDS or record.last_find_on == record.on
            assert day in FINDS or record.last_complete_look_on == record.on


async def test_a_year_from_the_first_insects_to_a_delivery(
    empty: Path, opened: Opens, clock: SetClock
) -> None:
    async with opened(empty) as driver:
        keeper = Keeper(driver)
        await keeper.types("porch shelf", "S03 Pintle", "", "s", "S03", "stair foot", "n", "")
        await keeper.types("10", "24", "")
        await driver.press("enter")
        await keeper.on(RoundScreen)
        with Logbook(empty, clock) as logbook:
            # what is learned of the eye has journeys of its own, and takes long
            choose(logbook, "own-eye", "off")
        await insects_are_lifted_and_sprayed(keeper, empty, clock)
        await quarantine_ends(keeper, empty, clock)
        await insects_come_back(keeper)
        await a_delivery_comes(keeper)


async def insects_are_lifted_and_sprayed(keeper: Keeper, path: Path, clock: SetClock) -> None:
    """Found on days 0 to 4 and 9; the roots cleaned on day 5, four sprays, the third late."""
    await keeper.looks(find=FINDS[0])
    await looked(keeper, 1, 4)
    await keeper.wakes(5)
    await keeper.begins("root clean-out", "enter", *"yes", "enter")
    await keeper.wakes(6)
    await keeper.begins("contact spray")
    await keeper.says("spray, 1 of 4 due today", "due today, 31 March, 7 April, 14 April")
    await keeper.goes_home()
    await keeper.looks(asked="Done?", answer="y")
    await looked(keeper, 7, 12)
    await keeper.wakes(SECOND_SPRAY)
    await keeper.opens("courses")
    await keeper.driver.press("1", "enter", "y")
    await keeper.says("saved: spray, 2 of 4, done today")
    await looked(keeper, 14, 20)
    await keeper.wakes(21)
    # missed, it waits, and the one after it keeps its distance
    await keeper.says("spray, 3 of 4 S03 Pintle due since 7 April")
    await keeper.opens("courses")
    await keeper.says("done 24 March, 31 March; due 7 April, 15 April")
    await keeper.goes_home()
    await keeper.looks(asked="Done?", answer="z")
    await looked(keeper, 22, 26, asked="Done?", answer="z")
    await keeper.wakes(27)
    await keeper.looks(asked="Done?", answer="y")
    await looked(keeper, 28, 33)
    await keeper.wakes(34)
    await keeper.says("spray, 4 of 4 S03 Pintle due today", "check roots S03 Pintle")
    await keeper.opens("courses")
    await keeper.driver.press("1", "enter", "y")
    await keeper.says("saved: spray, 4 of 4, done today")
    await keeper.goes_home()
    await keeper.opens("repot")
    await keeper.types("", "no", "yes", "120")
    await keeper.driver.press("pagedown", "y", "enter")
    days = [
        [(step.done_on - CAME).days for step in course.done if step.done_on is not None]
        for course in courses_of(keeper.driver.record("S03"))
    ]
    assert days == [[5], [6, 13, 27, 34]]


async def quarantine_ends(keeper: Keeper, path: Path, clock: SetClock) -> None:
    """Refused a day early, ended on the day that was named, put among the others and watched."""
    driver = keeper.driver
    await looked(keeper, 35, ENDS - 1)
    await keeper.wakes(ENDS - 1)
    await keeper.says("1 June chance")
    await keeper.opens("end-quarantine")
    await keeper.on(ReleaseScreen)
    await driver.press("y")
    await keeper.says("blank cancels")
    await driver.press("enter")
    await keeper.goes_home()
    assert driver.record("S03").standing == "quarantine"
    await keeper.wakes(ENDS)
    await keeper.looks()
    await keeper.says("today nothing: ready")
    await keeper.opens("end-quarantine")
    await driver.press("y")
    await keeper.says("is watched until about 2 July")
    await driver.press("y")
    await keeper.says("S03 is at porch shelf")
    record = driver.record("S03")
    assert (record.standing, record.place_name()) == ("watch", "porch shelf")
    (period,) = record.plant.periods
    assert (period.ended_on, period.early) == (CAME + timedelta(ENDS), False)
    await keeper.wakes(ENDS + 20)
    await driver.press("j")
    await keeper.says("2 July S03 Pintle")


async def insects_come_back(keeper: Keeper) -> None:
    """On day 154 its page says when it was cleared, and that nobody knows where they are from."""
    await keeper.wakes(154)
    await keeper.looks(find=1, asked="Quarantine from today?", answer="p")
    await keeper.opens("history")
    await keeper.driver.press("q")
    said = f"cleared {154 - ENDS} days ago; survivors or new arrivals cannot be told apart"
    await keeper.says(said)


async def a_delivery_comes(keeper: Keeper) -> None:
    """Twenty on the day the clocks go back: six opened, one found on, all taken and sprayed."""
    driver = keeper.driver
    await keeper.wakes(221)
    await driver.press("0", "enter", str([code for code, _ in LINES].index("delivery") + 1))
    await driver.press("enter")
    await keeper.types("the ferry", "20", "Capstan", "", "", "small", "", "6")
    await keeper.says("20 from the ferry", "6 to check (11 advised)")
    await driver.press("y", "enter")
    await keeper.says("check 6 of them: 0 done")
    await driver.press("enter")
    for unit in range(1, 7):
        await keeper.on(RoundScreen)
        await driver.look(50, *("2", "f", "a") if unit == 3 else ())
        await driver.look(20, "v")
        while isinstance(driver.screen, RoundScreen) and driver.screen.view.stage != "zone":
            await driver.press("space")
    await keeper.says("check 6 of them: 6 done", "Take it only with a course of treatment")
    await driver.press("2", "enter", "y")
    await keeper.says("saved, in quarantine: S04, S05")
    await keeper.begins("contact spray", *"2", "enter", "enter", *"yes", "enter", code="S06")
    await keeper.says("spray, 2 of 4 due 1 November", "done today; due 1 November, 8 November")
    await keeper.wakes(228)
    # with S03, which is in quarantine again, in one line
    await keeper.says("spray, 2 of 4 21 plants due today")
    number = driver.row_with("spray, 2 of 4").split()[0]
    await driver.press(number, "enter")
    await keeper.says("spray, 2 of 4 on S03: done today? y done v done on all 21")
    await driver.press("v")
    await keeper.says("saved: spray, 2 of 4, at all 21 plants, done today")
    await keeper.opens("courses", "S06")
    await keeper.says("done 25 October, today; due 8 November, 15 November")
    for code in ("S04", "S06", "S23"):
        (course,) = courses_of(driver.record(code))
        assert [step.done_on for step in course.done] == [date(2026, 10, 25), date(2026, 11, 1)]
        assert driver.record(code).standing == "quarantine"
