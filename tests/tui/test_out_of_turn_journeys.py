"""In the round by keys: a plant put off, and any other opened for a find just seen."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import local_noon
from rounds.tui.screens.others import OthersScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.reading import complaints

Opened = Callable[..., AbstractAsyncContextManager[Any]]
SIZES = [(80, 24), (120, 40), (40, 24)]
TODAY = date(2026, 5, 4)
A_WHILE_AGO = TODAY - timedelta(40)
PLANTS = (
    ("G02", "Thole", "porch shelf", "1"),
    ("G04", "Cuddy Rose", "porch shelf", "5"),
    ("G05", "Halyard", "porch shelf", "2"),
    ("S01", "Bight", "seedling bench", None),
)


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """Four plants of the collection, all due, on two benches."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        came = local_noon(A_WHILE_AGO)
        put_place(logbook, came, "porch shelf", PlaceDetails())
        put_place(logbook, came, "seedling bench", PlaceDetails())
        for code, name, place, spot in PLANTS:
            here = PlantDetails(name=name, size="small", place=place, spot=spot, already_here=True)
            add_plant(logbook, came, code, here)
        choose(logbook, "second-looks", "off")
        logbook.keep_minutes(30.0)
    return path


def at(driver: Any) -> str:
    return str(driver.screen.view.plant.code)


def zone(driver: Any) -> str:
    return str(driver.screen.view.zone.zone)


@pytest.mark.parametrize("size", SIZES)
async def test_a_plant_is_put_off_by_three_keys_and_comes_at_the_end(
    opened: Opened, path: Path, size: tuple[int, int]
) -> None:
    async with opened(path, size=size) as driver:
        await driver.press("enter")
        first = at(driver)
        await driver.press("z")
        assert f"put {first} off?" in driver.text
        assert "1 to the end of the round" in driver.text
        assert complaints(driver.page, plain=False) == []
        await driver.press("1")
        assert "2 still wet" in driver.text
        assert complaints(driver.page, plain=False) == []
        await driver.press("2")
        assert at(driver) != first
        assert f"{first} put off to the end" in " ".join(driver.text.split())
        met = []
        while driver.screen.view.stage == "zone":
            met.append(at(driver))
            await driver.press("v")
        assert met[-1] == first
        assert len(met) == len(PLANTS)


@pytest.mark.parametrize("size", SIZES)
async def test_put_off_to_tomorrow_the_summary_and_today_say_so(
    opened: Opened, path: Path, size: tuple[int, int]
) -> None:
    async with opened(path, size=size) as driver:
        await driver.press("enter")
        first = at(driver)
        await driver.press("z", "2", "space")
        while driver.screen.view.stage == "zone":
            assert at(driver) != first
            await driver.press("v")
        assert "put off to tomorrow" in driver.text
        assert first in driver.text
        await driver.press("x")
        assert isinstance(driver.screen, RoundScreen)
        assert driver.screen.view.stage == "zone"
        await driver.press("v", "space")
        assert isinstance(driver.screen, TodayScreen)
        left = {left.status.code: left.reason.code for left in driver.screen.day.plan.left_out}
        assert left == {first: "put-off"}


@pytest.mark.parametrize("size", SIZES)
async def test_two_presses_and_a_count_open_another_plant_and_space_leads_back(
    opened: Opened, path: Path, size: tuple[int, int], wait: Callable[[float], None]
) -> None:
    async with opened(path, size=size) as driver:
        await driver.press("enter", "space")
        assert (at(driver), zone(driver)) == ("G02", "undersides")
        wait(11)
        await driver.press("l")
        assert isinstance(driver.app.screen, OthersScreen)
        assert complaints(driver.page, plain=False) == []
        assert "next to G02" in driver.text
        # the nearest stands first
        await driver.press("1")
        assert "G05: at which zone did you see something?" in " ".join(driver.text.split())
        await driver.press("3", "f")
        assert (at(driver), zone(driver)) == ("G05", "axils")
        assert driver.screen.view.zone.counts.removed == 1
        assert complaints(driver.page, plain=False) == []
        await driver.press("z", "space")
        assert driver.screen.view.stage == "hygiene"
        await driver.press("space")
        assert (at(driver), zone(driver)) == ("G02", "undersides")
        assert round(driver.screen.view.zone.seconds) == 11
        [look] = driver.record("G05").log
        assert (look.zone, look.live()) == ("axils", 1)
        looks = {look.zone: look.outcome for look in driver.record("G02").log}
        assert looks["undersides"] == "partial", "it is open still"


@pytest.mark.parametrize("typed", ["s01", "S0", "big", "s"])
async def test_a_code_or_a_name_is_typed_as_far_as_it_is_needed(
    opened: Opened, path: Path, typed: str
) -> None:
    async with opened(path) as driver:
        await driver.press("enter", "l", *typed)
        assert isinstance(driver.app.screen, OthersScreen)
        await driver.press("enter")
        assert "S01: at which zone" in driver.text


async def test_figures_within_a_code_are_text_and_arrows_move_the_mark(
    opened: Opened, path: Path
) -> None:
    async with opened(path) as driver:
        await driver.press("enter", "l", "g", "0")
        assert [plant.code for plant in driver.screen.meant] == ["G05", "G04"]
        await driver.press("down", "enter")
        assert "G04: at which zone" in driver.text


async def test_an_empty_line_leaves_all_as_it_was(opened: Opened, path: Path) -> None:
    async with opened(path) as driver:
        await driver.press("enter")
        before = driver.screen.view.plant.code
        await driver.press("l", "g", "backspace", "enter")
        assert isinstance(driver.screen, RoundScreen)
        assert (at(driver), driver.screen.view.question) == (before, None)


async def test_a_name_nobody_has_says_so_and_takes_nothing(opened: Opened, path: Path) -> None:
    async with opened(path) as driver:
        await driver.press("enter", "l", "q", "q")
        assert "no plant starts with that" in driver.text
        await driver.press("enter")
        assert isinstance(driver.app.screen, OthersScreen)


async def test_undone_press_by_press_one_is_where_one_was(opened: Opened, path: Path) -> None:
    async with opened(path) as driver:
        await driver.press("enter", "space", "l", "1", "3", "w", "x")
        assert (at(driver), zone(driver)) == ("G05", "axils")
        await driver.press("x")
        assert (at(driver), zone(driver)) == ("G02", "undersides")
        assert "back at G02, undersides" in driver.text
        await driver.press("x")
        assert zone(driver) == "new-growth"
