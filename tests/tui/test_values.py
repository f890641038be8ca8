"""The values of the sums on the screens: read, changed, put back, and named where they matter."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date
from pathlib import Path
from typing import Any

from rounds.tui.pages.values import about_value
from rounds.tui.screens.values import ValuesScreen
from rounds.words.parameters import name_of_value
from tests.tui.reading import SIZES
from tests.tui.test_settings import to_desk_line, to_settings, to_today

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
SURVIVAL = "pests.mealybug.stages.egg.daily_survival"


async def to_value(driver: Any, code: str) -> None:
    """The list of values, with the mark on one."""
    await to_desk_line(driver, "values the sums rest on")
    await driver.until(lambda: isinstance(driver.screen, ValuesScreen), "the values")
    codes = [row.code for row in driver.screen.rows]
    await driver.press(*str(codes.index(code) + 1), "space")


async def test_a_value_is_changed_with_a_reason_and_put_back_by_one_key(
    demo: Path, opened: Opened
) -> None:
    async with opened(demo) as driver:
        await to_value(driver, SURVIVAL)
        await driver.shows("egg: daily survival", "may be 0.95")
        await driver.press("enter")
        await driver.shows("change a value", "new value", "may be 0.95 to 0.999")
        await driver.press(*"2", "enter")
        await driver.shows("2 lies outside the range")
        await driver.press("backspace", *"0.97", "enter", "enter")
        await driver.shows("why: nothing entered yet")
        await driver.press("n", *"dry", "enter")
        await driver.shows("egg: daily survival: 0.97 in place of", "from today on; why:", "dry")
        await driver.press("y")
        await driver.shows("saved: egg: daily survival 0.97 from today on")
        await driver.press("enter")
        await driver.shows("=0.97", "usual 0.985", "x usual value")
        assert "changed today by Keeper: dry" in " ".join(driver.text.split())
        assert driver.app.logbook.parameters.pests["mealybug"].stages[0].daily_survival == 0.97
        await to_today(driver)
        await driver.shows("with a changed value: egg: daily survival 0.97")
        await to_value(driver, SURVIVAL)
        await driver.press("x")
        await driver.shows("again, the usual value")
        await driver.press("x")
        await driver.shows("egg: daily survival has its usual value")
        await to_today(driver)
        assert "with a changed value" not in driver.text


async def test_a_plant_says_that_its_figures_rest_on_a_changed_value(
    demo: Path, opened: Opened
) -> None:
    async with opened(demo) as driver:
        await to_value(driver, "infestation.arrivals.apart")
        await driver.press("enter", *"0.001", "enter", *"gnats", "enter")
        await driver.press("y", "enter")
        await to_today(driver)
        await driver.press("1", "enter")
        await driver.shows("with a changed value: in quarantine: crawlers arriving a day 0.001")


async def test_the_rules_say_that_they_ask_for_another_value_than_usual(
    demo: Path, opened: Opened
) -> None:
    async with opened(demo) as driver:
        await to_value(driver, "quarantine.settings.default.days_apart")
        await driver.press("enter", *"42", "enter", *"wary", "enter")
        await driver.press("y", "enter")
        await to_today(driver)
        await to_settings(driver)
        await driver.shows("42 days in quarantine", "with a changed value", "days in quarantine 42")


async def test_what_is_fixed_is_not_asked_for_and_says_why(demo: Path, opened: Opened) -> None:
    async with opened(demo) as driver:
        await to_value(driver, "pests.mealybug.stages.L1.sub_stages")
        await driver.press("enter")
        await driver.shows("first nymph: steps of its growth cannot be changed. Fixed:")
        assert isinstance(driver.screen, ValuesScreen)


async def test_every_value_is_told_at_every_size(demo: Path, opened: Opened) -> None:
    async with opened(demo) as driver:
        await to_value(driver, SURVIVAL)
        for turn, size in enumerate(SIZES):
            await driver.resize(*size)
            # at each size others of them, and at all together each
            for mark in range(turn, len(driver.screen.rows), len(SIZES)):
                driver.screen.mark = mark
                driver.screen.paint()
                row = driver.screen.rows[mark]
                await driver.shows(">", name_of_value(row.code)[:20])
                assert about_value(row, TODAY).endswith(".")
