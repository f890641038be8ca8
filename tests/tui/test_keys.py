"""Every key has a name by which it can be moved, works under Caps Lock, and is said somewhere."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding

from rounds.clock import SetClock
from rounds.tui.app import RoundsApp
from rounds.tui.keys import FIGURES, key_of, key_set
from rounds.tui.page import Page
from rounds.tui.pages.help import help_page
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import ANSWERS, RoundScreen
from rounds.tui.screens.today import TodayScreen

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]

SCREENS = (TodayScreen, RoundScreen, ReleaseScreen)
OWNERS = (RoundsApp, *SCREENS)
SIZES = ((80, 24), (60, 20), (40, 24), (40, 12))


def bindings_of(owner: Any) -> list[Binding]:
    found = [binding for binding in owner.BINDINGS if isinstance(binding, Binding)]
    assert len(found) == len(owner.BINDINGS)
    return found


def roles_of(screen: Any) -> set[str]:
    """Roles a screen binds, without the figures."""
    names = {str(binding.id).partition(".")[2] for binding in bindings_of(screen)}
    return names - set(FIGURES)


@pytest.mark.parametrize("owner", OWNERS, ids=lambda owner: owner.__name__)
def test_every_binding_has_a_name_of_its_own(owner: Any) -> None:
    names = [binding.id for binding in bindings_of(owner)]
    assert names
    assert all(names)
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("owner", OWNERS, ids=lambda owner: owner.__name__)
def test_every_letter_is_bound_in_both_cases(owner: Any) -> None:
    keys = {key for binding in bindings_of(owner) for key in binding.key.split(",")}
    letters = {key for key in keys if len(key) == 1 and key.isalpha()}
    assert letters == {key.swapcase() for key in letters}


@pytest.mark.parametrize("owner", SCREENS, ids=lambda owner: owner.__name__)
def test_a_key_means_one_thing_on_a_screen(owner: Any) -> None:
    keys = [key for binding in bindings_of(owner) for key in binding.key.split(",")]
    assert len(set(keys)) == len(keys)


def test_every_role_of_the_key_set_is_bound_somewhere() -> None:
    bound = {role for screen in SCREENS for role in roles_of(screen)}
    assert bound - {"figures"} == set(key_set())


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_help_names_every_key_of_the_round(size: tuple[int, int], keys_named: KeysNamed) -> None:
    page = help_page("round", "0:00 of 10:00", [], *size)
    wanted = {key_of(role) for role in roles_of(RoundScreen) - set(ANSWERS)} | {"1-9"}
    assert wanted - keys_named(page) == set()


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_help_names_every_key_of_today(size: tuple[int, int], keys_named: KeysNamed) -> None:
    page = help_page("today", "", [], *size)
    wanted = {key_of(role) for role in roles_of(TodayScreen)} | {"1-9"}
    assert wanted - keys_named(page) == set()


async def test_strip_and_help_of_the_round_name_every_bound_key(
    demo: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    async with opened(demo) as driver:
        await driver.shows("enter  begin the round")
        await driver.press("enter")
        await driver.shows("plant 1 of ")
        strip = keys_named(driver.page)
        await driver.press("h")
        await driver.shows("h  closes this")
        bound = {key_of(role) for role in roles_of(RoundScreen) - set(ANSWERS)} | {"1-9"}
        # on a wide screen help only explains: the strip alone has them all
        assert bound - strip == set()
        assert bound - keys_named(driver.page) == set()


async def test_keys_that_answer_are_named_with_their_question(
    demo: Path, clock: SetClock, opened: Opened, keys_named: KeysNamed
) -> None:
    """A doubt of today is asked about tomorrow, what was left there too."""
    async with opened(demo) as driver:
        await driver.press("enter", "w")
        await driver.shows("doubtful: 1 at ")
        await driver.press("space", "2", "s")
        await driver.shows("left there: 2 at ")
        await driver.press("space", "q")
        await driver.shows("a round is under way")
    clock.instant += timedelta(days=1)
    async with opened(demo) as driver:
        await driver.press("enter")
        await driver.shows("plant 1 of ")
        asked = set()
        for _ in range(200):
            waiting = driver.screen.view.question
            if waiting is not None:
                asked.add(waiting.code)
                answers = {key_of(answer.role) for answer in waiting.answers}
                assert answers - keys_named(driver.page) == set()
                await driver.shows(waiting.text)
            if asked == {"doubt", "left-there"} or driver.screen.view.stage == "end":
                break
            await driver.press("space")
        assert asked == {"doubt", "left-there"}


async def test_strip_of_the_release_page_names_every_bound_key(
    demo: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    async with opened(demo) as driver:
        await driver.press("1", "enter")
        await driver.shows("end quarantine")
        assert {key_of(role) for role in roles_of(ReleaseScreen)} - keys_named(driver.page) == set()


async def test_strip_of_today_names_every_bound_key(
    demo: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    async with opened(demo) as driver:
        await driver.shows("enter  begin the round")
        wanted = {key_of(role) for role in roles_of(TodayScreen)} | {"1-9"}
        assert wanted - keys_named(driver.page) == set()
