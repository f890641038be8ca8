"""A second pest by keys: in the round, on the page of its plant, and where its quarantine ends."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

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
        await driver.shows("next counts: citrus mealybug.", "of citrus mealybug")
        await driver.press(*(["minus"] * 4))
        await driver.shows("next counts: spider mite. Undersides with a lens", "of spider mite")
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
