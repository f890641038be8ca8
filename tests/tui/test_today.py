"""The first screen: what an empty logbook says, the minutes, and how a quarantine is ended."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    plant_gone,
    put_place,
)
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.tui.screens.doubts import DoubtsScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.today import TodayScreen

Opened = Callable[..., AbstractAsyncContextManager[Any]]


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """One invented plant in the collection, one apart."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        moment = now(clock)
        put_place(logbook, moment, "porch shelf", PlaceDetails())
        put_place(logbook, moment, "stair foot", PlaceDetails(apart=True))
        here = PlantDetails(name="Thole", size="small", place="porch shelf", already_here=True)
        add_plant(logbook, moment, "G02", here)
        new = PlantDetails(name="Pintle", size="small", place="stair foot")
        add_plant(logbook, moment, "S03", new)
    return path


async def test_where_all_plants_are_gone_a_plant_is_named(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    with Logbook(path, clock) as logbook:
        for code in ("G02", "S03"):
            plant_gone(logbook, now(clock), code, "given-away")
    async with opened(path) as driver:
        await driver.shows("no plants yet", "rounds place", "rounds add", "rounds demo")
        assert "enter  begin" not in driver.text
        await driver.press("1")
        await driver.shows("there is no line 1")
        assert isinstance(driver.screen, TodayScreen)
        await driver.press("m", "enter")
        await driver.shows("enter  name a plant")
        await driver.press("enter")
        await driver.shows("new plant")


async def test_minutes_are_kept(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.shows("10 minutes planned")
        await driver.press("m")
        await driver.shows("minutes for the round", "blank keeps 10")
        await driver.press("7", "5", "backspace", "enter")
        await driver.shows("7 minutes from now on", "7 minutes planned")
        # enter took the line and began nothing
        assert isinstance(driver.screen, TodayScreen)
    async with opened(path) as driver:
        await driver.shows("7 minutes planned")


async def test_other_minutes_say_what_they_change(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.press("m", "1", "enter")
        await driver.shows("1 minute from now on; 9 minutes fewer: 1 plant fewer fits")
        await driver.shows("1 of 2 plants fit", "1:00 of 1:00 min filled")
        await driver.press("m", "2", "enter")
        await driver.shows("2 minutes from now on; 1 more minute: 1 more plant fits")


async def test_the_order_of_the_walk_is_changed_and_kept(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.shows("G02  Thole", "o order")
        await driver.press("O")
        await driver.shows("strictly by risk now", "S03  Pintle               stair foot")
        await driver.press("down")
    async with opened(path) as driver:
        await driver.shows("strictly by risk ", "S03  Pintle               stair foot")
        await driver.press("o")
        await driver.shows("clean side first now", "G02  Thole                porch shelf")
        await driver.until(lambda: "strictly by risk" not in driver.text, "the usual order")


async def test_letters_are_text_while_minutes_are_typed(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.press("m", "q", "h", "M")
        await driver.shows("qhM_", "minutes for the round")
        assert driver.app.is_running
        await driver.press("enter")
        await driver.shows(
            "qhM is not a number of minutes; try 1 to 600, or blank", "10 minutes planned"
        )


@pytest.mark.parametrize("given", ["0", "601", "1e9", "-5", "nan", "inf"])
async def test_minutes_out_of_reach_are_refused(path: Path, opened: Opened, given: str) -> None:
    keys = ["minus" if character == "-" else character for character in given]
    async with opened(path) as driver:
        await driver.press("m", *keys, "enter")
        await driver.shows(f"{given} is not a number of minutes", "10 minutes planned")


async def test_an_empty_line_leaves_the_minutes(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.press("m", "enter")
        await driver.until(lambda: "minutes for the round" not in driver.text, "the line gone")
        await driver.shows("10 minutes planned")
        assert isinstance(driver.screen, TodayScreen)


async def test_a_number_then_enter_opens_its_line(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.shows("1 ║ S03  Pintle")
        await driver.press("1")
        await driver.shows("line 1: enter opens it", "enter  open it")
        await driver.press("enter")
        await driver.shows("S03  Pintle", ">  1   history", "2   end quarantine")
        assert isinstance(driver.screen, PlantScreen)
        await driver.press("2", "enter")
        await driver.shows("S03  Pintle", "needed before it may rejoin")
        assert isinstance(driver.screen, ReleaseScreen)
        await driver.press("n")
        await driver.until(lambda: isinstance(driver.screen, PlantScreen), "the plant again")
        await driver.press("q")
        await driver.until(lambda: isinstance(driver.screen, TodayScreen), "today again")
        # the number is spent: enter is the round again
        await driver.shows("enter  begin the round")
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.screen, RoundScreen), "the round")


async def test_another_key_forgets_the_number(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.press("1", "up")
        await driver.until(lambda: "line 1" not in driver.text, "the number forgotten")
        await driver.shows("enter  begin the round")
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.screen, RoundScreen), "the round")


async def test_ending_early_asks_for_a_reason_and_keeps_it(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.press("1", "enter", "2", "enter")
        await driver.shows("unmet", "y end it early")
        await driver.press("Y")
        await driver.shows("reason, then enter")
        await driver.press("q", "y", "space", "n", "enter")
        await driver.shows("S03: ended early, reason saved", "on watch from today")
        assert driver.record("S03").standing == "watch"
        (period,) = (p for p in driver.record("S03").plant.periods if p.kind == "quarantine")
        assert (period.early, period.reason) == (True, "qy n")
        await driver.press("q")
        await driver.shows("2   quarantine")
        await driver.press("q")
        await driver.shows("no plant in quarantine")


async def test_without_a_reason_it_stays_apart(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.press("1", "enter", "2", "enter", "y")
        await driver.shows("reason, then enter")
        await driver.press("space", "space", "enter")
        await driver.shows("y end it early")
        assert driver.record("S03").standing == "quarantine"
        await driver.press("q", "q")
        await driver.shows("1 ║ S03  Pintle")


async def test_markup_in_a_reason_is_plain_text(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.press("1", "enter", "2", "enter", "y")
        await driver.press("left_square_bracket", "slash", "b", "right_square_bracket")
        await driver.shows("[/b]_")


async def test_letters_lead_to_all_plants_and_to_the_doubts(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.shows("l plants")
        # no doubt is open: the key is not offered, and works
        assert "u unsure" not in driver.text
        for key, screen in (("l", PlantsScreen), ("L", PlantsScreen), ("u", DoubtsScreen)):
            await driver.press(key)
            await driver.until(lambda s=screen: isinstance(driver.app.screen, s), key)
            await driver.press("q")
            await driver.until(lambda: isinstance(driver.screen, TodayScreen), "today again")


async def test_q_leaves_the_program(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.press("q")
        await driver.until(lambda: not driver.app.is_running, "an end")
        assert driver.app.return_code == 0
