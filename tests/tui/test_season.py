"""What the grower's finds say on the screen: told with its interval, used and undone by a key."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rounds.service.learned.season import LearnedSource, LearnedValue, Season
from rounds.service.learned.text import about_line, about_season, beside_learned, said_of_100
from rounds.service.logbook.parameter_rows import ValueRow
from tests.tui.touring import desk_line

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
ROW = ValueRow("forms.weight.axils", 0.35, 0.35, "share", 0.1, 0.7, "assumption", "none", None)
AXILS = LearnedValue(ROW, 0.61, 0.48, 0.72)
FERRY = LearnedSource("the ferry", 9, 4, 0.51, 0.31, 0.7)
TOLD = Season(61, 34, 30, 18, (AXILS,), None, (FERRY,))


def test_each_share_is_told_with_its_interval_beside_what_is_assumed() -> None:
    assert said_of_100(AXILS) == "61 in 100 (48 to 72)"
    assert beside_learned(AXILS) == "assumed 35"
    assert about_season(TOLD) == "61 finds on 34 plants in a year."
    assert "4 of 9 plants" in about_line(TOLD, FERRY, TODAY)


def test_before_there_are_finds_enough_it_says_how_many_it_takes() -> None:
    assert about_season(Season(1, 1, 30, 4)).startswith("1 find on 1 plant in a year. From 30")


@pytest.mark.parametrize("size", [(80, 24), (40, 24), (120, 40)])
async def test_the_screen_shows_what_is_learned_and_uses_nothing_by_itself(
    demo: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(demo, size=size) as driver:
        await desk_line("season")(driver)
        # the demo has few finds: it says how many it takes
        await driver.shows("your own log")
        screen = driver.screen
        screen.season = TOLD
        screen.paint()
        await driver.shows("axils", "61 in 100 (48 to 72)", "from th")
        await driver.press("x")
        await driver.shows("none of it is in use")
        await driver.press("space", "enter")
        await driver.shows("what one source says is shown")
        assert screen.logbook.collection().changes == ()
