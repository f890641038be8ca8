"""All plants: why a risk is another now, and how it goes on, are told whole at every width."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from rounds import words
from rounds.service.day.day import Day
from rounds.service.day.work import DayWork
from rounds.service.logbook.book import Logbook
from rounds.service.plant.before import Before, Change
from rounds.tui.page import Page
from rounds.tui.pages.risk import value_of, was_text
from rounds.tui.screens.plants import PlantsScreen
from rounds.words.forms import codes_text
from tests.tui.conftest import Opens
from tests.tui.reading import complaints
from tests.tui.touring import worked_out

SIZES = ((40, 24), (60, 20), (80, 24), (40, 36), (120, 40))


def bottom_of(page: Page) -> str:
    return " ".join(" ".join(page.text().splitlines()[-8:]).split())


def looked_back(logbook: Logbook, on: date) -> Day:
    """The whole day, and what all risks were at the end of the last round."""
    work = DayWork(logbook, on)
    for _ in (*work.pieces(), *work.before([plant.id for plant in work.day.plants.values()])):
        pass
    return work.day


async def test_every_plant_says_what_its_risk_was_and_when_it_may_rejoin(
    demo: Path, opened: Opens
) -> None:
    apart = 0
    async with opened(demo) as driver:
        assert driver.app.logbook is not None
        day = looked_back(driver.app.logbook, driver.clock.today())
        await driver.press("l")
        screen = driver.screen
        assert isinstance(screen, PlantsScreen)
        screen.day, before = day, day.before
        assert before is not None
        for size in SIZES:
            await driver.resize(*size)
            for mark, line in enumerate(screen.shown):
                screen.mark = mark
                screen.paint()
                await driver.whole()
                page = driver.page
                assert complaints(page, plain=True) == []
                known = before.changes[line.status.plant_id]
                change = known.text if size[0] >= 80 else known.brief
                assert change
                told, found, rest = bottom_of(page).partition(change)
                assert found, f"{line.status.code} at {size}: {told}"
                if line.status.standing == "quarantine":
                    assert "rejoin" in rest
                    apart += 1
    assert apart == 5 * len(SIZES)


LONGEST = words.say(
    "origins.change.was-brief",
    was=38,
    day="28 September",
    why=words.say(
        "origins.change.company-brief", codes=codes_text(["G01", "G02", "G03", *"ABCDEFG"])
    ),
)


@pytest.mark.parametrize("earliest", [date(2026, 9, 20), date(2027, 9, 20), date(2026, 5, 4), None])
@pytest.mark.parametrize("size", [(40, 24), (60, 20)])
async def test_the_longest_cause_leaves_room_for_the_outlook(
    demo: Path, opened: Opens, size: tuple[int, int], earliest: date | None
) -> None:
    async with opened(demo, size=size) as driver:
        await driver.press("l")
        screen = driver.screen
        assert isinstance(screen, PlantsScreen)
        line = next(line for line in screen.shown if line.status.release)
        assert line.status.release is not None
        release = replace(line.status.release, expected_on=earliest)
        screen.shown = [replace(line, status=replace(line.status, release=release))] * 5
        screen.mark = 0
        changes = {line.status.plant_id: Change(38.0, LONGEST, LONGEST)}
        screen.day = replace(screen.day, before=Before(screen.day.on, changes))
        screen.paint()
        await driver.whole()
        assert complaints(driver.page, plain=True) == []
        bottom = bottom_of(driver.page)
    assert LONGEST in bottom
    rest = bottom.partition(LONGEST)[2]
    is_beyond_a_row = size[0] == 40 and earliest is not None and earliest.year == 2027
    assert is_beyond_a_row or "rejoin" in rest or "no date" in rest
    assert ".." not in bottom


async def test_at_sixty_columns_the_risk_before_has_a_column(demo: Path, opened: Opens) -> None:
    async with opened(demo, size=(60, 20)) as driver:
        await driver.press("l")
        await worked_out(driver)
        assert driver.row_with("last look").split()[1:3] == ["risk", "was"]
        assert isinstance(driver.screen, PlantsScreen)
        view = driver.screen.view()
        line = next(line for line in view.lines if line.status.code == "G07")
        assert line.status.last_look_on == view.on - timedelta(1)
        was, _ = was_text(view.before, line.status.plant_id)
        assert was.isdigit()
        assert was != value_of(line.status.risk)
        figures = [value_of(line.status.risk), was, "1", "d", "ago"]
        number = view.lines.index(line) + 1
        assert driver.row_with(f"{number} ║ G07").split()[-5:] == figures
        await driver.resize(59, 20)
        assert driver.row_with("last look").split()[1:3] == ["risk", "last"]
