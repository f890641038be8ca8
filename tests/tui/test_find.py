"""Every plant, page and act is found by its name, from any screen of the desk."""

from typing import Any

import pytest

from rounds import words
from rounds.tui.pages.plant import lines_of
from rounds.tui.screens.courses import CoursesScreen
from rounds.tui.screens.desk import LINES, DeskScreen, name_of
from rounds.tui.screens.doubts import DoubtsScreen
from rounds.tui.screens.find import FindScreen
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.settings import SettingsScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.conftest import Opens


async def find(driver: Any, text: str) -> None:
    """The key, and words."""
    await driver.press(".", *("space" if c == " " else c for c in text))


def meant(driver: Any) -> list[str]:
    """What stands in the list."""
    assert isinstance(driver.screen, FindScreen)
    return [found.text for found in driver.screen.meant]


@pytest.mark.parametrize("way", [(), ("l",), ("u",), ("j",), ("0", "enter"), ("1", "enter")])
async def test_a_plant_is_found_from_every_list(
    demo: Any, opened: Opens, way: tuple[str, ...]
) -> None:
    async with opened(demo) as driver:
        await driver.press(*way)
        await find(driver, "tog")
        assert meant(driver)[0] == "S04  Toggle"
        await driver.press("enter")
        assert isinstance(driver.screen, PlantScreen)
        assert driver.screen.code == "S04"


async def test_all_that_can_be_done_with_a_plant_is_found(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        await find(driver, "mov s04")
        assert len(meant(driver)) == 1
        await driver.press("enter")
        assert isinstance(driver.screen, FormScreen)
        await driver.press("pagedown", "q")
        assert isinstance(driver.screen, PlantScreen)
        # of the only plant that is meant everything is listed
        await find(driver, "s03")
        # its page, each line of that page, its charts, and in quarantine what if
        (status,) = [s for s in driver.app.days.today().ordered if s.code == "S03"]
        assert len(meant(driver)) == 1 + len(lines_of(status)) + 2
        await driver.press(*["down"] * (1 + lines_of(status).index("end-quarantine")), "enter")
        assert isinstance(driver.screen, ReleaseScreen)
        await find(driver, "all")
        assert meant(driver)[0] == "all plants"


async def test_treatment_finds_a_course_that_is_due_too(demo: Any, opened: Opens) -> None:
    async with opened(demo) as driver:
        (status,) = [s for s in driver.app.days.today().ordered if s.code == "S09"]
        assert status.courses
        await find(driver, "s09 treat")
        (name,) = meant(driver)
        assert name.startswith("S09  Marline: course due")
        await driver.press("enter")
        assert isinstance(driver.screen, CoursesScreen)


@pytest.mark.parametrize("code", [code for code, _ in LINES])
async def test_every_line_of_the_desk_is_found_by_its_words(
    few: Any, opened: Opens, code: str
) -> None:
    async with opened(few) as driver:
        await find(driver, name_of(code))
        assert name_of(code) in meant(driver)
        await driver.press("enter")
        assert not isinstance(driver.screen, TodayScreen | DeskScreen | FindScreen)


async def test_pages_and_acts_begin_at_today(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        await driver.press("l", "1", "enter")
        await find(driver, words.say("find.pages.doubts"))
        await driver.press("enter")
        assert isinstance(driver.screen, DoubtsScreen)
        await find(driver, "minutes")
        await driver.press("enter", *"25", "enter")
        assert isinstance(driver.screen, TodayScreen)
        await driver.shows("25 minutes planned")
        await find(driver, "settings")
        await driver.press("enter")
        assert isinstance(driver.screen, SettingsScreen)
        await driver.press("q")
        assert isinstance(driver.screen, DeskScreen)
        await find(driver, "begin")
        await driver.press("enter")
        assert isinstance(driver.screen, RoundScreen)


async def test_an_empty_line_leaves_all_as_it_was(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        await driver.press("l", ".")
        assert len(meant(driver)) > 10
        await driver.press("enter")
        assert isinstance(driver.screen, PlantsScreen)
        await find(driver, "nobody")
        assert meant(driver) == []
        await driver.shows("nothing has that name")
        await driver.press("enter")
        assert isinstance(driver.screen, FindScreen)


async def test_where_letters_are_text_the_key_is_text(few: Any, opened: Opens) -> None:
    async with opened(few) as driver:
        await driver.press("m", *"2.5")
        assert driver.screen.typed == "2.5"
