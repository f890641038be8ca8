"""Going back from quarantine by keys: what stands there is said before the answer."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.apart import put_apart
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.claims import move_out_since
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.reading import SIZES, complaints

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
LONG_AGO = TODAY - timedelta(60)


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """G02 may rejoin the others on the porch shelf, where G06 had insects three days ago."""
    path = tmp_path / "back.db"
    with Logbook(path, clock) as logbook:
        first = local_noon(LONG_AGO)
        put_place(logbook, first, "porch shelf", PlaceDetails(usual_c=22.0))
        put_place(logbook, first, "seedling bench", PlaceDetails(usual_c=22.0))
        put_place(logbook, first, "stair foot", PlaceDetails(apart=True, usual_c=22.0))
        for code, name in (("G02", "Thole"), ("G06", "Cuddy")):
            details = PlantDetails(
                name=name, size="small", place="porch shelf", spot="spot 4", already_here=True
            )
            add_plant(logbook, first, code, details)
        put_apart(logbook, first, "G02")
        for days in range(2, 61, 2):
            moment = local_noon(LONG_AGO + timedelta(days))
            enter_look(logbook, moment, "G02", LookEntered((), 120.0))
            if days in (30, 50):
                roots = LookEntered(("roots",), 120.0, unpotted=True)
                enter_look(logbook, moment, "G02", roots)
        found = LookEntered(("axils",), 60.0, {"left": 6})
        enter_look(logbook, local_noon(TODAY - timedelta(3)), "G06", found)
    return path


async def to_release(driver: Any) -> None:
    line = driver.row_with("Thole").split()[0]
    await driver.press(line.strip(">"), "enter", "1", "enter")
    await driver.until(lambda: isinstance(driver.screen, ReleaseScreen), "end of quarantine")


@pytest.mark.parametrize("size", SIZES)
async def test_what_stands_there_is_said_before_the_question(
    path: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(path, size) as driver:
        await to_release(driver)
        said = " ".join(driver.text.split())
        assert "At porch shelf, spot 4, beside G06 (alive 1 May): chance clean" in said
        assert "in 14 days without a look" in said
        assert "Better seedling bench:" in said
        assert complaints(driver.page, plain=True) == []


async def test_the_better_place_is_offered_first_and_then_the_old_one(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await to_release(driver)
        await driver.press("y")
        await driver.shows("move G02 to seedling bench? chance clean there")
        await driver.press("n")
        await driver.shows(
            "move G02 to porch shelf, spot 4, beside G06 (alive 1 May)? not advised:",
            "chance clean there in 14 days: 31 in 100",
        )
        await driver.press("n")
        await driver.shows("G02 is still in the quarantine place, on watch until about")
        await driver.shows("G02 is still in the quarantine place: move it soon")
        assert driver.record("G02").place_name() == "stair foot"
        await driver.press("q")
        await driver.shows("released, but still in the quarantine place: move it")
        await driver.press("q")
        await driver.until(lambda: isinstance(driver.screen, TodayScreen), "today")
        await driver.shows("released: move it out")


async def test_moved_out_later_it_is_told_before_the_answer_too(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await to_release(driver)
        await driver.press("y", "n", "n", "q")
        await driver.shows("3   move")
        await driver.press("3", "enter", *"porch", "enter", "pagedown")
        said = " ".join(driver.text.split())
        assert "write it? G02 Thole" in said
        assert "At porch shelf, beside G06 (alive 1 May): chance clean" in said
        assert "Better seedling bench" in said
        await driver.press("y")
        await driver.press("enter")
        assert move_out_since(driver.record("G02")) is None


async def test_put_at_the_better_place_nothing_is_left_to_do(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await to_release(driver)
        await driver.press("y", "y")
        await driver.shows("G02 is at seedling bench now")
        record = driver.record("G02")
        assert (record.standing, record.place_name()) == ("watch", "seedling bench")
        await driver.press("q", "q")
        await driver.until(lambda: isinstance(driver.screen, TodayScreen), "today")
        assert "move it out" not in driver.text
