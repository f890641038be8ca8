"""At the bench by keys alone: signs, bodies, second looks, and plants looked at in one go."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.tui.screens.round import RoundScreen
from tests.tui.touring import desk_line, in_one_go, twice_each

Opened = Callable[..., AbstractAsyncContextManager[Any]]
SIZES = [(80, 24), (40, 24)]
AXILS = "3"
"""the number of the axils among the zones of a leafy plant"""


async def begin(driver: Any) -> None:
    await driver.shows("enter  begin the round")
    await driver.press("enter")
    await driver.until(lambda: isinstance(driver.app.screen, RoundScreen), "a round")


def looks(driver: Any, code: str) -> list[tuple[str, int, bool]]:
    """The closed looks of a plant: zone, found alive, whether it was a second one."""
    return [
        (look.zone, look.live(), look.second_to is not None)
        for look in driver.record(code).log
        if not look.is_open
    ]


@pytest.mark.parametrize("size", SIZES)
async def test_ants_are_kept_and_bring_the_plant_first(
    few: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(few, size=size) as driver:
        await begin(driver)
        # on to the second plant of the collection, which else comes after the first
        await driver.look(60, "v")
        await driver.shows("G04")
        await driver.press("i")
        await driver.shows("which sign do you see?", "1 ants", "3 sooty mould")
        await driver.press("1")
        await driver.shows("saved: ants, new growth of G04; no")
        assert driver.screen.view.pending == ""
        [sign] = driver.record("G04").signs
        assert (sign.zone, sign.kind) == ("new-growth", "ants")
        await driver.press("x")
        await driver.shows("undone: ants at new growth")
        assert driver.record("G04").signs == ()
        await driver.press("I", "3")
        await driver.look(60, "v")
        assert driver.record("G04").last_find_on is None
        await driver.press("q")
        driver.clock.instant += timedelta(days=1)
        await driver.press("l", "q")
        await begin(driver)
        view = driver.screen.view
        assert view.plant.code == "G04"
        assert "sooty mould at the new growth on 4 May" in view.plant.why


@pytest.mark.parametrize("size", SIZES)
async def test_bodies_of_yesterday_are_no_finds(
    few: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(few, size=size) as driver:
        await begin(driver)
        await driver.press("2", "d", "z", "space", "q")
        driver.clock.instant += timedelta(days=1)
        await driver.press("l", "q")
        await begin(driver)
        # found alive on among the others, it comes after those
        while driver.screen.view.plant.code != "G02":
            await driver.look(50, "v")
        await driver.shows("2 killed")
        await driver.look(10, "space")
        await driver.shows("turn the leaf")
        assert looks(driver, "G02")[-1] == ("new-growth", 0, False)


@pytest.mark.parametrize("size", SIZES)
async def test_a_second_look_is_asked_for_made_and_taken_back(
    few: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(few, size=size) as driver:
        await begin(driver)
        twice_each(driver)
        await driver.look(12, "space")
        await driver.shows("look again at new growth", "y look again", "z not now")
        await driver.press("y")
        await driver.shows("second look at new growth")
        await driver.look(12, "f", "z")
        await driver.look(12, "space")
        await driver.shows("> undersides")
        assert looks(driver, "G02") == [("new-growth", 0, False), ("new-growth", 1, True)]
        # declined: one key, and the next zone
        await driver.look(12, "space", "space")
        assert driver.screen.view.zone.zone == "axils"
        assert looks(driver, "G02")[-1] == ("undersides", 0, False)
        await driver.look(12, "space", "z")
        assert driver.screen.view.zone.zone == "sheaths"
        await driver.press("x")
        await driver.shows("undone: axils is open again")


@pytest.mark.parametrize("size", SIZES)
async def test_a_plant_in_one_go_is_one_press(
    few: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(few, size=size) as driver:
        await begin(driver)
        await in_one_go(driver)
        await driver.shows("whole plant")
        await driver.look(30, "space")
        await driver.shows("G04")
        assert len(looks(driver, "G02")) == 7
        assert driver.record("G02").streak.looks == 1


@pytest.mark.parametrize("size", SIZES)
async def test_a_find_opens_the_zones_from_the_one_that_is_named(
    few: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(few, size=size) as driver:
        await begin(driver)
        await in_one_go(driver)
        await driver.look(20, "1", "2", "f")
        await driver.shows("12 removed: at which zone?", "3 axils", "7 pot rim")
        await driver.press("space")
        await driver.shows("12 removed: at which zone?", "7 pot rim")
        # left, and come back to: it is asked again
        await driver.press("q", "enter")
        await driver.shows("12 removed: at which zone?", "7 pot rim")
        await driver.press(AXILS)
        await driver.shows("is infested. Quarantine")
        record = driver.record("G02")
        assert [(k.zone, k.live()) for k in record.log if k.is_open] == [("axils", 12)]
        await driver.press("z")
        # left, and come back to
        await driver.press("q", "enter")
        await driver.shows("axils")
        assert driver.screen.view.zone.counts.removed == 12
        await driver.look(30, "space")
        # those that need little stay together
        assert driver.screen.view.zone.zone == ""
        await driver.press("x", "x", "x")
        await driver.shows("whole plant")
        assert driver.record("G02").last_find_on is None


@pytest.mark.parametrize("size", [*SIZES, (60, 20), (80, 22), (120, 40), (40, 12)])
async def test_what_keeps_a_key_from_acting_never_hides_the_question_it_waits_for(
    few: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(few, size=size) as driver:
        await begin(driver)
        await in_one_go(driver)
        await driver.press("2", "f")
        # the same key once more, another one, and one that answers other questions
        for key, said in (
            ("space", "choose its zone"),
            ("space", "choose its zone"),
            ("l", "choose its zone"),
            ("y", "y is no answer"),
            ("r", "paused"),
        ):
            await driver.press(key)
            text = " ".join(driver.text.split())
            assert said in text, driver.text
            # what does nothing before it is answered is not offered
            for hint in ("zone done", "done here", "v rest clear", "c can't see", "b one back"):
                assert hint not in text, driver.text
            for asked in ("2 removed: at which zone?", "1 new growth", "3 axils", "7 pot rim"):
                assert asked in text, driver.text


@pytest.mark.parametrize("size", [*SIZES, (60, 20), (120, 40)])
async def test_advice_is_whole_or_left_out(
    few: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(few, size=size) as driver:
        await begin(driver)
        await in_one_go(driver)
        advice = words.say("bench.whole-advice").split()
        for key in ("down", "f", "space"):
            await driver.press(key)
            shown = [word for word in advice if word in driver.text.split()]
            assert len(shown) == len(advice) or "log anything" not in driver.text, driver.text


async def test_c_says_that_it_is_for_single_zones(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        await begin(driver)
        await in_one_go(driver)
        await driver.press("c")
        await driver.shows("whole plant in one go")


async def test_what_is_learned_stands_on_the_page_of_a_plant_and_in_the_settings(
    few: Path, opened: Opened
) -> None:
    async with opened(few) as driver:
        await begin(driver)
        twice_each(driver)
        await driver.look(20, "f", "z")
        await driver.look(12, "space", "y")
        await driver.look(12, "2", "0", "f")
        await driver.look(12, "space", "q")
        await driver.press("l", "0", "enter", *"S03", "enter", "enter")
        await driver.shows("end quarantine")
        assert "your eye" not in driver.text
        driver.clock.instant += timedelta(days=1)
        await driver.press("q", "q", "l", "0", "enter", *"S03", "enter", "enter")
        await driver.shows("your eye: 0.", "as assumed (")
        await desk_line("settings")(driver)
        codes = [setting.code for setting in driver.screen.settings()]
        await driver.press(*["space"] * codes.index("own-eye"))
        assert "the next day on. Your eye: 0." in " ".join(driver.text.split())
