"""Ten thousand plants on the screen of all plants: only what is seen is made."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

import pytest

from rounds.service.plant.status import PlantStatus
from tests.tui.many import MANY, many
from tests.tui.reading import complaints
from tests.tui.test_plants import marked, type_line

OnPlants = Callable[..., AbstractAsyncContextManager[Any]]


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 24), (40, 12)])
@pytest.mark.parametrize("mark", [0, 5_000, MANY - 1])
async def test_of_ten_thousand_lines_only_those_seen_are_made(
    few: Path,
    on_plants: OnPlants,
    monkeypatch: pytest.MonkeyPatch,
    size: tuple[int, int],
    mark: int,
) -> None:
    named: list[str] = []

    def name(status: PlantStatus) -> str:
        named.append(status.code)
        return status.code

    async with on_plants(few) as driver:
        await driver.resize(*size)
        screen = driver.screen
        lines = many(driver.app.logbook, screen.day.on).lines
        monkeypatch.setattr(PlantStatus, "name", property(name))
        screen.shown, screen.mark = lines, mark
        screen.paint()
        await driver.whole()
        rows = screen.lines_shown()
        assert 3 <= rows < size[1]
        # those in sight, and those of the window before and after it while it was scrolled to
        assert len(set(named)) <= 3 * rows + 1
        assert lines[mark].status.code in named
        assert complaints(driver.page, plain=True) == []


async def test_ten_thousand_lines_scroll_and_sort(few: Path, on_plants: OnPlants) -> None:
    async with on_plants(few) as driver:
        screen = driver.screen
        screen.ranking = many(driver.app.logbook, screen.day.on)
        await driver.press("o")
        await driver.shows("by name", "10000 plants", "P00000")
        rows = screen.lines_shown()
        await driver.press("pagedown", "space")
        assert screen.mark == rows + 1
        await driver.press("9", "9", "9", "9", "up")
        await driver.press("l", "l", "l", "l", "l", "l")
        await driver.shows("10000 plants", "in the collection")
        await type_line(driver, "p09876")
        assert marked(driver) == "P09876"
