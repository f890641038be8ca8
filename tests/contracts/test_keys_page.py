"""The page on the keys is made from the screens, and has every key of each; what the guide shows of
a screen is what the screen shows."""

import importlib
import pkgutil
import re
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding

from rounds import words
from rounds.tui import screens
from rounds.tui.app import RoundsApp
from rounds.tui.keys import FIGURES, key_set
from rounds.tui.keys_page import keys_page, screens_told
from rounds.tui.pages.help import FIGURE_KEYS, LINES
from rounds.tui.screens.charts import SCROLLS, ChartsScreen
from rounds.tui.screens.first_start import FirstStartScreen
from rounds.tui.screens.form import MOVES as FORM_MOVES
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.list_screen import MOVES, PAGES, ListScreen
from rounds.tui.screens.narrowing import MOVES as NARROWING_MOVES
from rounds.tui.screens.narrowing import NarrowingScreen
from rounds.tui.screens.others import OthersScreen
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.sheet_entry import SheetEntryScreen
from rounds.tui.screens.today import TodayScreen

CHECKOUT = Path(__file__).parents[2]
PAGE = (CHECKOUT / "docs" / "keys.md").read_text(encoding="utf-8")
GUIDE = (CHECKOUT / "docs" / "guide.md").read_text(encoding="utf-8")
CAPTURES = CHECKOUT / "tests" / "tui" / "captures"
NAMED = {"pageup": "page up", "pagedown": "page down"}


def screens_with_keys() -> dict[str, type[PageScreen]]:
    """Every screen that binds keys, by the name its bindings begin with."""
    modules = [
        importlib.import_module(f"{screens.__name__}.{found.name}")
        for found in pkgutil.iter_modules(screens.__path__)
    ]
    return {
        str(kept.BINDINGS[0].id).partition(".")[0]: kept
        for module in modules
        for kept in vars(module).values()
        if isinstance(kept, type)
        and issubclass(kept, PageScreen)
        and "BINDINGS" in vars(kept)
        and isinstance(kept.BINDINGS[0], Binding)
    }


WITH_KEYS = screens_with_keys()
SCREENS = screens_told()


def section_of(screen: str) -> str:
    title = words.say(f"keys_page.{screen}.title")
    found = re.search(rf"^## {title}\n(.*?)(?=^## |\Z)", PAGE, re.DOTALL | re.MULTILINE)
    assert found is not None, f"no section {title}"
    return found[1]


def keys_of(section: str) -> set[str]:
    """The keys in the tables of a section."""
    rows = re.findall(r"^\|(.*)\|$", section, re.MULTILINE)
    found = {key for row in rows for key in re.findall(r"`([^`]+)`", row)}
    return found - {FIGURE_KEYS} | (set(FIGURES[1:]) if FIGURE_KEYS in found else set())


def bound_by(owner: Any) -> set[str]:
    """The keys an owner binds, one case of each."""
    bindings = [binding for binding in owner.BINDINGS if isinstance(binding, Binding)]
    return {binding.key.split(",")[0] for binding in bindings}


def read_besides(screen: type[PageScreen]) -> set[str]:
    """The keys a screen reads without binding them."""
    keys: set[str] = set()
    if issubclass(screen, ListScreen):
        keys = {*FIGURES, *MOVES, *PAGES, "backspace"}
    elif screen is TodayScreen:
        keys = set(FIGURES)
    elif screen is FormScreen:
        keys = {*FORM_MOVES, "pagedown", "backspace"}
    elif screen is FirstStartScreen:
        keys = {"up", "backspace"}
    elif screen is OthersScreen:
        keys = {*FIGURES, *NARROWING_MOVES, "backspace"}
    elif issubclass(screen, NarrowingScreen):
        keys = {*NARROWING_MOVES, "backspace"}
    elif screen is ChartsScreen:
        keys = {*SCROLLS, *PAGES}
    elif screen is SheetEntryScreen:
        keys = {"enter", "backspace"}
    elif screen is RoundScreen:
        # on a number pad alone
        keys = {"enter"}
    return {NAMED.get(key, key) for key in keys}


def test_the_page_is_as_it_is_made() -> None:
    made = keys_page()
    assert made == PAGE, "python -m rounds.tui.keys_page > docs/keys.md writes it anew"


def test_every_screen_with_keys_has_a_section() -> None:
    assert set(WITH_KEYS) == set(SCREENS)
    assert set(LINES) == set(SCREENS) - {"form", "sheet-entry", "first-start", "others", "find"}


@pytest.mark.parametrize("screen", SCREENS)
def test_a_section_has_the_keys_of_its_screen_and_no_others(screen: str) -> None:
    of = WITH_KEYS[screen]
    assert keys_of(section_of(screen)) == bound_by(of) | read_besides(of)


def test_every_key_of_the_set_and_of_the_program_is_on_the_page() -> None:
    everywhere = keys_of(section_of("everywhere"))
    assert {key for binding in RoundsApp.BINDINGS if isinstance(binding, Binding)
            for key in binding.key.split(",")} <= everywhere  # fmt: skip
    assert set(key_set().values()) <= keys_of(PAGE)


SHOWN = re.findall(r"<!-- (\S+) -->\n\n?```\n(.*?\n)```", GUIDE, re.DOTALL)


@pytest.mark.parametrize(("name", "shown"), SHOWN, ids=[name for name, _ in SHOWN])
def test_what_the_guide_shows_is_what_the_screen_shows(name: str, shown: str) -> None:
    captured = (CAPTURES / f"{name}.txt").read_text(encoding="utf-8")
    assert f"\n{shown}" in f"\n{captured}", f"{name} is another now: put it into docs/guide.md"


def test_the_guide_shows_screens() -> None:
    assert len(SHOWN) == GUIDE.count("```\n") // 2 > 1
