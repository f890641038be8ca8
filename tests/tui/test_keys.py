"""Every key has a name by which it can be moved, works under Caps Lock, and is said somewhere."""

import shutil
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding

from rounds.clock import SetClock
from rounds.service.collection.plants import PlantDetails, add_plant
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.tui.app import RoundsApp
from rounds.tui.keys import FIGURES, key_of, key_set
from rounds.tui.page import Page
from rounds.tui.pages.help import FIGURE_KEYS, LINES, help_foot, help_told
from rounds.tui.screens.arrival import ArrivalScreen
from rounds.tui.screens.charts import ChartsScreen
from rounds.tui.screens.coming import ComingScreen
from rounds.tui.screens.courses import CoursesScreen
from rounds.tui.screens.desk import DeskScreen
from rounds.tui.screens.doubts import DoubtsScreen
from rounds.tui.screens.exposure import ExposureScreen
from rounds.tui.screens.first_start import FirstStartScreen
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.history import HistoryScreen, VisitScreen
from rounds.tui.screens.leaving import LeavingScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import ANSWERS, RoundScreen
from rounds.tui.screens.season import SeasonScreen
from rounds.tui.screens.settings import SettingsScreen
from rounds.tui.screens.steps import StepsScreen
from rounds.tui.screens.sums import SumsScreen
from rounds.tui.screens.today import TodayScreen
from rounds.tui.screens.values import ValuesScreen
from rounds.tui.screens.what_if import WhatIfScreen
from tests.tui.touring import desk_number, plant, press, to_the_end, to_today, types

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]

HELPED = {
    "today": TodayScreen,
    "round": RoundScreen,
    "release": ReleaseScreen,
    "plants": PlantsScreen,
    "plant": PlantScreen,
    "history": HistoryScreen,
    "visit": VisitScreen,
    "doubts": DoubtsScreen,
    "coming": ComingScreen,
    "desk": DeskScreen,
    "courses": CoursesScreen,
    "exposure": ExposureScreen,
    "steps": StepsScreen,
    "arrival": ArrivalScreen,
    "leaving": LeavingScreen,
    "settings": SettingsScreen,
    "values": ValuesScreen,
    "season": SeasonScreen,
    "charts": ChartsScreen,
    "sums": SumsScreen,
    "what_if": WhatIfScreen,
}
ONLY_ANSWER: dict[str, set[str]] = {
    "today": {"yes", "no"},
    "round": set(ANSWERS),
    "release": set(),
    "plants": {"yes", "no"},
    "plant": {"yes", "no", "cannot-move"},
    "history": {"yes", "no"},
    "visit": {"doubtful", "not-now"},
    "doubts": set(),
    "coming": set(),
    "desk": set(),
    "courses": {"yes", "rest", "no"},
    "exposure": {"no"},
    "steps": {"no"},
    "arrival": {"yes", "no"},
    "leaving": {"yes", "no"},
    "settings": set(),
    "values": set(),
    "season": set(),
    "charts": set(),
    "sums": set(),
    "what_if": set(),
}
"""Roles named with the question they answer, by screen."""

SCREENS = (*HELPED.values(), FormScreen, FirstStartScreen)
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


def test_every_screen_with_help_is_known_here() -> None:
    assert set(HELPED) == set(ONLY_ANSWER) == set(LINES)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("screen", HELPED)
def test_help_names_every_key_of_its_screen(screen: str, size: tuple[int, int]) -> None:
    frame = Page(*size)
    told = help_told(screen, [], frame)
    named = {key for row in told.keys for key in row.press}
    named |= {key for spot in help_foot(told, frame).spots for key in spot.press}
    wanted = {key_of(role) for role in roles_of(HELPED[screen]) - ONLY_ANSWER[screen]}
    figures = set() if screen in ("release", "charts") else {FIGURE_KEYS}
    assert (wanted | figures) - named == set()


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
    few: Path, clock: SetClock, opened: Opened, keys_named: KeysNamed
) -> None:
    """A doubt of today is asked about tomorrow, what was left there too."""
    async with opened(few) as driver:
        await driver.press("enter", "w")
        await driver.shows("saved: 1 unsure, ")
        await driver.press("space", "2", "s")
        await driver.shows("is infested. Quarantine")
        asked = {key_of(answer.role) for answer in driver.screen.view.question.answers}
        assert asked == {"p", "k", "z"}
        assert asked - keys_named(driver.page) == set()
        await driver.press("z", "space", "q")
        await driver.shows("a round is under way")
    clock.instant += timedelta(days=1)
    async with opened(few) as driver:
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
        await press(driver, (*plant("S03"), "2", "enter"))
        await driver.shows("needed before it may rejoin")
        asked = {key_of(role) for role in roles_of(ReleaseScreen) - {"no"}}
        assert asked - keys_named(driver.page) == set()


async def test_strip_of_today_names_every_bound_key(
    demo: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    async with opened(demo) as driver:
        await driver.shows("enter  begin the round")
        wanted = {key_of(role) for role in roles_of(TodayScreen) - {"yes", "no"}} | {"1-9"}
        assert wanted - keys_named(driver.page) == set()


async def walk_to_hygiene(driver: Any) -> None:
    await driver.press("enter")
    while driver.screen.view.stage != "hygiene":
        asks = driver.screen.view.question is not None
        await driver.press(*("z" if asks else "f"), "z", "v")


async def walk_to_the_end(driver: Any) -> None:
    await driver.press("enter")
    await to_the_end(driver)


TO_S03 = plant("S03")
PAGES: dict[str, tuple[str, ...] | Callable[[Any], Any]] = {
    "today": (),
    "help": ("h",),
    "minutes": ("m",),
    "plants": ("l", "space"),
    "name of a plant": ("l", "0", "enter", "x"),
    "new name": ("l", "0", "enter", *"Gaff", "enter"),
    "plant apart": (*TO_S03, "space"),
    "plant of the collection": (*plant("G02"), "space"),
    "quarantine": (*plant("G02"), "space", "space", "p"),
    "history": (*TO_S03, "1", "enter", "space"),
    "visit": (*TO_S03, "1", "enter", "1", "enter", "space"),
    "entry": (*TO_S03, "1", "enter", "1", "enter", "4", "enter"),
    "doubts": ("u", "space"),
    "next days": ("j", "space"),
    "leaving": ("0", "enter", *desk_number("leaving"), "enter", "space"),
    "sheet to be written": (
        "0",
        "enter",
        *desk_number("from-sheet"),
        "enter",
        "enter",
        "enter",
        "v",
        "enter",
    ),
    "end quarantine": (*plant("S03"), "2", "enter"),
    "form": (*TO_S03, "6", "enter", "down"),
    "question of a form": (*TO_S03, "6", "enter", *"Rosa", "pagedown"),
    "round": ("enter", "space"),
    "hidden": ("enter", "c"),
    "hygiene": walk_to_hygiene,
    "summary": walk_to_the_end,
}
PRESSED_AS = {"page": "pagedown", "1-9": "1"}
"""What is pressed for keys whose names are not one key."""
MAY_WRITE = {*"qygnfdswpkvcaetxr", "space", "enter"}
NAMES_OF_KEYS = {*key_set().values(), *PRESSED_AS, "up", "down", "0"}


@pytest.mark.parametrize("name", PAGES)
async def test_every_key_that_is_named_does_something(
    few: Path, clock: SetClock, opened: Opened, keys_named: KeysNamed, name: str
) -> None:
    with Logbook(few, clock) as logbook:
        # among three doubts there is one with a line before and one after it
        for code in ("G02", "G04", "S03"):
            doubt = LookEntered(("axils",), 9.0, {"doubtful": 1})
            enter_look(logbook, now(clock), code, doubt)
        enter_look(logbook, now(clock), "S03", LookEntered((), 60.0))
        if name == "next days":
            # the same holds for what is expected of three plants apart
            for code in ("S04", "S05"):
                add_plant(logbook, now(clock), code, PlantDetails(name="Gaff", place="stair foot"))
    keys: set[str] = set()
    stays: list[str] = []
    # the first visit names the keys
    left = [""]
    while left:
        async with opened(copy_of(few)) as driver:
            logbook = driver.app.logbook
            as_it_was, was_named = logbook.stamp().written, False
            while left and driver.app.is_running:
                # what may write is pressed on a copy of its own unless all is still as it was
                is_other = logbook.stamp().written != as_it_was or types(driver.app.screen)
                if is_other and (was_named or left[0] in MAY_WRITE):
                    break
                key = left.pop(0)
                await to_today(driver)
                await driver.press("up")
                way = PAGES[name]
                await (way(driver) if callable(way) else press(driver, way))
                was_named = not keys
                if was_named:
                    keys = keys_named(driver.page) & NAMES_OF_KEYS
                    left = sorted(keys - MAY_WRITE) + sorted(keys & MAY_WRITE)
                    continue
                before = (driver.text, driver.app.screen)
                await driver.press(PRESSED_AS.get(key, key))
                if (driver.text, driver.app.screen) == before and driver.app.is_running:
                    stays.append(key)
    assert keys
    assert stays == []


def copy_of(book: Path) -> Path:
    """A logbook nobody else writes in."""
    return Path(shutil.copy(book, book.with_name("copy.db")))
