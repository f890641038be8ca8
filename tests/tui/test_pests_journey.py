"""A second pest by keys: in the round, on the page of its plant, and where its quarantine ends."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.collection.release import end_quarantine
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import RoundScreen

Opened = Callable[..., AbstractAsyncContextManager[Any]]


def counted(driver: Any, code: str) -> list[tuple[str, str, int]]:
    return [
        (tally.pest, tally.kind, tally.count)
        for look in driver.record(code).log
        for tally in look.tallies
    ]


async def test_one_key_switches_the_pest_of_the_next_counts(few: Path, opened: Opened) -> None:
    async with opened(few, size=(80, 24)) as driver:
        await driver.shows("enter  begin the round")
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.app.screen, RoundScreen), "a round")
        code = driver.screen.view.plant.code
        await driver.press("f", "z")
        assert driver.screen.view.zone.counts.removed == 1
        assert driver.screen.view.zone.pest == ""
        clean = driver.screen.view.plant.clean_text
        await driver.press("minus")
        await driver.shows("next counts: citrus mealybug", "of citrus mealybug")
        await driver.shows("Axils, midribs, new", "growth, beneath sheaths.")
        await driver.press(*(["minus"] * 4))
        await driver.shows("next counts: spider mite", "of spider mite")
        await driver.shows("Undersides with a lens;", "then webs.")
        # its own counts and its own figures, from nothing
        assert driver.screen.view.zone.counts.removed == 0
        assert driver.screen.view.plant.clean_text != clean
        # few, then many, and no more than that
        await driver.press("s")
        await driver.shows(f"saved: at least 1 untouched, spider mite, new growth of {code}")
        await driver.press("s")
        await driver.shows(f"saved: at least 20 untouched, spider mite, new growth of {code}")
        await driver.press("s")
        await driver.shows("spider mite: at least 20 already")
        assert driver.screen.view.zone.counts.left == 20
        await driver.press("x")
        await driver.shows("undone: 19 untouched at new growth, spider mite")
        assert counted(driver, code) == [
            ("mealybug", "removed", 1),
            ("spider-mite", "left", 1),
        ]
        assert driver.record(code).pests == ("mealybug", "spider-mite")
        # the two followed come first now: back to the plant's first
        await driver.press(*(["minus"] * 7))
        assert driver.screen.view.zone.counts.removed == 1


@pytest.fixture
def two_pests(tmp_path: Path, clock: SetClock) -> Path:
    """A plant in quarantine: cleared of mealybugs, with mites found 20 days ago."""
    path = tmp_path / "two.db"
    came = clock.today() - timedelta(days=60)
    with Logbook(path, clock) as logbook:
        put_place(logbook, local_noon(came), "warm shelf", PlaceDetails(apart=True, usual_c=22.0))
        details = PlantDetails(name="Thole", size="small", place="warm shelf", arrived=came)
        add_plant(logbook, local_noon(came), "G02", details)

        def look(day: int, zones: tuple[str, ...] = (), **said: Any) -> None:
            moment = local_noon(came + timedelta(days=day))
            enter_look(logbook, moment, "G02", LookEntered(zones, 130.0, **said))

        look(0, ("axils",), counts={"removed": 1})
        for day in range(1, 61, 2):
            look(day)
        look(39, ("roots",), unpotted=True)
        look(40, ("undersides",), counts={"left": 1}, pest="spider-mite")
    return path


@pytest.mark.parametrize("size", [(80, 24), (40, 24)])
async def test_what_holds_a_plant_with_two_pests_is_named(
    two_pests: Path, opened: Opened, clock: SetClock, size: tuple[int, int]
) -> None:
    async with opened(two_pests, size=size) as driver:
        await driver.shows("today 4 May")
        await driver.press("l", "0", "enter", *"G02", "enter", "enter")
        await driver.until(lambda: isinstance(driver.app.screen, PlantScreen), "its page")
        await driver.shows("spider mite holds it longest")
        # not due yet, its end stands below its history
        await driver.press("2", "enter")
        await driver.until(lambda: isinstance(driver.app.screen, ReleaseScreen), "its end")
        await driver.shows("spider mite holds it longest", "mealybug: all 6 met")
        # one pest is cleared, the other is not: nothing but an early end with a reason is offered
        await driver.shows("y end it early")
        await driver.press("q", "q")
    with Logbook(two_pests, clock) as logbook:
        decision = end_quarantine(logbook, local_noon(clock.today()), "G02")
        assert not decision.released
        assert "spider mite: " in str(decision.refusal)
        assert "mealybug: " not in str(decision.refusal)
