"""Keys that do nothing say so, figures choose the line for the next key, and ways out ask once."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import PlantDetails, add_plant
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.tui.app import RoundsApp
from rounds.tui.pages.today_lines import apart, lines_of
from rounds.tui.screens.desk import DeskScreen
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.conftest import at_the_keys
from tests.tui.touring import desk_line, plant, press

Opened = Callable[..., AbstractAsyncContextManager[Any]]


@pytest.fixture
def doubted(few: Path, clock: SetClock) -> Path:
    """Three plants with an open doubt each, found on three days."""
    start = clock.instant
    with Logbook(few, clock) as logbook:
        for day, code in enumerate(("G02", "G04", "S03")):
            clock.instant = start + timedelta(days=day)
            doubt = LookEntered(("axils",), 9.0, {"doubtful": 1})
            enter_look(logbook, now(clock), code, doubt)
    return few


@pytest.fixture
def many(few: Path, clock: SetClock) -> Path:
    """Fifteen plants apart."""
    with Logbook(few, clock) as logbook:
        for number in range(10, 24):
            there = PlantDetails(name=f"Gaff {number}", size="small", place="stair foot")
            add_plant(logbook, now(clock), f"Q{number}", there)
    return few


# keys that do nothing


async def test_a_key_without_a_meaning_says_so_until_the_next(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        before = driver.text
        await driver.press("k")
        await driver.shows("k does nothing here; h lists the keys")
        await driver.press("escape")
        assert driver.text == before
        for key in ("end", "f12", "insert"):
            await driver.press(key)
            await driver.shows(f"{key} does nothing here; h lists the keys")


@pytest.mark.parametrize("key", ["ctrl+t", "escape", "<unknown>"])
async def test_what_is_no_character_is_passed_over(few: Path, opened: Opened, key: str) -> None:
    async with opened(few) as driver:
        before = driver.text
        await driver.press(key)
        assert driver.text == before


@pytest.mark.parametrize(
    ("keys", "key", "said"),
    [
        ("right", "z", "z does nothing here; w lists the keys"),
        ("pad", "p", "p does nothing here; h lists the keys"),
    ],
)
async def test_it_is_said_in_the_keys_in_use(
    few: Path, clock: SetClock, keys: str, key: str, said: str
) -> None:
    app = RoundsApp(few, "Keeper", clock, keys)
    async with at_the_keys(app, few, clock) as driver:
        await driver.press(key)
        await driver.shows(said)


async def test_an_answer_without_a_question_says_that_none_is_asked(
    few: Path, opened: Opened
) -> None:
    async with opened(few) as driver:
        await driver.press("y")
        await driver.shows("y answers a question; none is asked")
        await driver.press("enter", "g")
        await driver.shows("g answers a question; none is asked")


async def test_it_stands_beside_the_question_of_a_form_and_goes(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        await press(driver, (*plant("S03"), "6", "enter", *"Rosa", "pagedown"))
        asked = driver.text
        await driver.press("k")
        await driver.shows("k does nothing here", "write it?")
        await driver.press("ctrl+t")
        assert driver.text == asked


async def test_at_the_end_of_a_list_a_move_says_so(doubted: Path, opened: Opened) -> None:
    async with opened(doubted) as driver:
        await driver.press("l", "b")
        await driver.shows("this is the first line")
        await driver.press("pagedown", "space")
        await driver.shows("this is the last line")


# figures, then a key


async def test_a_key_acts_on_the_line_of_the_number_before_it(
    doubted: Path, opened: Opened
) -> None:
    async with opened(doubted) as driver:
        await driver.press("u")
        second = driver.screen.doubts[1].status.code
        await driver.press("2", "g")
        await driver.shows(f"on {second}, old remains")
        assert second not in [doubt.status.code for doubt in driver.screen.doubts]


async def test_a_line_of_the_history_is_asked_about_by_its_number(
    doubted: Path, opened: Opened
) -> None:
    async with opened(doubted) as driver:
        await press(driver, (*plant("S03"), "1", "enter"))
        lines = len(driver.screen.detail.history)
        assert lines > 1
        await driver.press(str(lines), "x")
        assert driver.screen.mark == lines - 1


async def test_a_key_after_a_number_no_line_has_does_nothing(doubted: Path, opened: Opened) -> None:
    async with opened(doubted) as driver:
        await driver.press("u")
        await driver.press("0", "g")
        await driver.shows("no line 0: g did nothing")
        assert len(driver.screen.doubts) == 3
        await driver.press("9")
        await driver.shows("there is no line 9")


async def test_space_after_a_number_goes_to_its_line(doubted: Path, opened: Opened) -> None:
    async with opened(doubted) as driver:
        await driver.press("l", "3", "space")
        assert driver.screen.mark == 2


# ways out


async def begin_and_come_back(driver: Any) -> None:
    await driver.press("enter", "f", "q")
    await driver.until(lambda: isinstance(driver.app.screen, TodayScreen), "today")


async def test_leaving_asks_once_where_a_round_is_open(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        await begin_and_come_back(driver)
        await driver.press("q")
        await driver.shows("a round is open: leave? it is saved")
        await driver.press("n")
        assert driver.app.is_running
        assert "leave?" not in driver.text
        await driver.press("q")
        await driver.press("q")
        assert not driver.app.is_running


async def test_a_yes_leaves_too(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        await begin_and_come_back(driver)
        await driver.press("q", "y")
        assert not driver.app.is_running


async def test_without_a_round_leaving_asks_nothing(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        await driver.press("q")
        assert not driver.app.is_running


async def test_an_empty_line_leaves_a_form_and_the_form_says_so(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        await desk_line("new-place")(driver)
        assert isinstance(driver.screen, FormScreen)
        await driver.shows("an empty line leaves the form")
        await driver.press("enter")
        assert isinstance(driver.screen, DeskScreen)


async def test_an_empty_line_asks_first_where_something_was_typed(
    few: Path, opened: Opened
) -> None:
    async with opened(few) as driver:
        await desk_line("away")(driver)
        await driver.press(*"2026-05-05", "enter")
        await driver.shows("an empty line leaves the form")
        await driver.press("enter")
        await driver.shows("leave the form? what was typed is not saved")
        await driver.press("n")
        assert driver.screen.entered["from"]
        await driver.press("enter", "y")
        assert isinstance(driver.screen, DeskScreen)


# all plants in quarantine


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 24), (80, 60)])
async def test_today_lists_those_in_quarantine_or_says_how_many_more(
    many: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(many, size=size) as driver:
        codes = [status.code for status in apart(driver.screen.day)]
        rows = driver.text.splitlines()
        listed = [code for code in codes if any(f"║ {code}" in row for row in rows[5:])]
        more = [int(row.split()[0]) for row in rows if row.strip().endswith("more below")]
        assert codes[: len(listed)] == listed
        assert len(codes) == 15
        assert listed == codes or len(codes) - len(listed) in more
        if size[1] == 60:
            assert listed == codes


async def test_the_worst_stands_first(demo: Path, opened: Opened) -> None:
    async with opened(demo) as driver:
        chances = [status.chance_clean or 0.0 for status in apart(driver.screen.day)]
        assert len(chances) > 2
        assert chances == sorted(chances, key=lambda chance: chance or 0.0)


async def test_two_figures_open_a_line_beyond_the_ninth(many: Path, opened: Opened) -> None:
    async with opened(many, size=(80, 60)) as driver:
        wanted = lines_of(driver.screen.day)[11].code
        await driver.press("1", "2")
        await driver.shows("line 12: enter opens it")
        await driver.press("enter")
        await driver.shows(wanted)
        assert driver.screen.code == wanted
