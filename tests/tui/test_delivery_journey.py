"""A delivery by keys alone: what came is typed, looked at zone by zone, and taken or left."""

from datetime import date
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.service.arrival.drafted import is_drafted
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant
from rounds.tui.screens.arrival import ArrivalScreen
from rounds.tui.screens.desk import LINES
from rounds.tui.screens.round import RoundScreen
from tests.tui.conftest import Opens
from tests.tui.reading import complaints
from tests.tui.touring import worked_out

DAY = date(2026, 5, 4)
LINE = str([code for code, _ in LINES].index("delivery") + 1)


def letters(text: str) -> list[str]:
    return ["space" if letter == " " else letter for letter in text]


async def begin(driver: object, units: str = "4", opened: str = "2") -> None:
    """From today to the page of a delivery from the ferry."""
    press = driver.press  # type: ignore[attr-defined]
    await press("0", "enter", *LINE, "enter")
    await driver.shows("a delivery", "came from")  # type: ignore[attr-defined]
    for given in ("the ferry", units, "Capstan", "", "", "", "", opened):
        await press(*letters(given), "enter")
    await driver.shows("begin checking it?", f"{units} from the ferry")  # type: ignore[attr-defined]
    await press("y")
    await driver.shows(f"ready: {opened} to check")  # type: ignore[attr-defined]
    await press("enter")


async def test_a_delivery_is_looked_at_and_taken(few: Path, opened: Opens, clock: SetClock) -> None:
    async with opened(few) as driver:
        await worked_out(driver)
        await begin(driver)
        await driver.shows(
            "4 plants from the ferry.", "check 2 of them: 0 done", "none checked yet"
        )
        for size, page in (await driver.pages_at([(80, 24), (40, 24), (120, 40)])).items():
            assert complaints(page, plain=True) == [], size
        await driver.press("enter")
        assert isinstance(driver.screen, RoundScreen)
        await driver.look(20, "f", "a", "v")
        await driver.look(60, "space", "v")
        while isinstance(driver.screen, RoundScreen):
            await driver.press("space")
        assert isinstance(driver.screen, ArrivalScreen)
        await driver.shows(
            "check 2 of them: 2 done",
            "Take it only with a course",
            "insects on 1 of 2 checked",
        )
        with Logbook(few, clock) as logbook:
            before = len(logbook.collection().plants)
        await driver.press("2", "enter")
        await driver.shows("enter 4 plants, in quarantine?")
        await driver.press("y")
        await driver.shows("menu", "saved, in quarantine:")
    with Logbook(few, clock) as logbook:
        plants = list(logbook.collection().plants.values())
        assert len(plants) == before + 4
        found = record_of(logbook, plants[before], DAY)
        assert (found.standing, found.last_find_on) == ("quarantine", DAY)
        assert found.plant.fact("source", DAY) == "the ferry"
        assert not is_drafted(logbook)


async def test_left_in_the_middle_it_waits_and_left_for_good_it_is_gone(
    few: Path, opened: Opens, clock: SetClock
) -> None:
    async with opened(few) as driver:
        await worked_out(driver)
        await begin(driver)
        await driver.press("enter")
        await driver.shows("not entered yet")
        assert "quarantine" not in driver.text
        await driver.look(20, "f", "space", "q")
        await driver.shows("check 2 of them: 1 done")
        await driver.press("q")
        await driver.shows("menu")
    async with opened(few) as driver:
        await worked_out(driver)
        await driver.press("0", "enter", *LINE, "enter")
        await driver.shows("4 plants from the ferry.", "check 2 of them: 1 done")
        await driver.press("3", "enter", "n")
        assert isinstance(driver.screen, ArrivalScreen)
        await driver.press("3", "enter", "y")
        await driver.shows("menu", "the delivery was turned down")
        await driver.press(*LINE, "enter")
        await driver.shows("came from")
    with Logbook(few, clock) as logbook:
        assert not is_drafted(logbook)
        with pytest.raises(Exception, match="no plant"):
            find_plant(logbook, "Capstan")
