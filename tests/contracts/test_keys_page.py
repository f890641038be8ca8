"""The page on the keys is held to by the screens: every key of each, help and questions in words;
what the guide shows of a screen is what the screen shows."""

import importlib
import pkgutil
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding

import rounds
from rounds import words
from rounds.tui import screens
from rounds.tui.app import RoundsApp
from rounds.tui.keys import FIGURES, key_of, key_set
from rounds.tui.pages.help import FIGURE_KEYS, LINES
from rounds.tui.screens.desk import DeskScreen
from rounds.tui.screens.doubts import DoubtsScreen
from rounds.tui.screens.first_start import FirstStartScreen
from rounds.tui.screens.form import MOVES as FORM_MOVES
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.history import HistoryScreen, VisitScreen
from rounds.tui.screens.list_screen import MOVES, PAGES, ListScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.settings import SettingsScreen
from rounds.tui.screens.sheet_screen import SheetScreen
from rounds.tui.screens.today import TodayScreen

CHECKOUT = Path(__file__).parents[2]
PAGE = (CHECKOUT / "docs" / "keys.md").read_text(encoding="utf-8")
GUIDE = (CHECKOUT / "docs" / "guide.md").read_text(encoding="utf-8")
CAPTURES = CHECKOUT / "tests" / "tui" / "captures"
ROUND_WORDS = Path(rounds.__file__).parent / "words" / words.LANGUAGE / "round.toml"

SECTIONS: dict[str, tuple[type[SheetScreen], str | None]] = {
    "Today": (TodayScreen, "today"),
    "The round": (RoundScreen, "round"),
    "All plants": (PlantsScreen, "plants"),
    "A plant": (PlantScreen, "plant"),
    "History": (HistoryScreen, "history"),
    "The looks of one day": (VisitScreen, "visit"),
    "Doubts": (DoubtsScreen, "doubts"),
    "The desk": (DeskScreen, "desk"),
    "Settings": (SettingsScreen, "settings"),
    "The first start": (FirstStartScreen, None),
    "End quarantine": (ReleaseScreen, "release"),
    "Forms": (FormScreen, None),
}
"""The headings of the page: their screens, and the lines of help these have."""

ON_TODAY = {"take-over"}
"""Questions of a round that are asked on the first screen."""

NAMED = {"pageup": "page up", "pagedown": "page down"}
QUESTIONS: dict[str, Any] = tomllib.loads(ROUND_WORDS.read_text(encoding="utf-8"))["ask"]


def section_of(title: str) -> str:
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


def read_besides(screen: type[SheetScreen]) -> set[str]:
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
    return {NAMED.get(key, key) for key in keys}


def test_every_screen_with_keys_has_a_section() -> None:
    modules = [
        importlib.import_module(f"{screens.__name__}.{found.name}")
        for found in pkgutil.iter_modules(screens.__path__)
    ]
    having = {
        kept
        for module in modules
        for kept in vars(module).values()
        if isinstance(kept, type) and issubclass(kept, SheetScreen) and "BINDINGS" in vars(kept)
    }
    assert having == {screen for screen, _ in SECTIONS.values()}


@pytest.mark.parametrize("title", SECTIONS)
def test_a_section_has_the_keys_of_its_screen_and_no_others(title: str) -> None:
    screen, _ = SECTIONS[title]
    assert keys_of(section_of(title)) == bound_by(screen) | read_besides(screen)


@pytest.mark.parametrize("title", [title for title, (_, lines) in SECTIONS.items() if lines])
def test_a_section_says_of_its_keys_what_help_says(title: str) -> None:
    _, of_help = SECTIONS[title]
    section = section_of(title)
    for roles, code in LINES[of_help or ""]:
        if roles:
            keys = " ".join(
                f"`{FIGURE_KEYS if role == 'figures' else key_of(role)}`" for role in roles
            )
            assert f"| {keys} | {words.say(f'screens.help.{code}')} |\n" in section


@pytest.mark.parametrize("question", QUESTIONS)
def test_a_question_stands_with_its_answers(question: str) -> None:
    answers = [
        f"`{key_of(role)}` {answer}" for role, answer in QUESTIONS[question]["answers"].items()
    ]
    section = section_of("Today" if question in ON_TODAY else "The round")
    assert f"| {', '.join(answers)} |\n" in section


def test_every_key_of_the_set_and_of_the_program_is_on_the_page() -> None:
    everywhere = keys_of(section_of("Everywhere"))
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
