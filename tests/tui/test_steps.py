"""A course on many plants: one line of today and of the next days, ticked off for one or all."""

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.courses.written import Asked, treat
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.pages.today_lines import lines_of
from rounds.tui.screens.coming import ComingScreen
from rounds.tui.screens.courses import CoursesScreen
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.steps import StepsScreen
from tests.tui.conftest import Opens
from tests.tui.reading import complaints
from tests.tui.test_lives_journeys import on_screen

TODAY = date(2026, 5, 4)
BEGAN = TODAY - timedelta(8)
CAME = BEGAN - timedelta(3)
CODES = [f"S{number:02}" for number in range(1, 9)]


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """Eight plants, sprayed once eight days ago; S05 dislikes wet leaves. S09 is to be lifted."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        put_place(logbook, local_noon(CAME), "stair foot", PlaceDetails(apart=True, usual_c=22.0))
        for code in (*CODES, "S09"):
            dislikes = ("wet-leaves",) if code == "S05" else ()
            details = PlantDetails(
                name="Capstan", size="small", place="stair foot", arrived=CAME, dislikes=dislikes
            )
            add_plant(logbook, local_noon(CAME), code, details)
        treat(logbook, local_noon(BEGAN), CODES, Asked("contact-spray", done=True))
        treat(logbook, local_noon(TODAY), ["S09"], Asked("lifting"))
    return path


def days_done(driver: Any) -> dict[str, list[date]]:
    """By plant, the days on which steps of its course were done."""
    found = {code: driver.record(code).lived.courses_on(TODAY)[0] for code in (*CODES, "S09")}
    return {code: [step.done_on for step in course.done] for code, course in found.items()}


async def says(driver: Any, text: str) -> None:
    await driver.until(lambda: text in " ".join(driver.text.split()), text)


async def to_the_steps(driver: Any) -> None:
    """From the line of today that stands for all of them."""
    await driver.shows("8 plants")
    number = [line.is_shared for line in lines_of(driver.screen.day)].index(True) + 1
    await driver.press(*str(number), "enter")
    await on_screen(driver, StepsScreen)


async def test_the_step_of_eight_plants_is_one_line_of_today_and_of_each_day_that_comes(
    path: Path, opened: Opens
) -> None:
    async with opened(path) as driver:
        sizes = ((80, 24), (40, 24), (60, 20), (120, 40))
        for size, page in (await driver.pages_at(sizes)).items():
            told = [row for row in page.text().splitlines() if "8 plants" in row]
            assert len(told) == 1, size
            assert "spray" in told[0], size
            assert "wet" in told[0], size
            assert ".." not in told[0], size
        await driver.press("j")
        await on_screen(driver, ComingScreen)
        screen: Any = driver.screen
        steps = [line for line in screen.lines if line.course is not None]
        assert [(line.on, line.about) for line in steps if line.is_shared] == [
            (TODAY, "8 plants"), (TODAY + timedelta(7), "8 plants"),
            (TODAY + timedelta(14), "8 plants"),
        ]  # fmt: skip
        # one alone opens the page of its courses, those of a day to come say what is before them
        at = next(n for n, line in enumerate(screen.lines) if line.course and line.code == "S09")
        await driver.press(*str(at + 1), "enter")
        await on_screen(driver, CoursesScreen)
        await driver.press("q")
        at = next(
            n
            for n, line in enumerate(screen.lines)
            if line.on > TODAY and line.is_shared and line.course
        )
        await driver.press(*str(at + 1), "enter")
        await on_screen(driver, StepsScreen)
        await says(driver, "A step before it is still to be done on S01.")
        await driver.press("y", "v", "enter")
        assert isinstance(driver.screen, StepsScreen)
        assert all(len(days) == 1 for code, days in days_done(driver).items() if code != "S09")


async def test_above_a_step_stand_as_many_cautions_as_there_is_room_for(
    path: Path, opened: Opens
) -> None:
    async with opened(path) as driver:
        await to_the_steps(driver)
        pages = await driver.pages_at(((80, 24), (40, 24), (120, 40)))
        said = {size: " ".join(page.text().split()) for size, page in pages.items()}
        # the first always, and where rows are spare the last too
        assert all("label" in text for text in said.values())
        assert "in the sun" in said[120, 40]
        for text, page in zip(said.values(), pages.values(), strict=True):
            assert complaints(page, plain=True) == []
            assert "done on all 8" in text


async def test_a_step_is_ticked_off_for_one_then_for_all_the_others_and_undone(
    path: Path, opened: Opens
) -> None:
    async with opened(path) as driver:
        await to_the_steps(driver)
        for page in (await driver.pages_at(((80, 24), (40, 24), (60, 20), (120, 40)))).values():
            assert complaints(page, plain=True) == []
            text = " ".join(page.text().split())
            assert "v done on all 8" in text
            # nobody is told to wet them without that word
            assert "S05" in text[text.index("dislike wet leaves:") :]
        await says(driver, "spray, 2 of 4 on S01: done today?")
        await driver.press("space", "y")
        await says(driver, "saved: spray, 2 of 4, done today at S02")
        assert days_done(driver)["S02"] == [BEGAN, TODAY]
        await says(driver, "v done on all 7")
        await driver.press("v")
        await says(driver, "saved: spray, 2 of 4, at all 7 plants, done today")
        await says(driver, "Done at all of them.")
        done = days_done(driver)
        assert done.pop("S09") == []
        assert set(map(tuple, done.values())) == {(BEGAN, TODAY)}
        await driver.press("x")
        await says(driver, "undo: spray, 2 of 4, at all 7 plants?")
        await driver.press("y")
        assert [code for code, days in days_done(driver).items() if len(days) == 2] == ["S02"]
        await driver.press("x")
        await says(driver, "undo: spray, 2 of 4, on S02?")
        await driver.press("n", "q")
        await driver.shows("7 plants")


async def test_a_step_done_on_an_earlier_day_is_entered_by_its_day_for_one_or_for_all(
    path: Path, opened: Opens
) -> None:
    async with opened(path) as driver:
        await to_the_steps(driver)
        await driver.press("3", "enter")
        await on_screen(driver, FormScreen)
        await driver.shows("S03 alone", "all 8 with that step", "today")
        await driver.press("enter", *"25", "space", *"April", "pagedown")
        await says(driver, "25 April is before the course at S03 was begun, on 26 April.")
        await driver.shows("n back to the lines")
        await driver.press("n", *["backspace"] * 12, *"yesterday", "pagedown")
        await says(driver, "write it? spray, 2 of 4: done 3 May on S03")
        await driver.press("y")
        await says(driver, "saved: spray, 2 of 4, done 3 May on S03")
        await driver.press("enter")
        assert days_done(driver)["S03"] == [BEGAN, TODAY - timedelta(1)]
        await driver.press("enter", "2", "enter", *"2", "space", *"May", "enter")
        await says(driver, "done 2 May on all 7 with that step; these dislike wet leaves: S05")
        await driver.press("y", "enter")
        days = days_done(driver)
        assert (days["S01"], days["S03"]) == (
            [BEGAN, TODAY - timedelta(2)], [BEGAN, TODAY - timedelta(1)]
        )  # fmt: skip
        await driver.press("x")
        await says(driver, "undo: spray, 2 of 4, at all 7 plants?")


async def test_of_one_plant_the_day_is_entered_from_the_page_of_its_courses(
    path: Path, opened: Opens
) -> None:
    async with opened(path) as driver:
        await driver.shows("remove by hand")
        screen: Any = driver.screen
        number = [line.code for line in lines_of(screen.day)].index("S09") + 1
        await driver.press(*str(number), "enter")
        await on_screen(driver, CoursesScreen)
        await driver.press("enter")
        await says(driver, "remove by hand, 1 of 4: done today? y done enter another day")
        await driver.press("y", "enter", "enter")
        await on_screen(driver, FormScreen)
        # the step that comes after one of today was not done before it
        await driver.press(*"yesterday", "pagedown")
        await says(driver, "3 May is before the course at S09 was begun, on 4 May.")
        await driver.press("n", *["backspace"] * 12, *"today", "pagedown", "y")
        assert days_done(driver)["S09"] == [TODAY, TODAY]


async def test_what_another_window_entered_meanwhile_is_not_entered_twice(
    path: Path, opened: Opens, clock: SetClock
) -> None:
    async with opened(path) as driver:
        await to_the_steps(driver)
        await driver.press("enter", "enter", "pagedown")
        await says(driver, "write it? spray, 2 of 4: done today on S01")
        with Logbook(path, clock) as other:
            treat(other, local_noon(TODAY), ["S01"], Asked("contact-spray", done=True))
        await driver.press("y")
        await says(driver, "That step was done at S01 on")
        assert days_done(driver)["S01"] == [BEGAN, TODAY]
