"""What code asks of the data files is there: words, zones, parameters, keys."""

import ast
import importlib
import string
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding
from textual.screen import Screen

import rounds
from rounds import words
from rounds.service.entries.looks import STAGES
from rounds.service.logbook.parameters import load_parameters
from tests.parameter_table import parameter_table

ZONES = sorted({z.zone for zones in load_parameters().forms.values() for z in zones})
HOUSE = Path(rounds.__file__).parent
FILES = sorted(HOUSE.rglob("*.py"))
TAGS = {"read", "derived", "memory", "assumption", "practice"}
FAULTS = {"RoundsError", "BadInput", "Refused", "LogbookUnusable", "_bad"}
OF_SCREENS = HOUSE / "tui"
FIGURES = set("0123456789")
KEY_SETS = sorted((HOUSE / "tui" / "keysets").glob("*.toml"))


@dataclass(frozen=True)
class Asked:
    """A sentence some code asks for: its code, or how it begins where the rest is computed."""

    where: str
    code: str
    is_whole: bool
    values: frozenset[str] | None
    """the names it is filled with; None where they are computed"""


@cache
def all_calls(file: Path) -> tuple[tuple[str, ast.Call], ...]:
    """Each call in a file that is given something, with the name of what is called."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    found = [node for node in ast.walk(tree) if isinstance(node, ast.Call) and node.args]
    return tuple((called(node.func), node) for node in found)


def called(function: ast.expr) -> str:
    """The name of what is called, of a method without what it belongs to."""
    return function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")


def calls(file: Path, names: set[str]) -> Iterator[ast.Call]:
    return (call for name, call in all_calls(file) if name in names)


def codes_of(node: ast.expr) -> Iterator[tuple[str, bool]]:
    """The codes an argument may be, and whether each is whole."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value, True
    elif isinstance(node, ast.IfExp):
        yield from codes_of(node.body)
        yield from codes_of(node.orelse)
    elif isinstance(node, ast.JoinedStr) and isinstance(node.values[0], ast.Constant):
        yield str(node.values[0].value), False


def values_of(call: ast.Call) -> frozenset[str] | None:
    names = [keyword.arg for keyword in call.keywords]
    return None if None in names else frozenset(name for name in names if name)


def prefix_of(call: ast.Call, file: Path) -> str:
    """The screens have a short way to their own sentences."""
    is_short = isinstance(call.func, ast.Name) and OF_SCREENS in file.parents
    return "screens." if is_short else ""


def all_asked() -> list[Asked]:
    return [
        Asked(
            f"{file.relative_to(HOUSE)}:{call.lineno}",
            prefix_of(call, file) + code,
            is_whole,
            values_of(call),
        )
        for file in FILES
        for call in calls(file, {"say", "section"})
        for code, is_whole in codes_of(call.args[0])
    ]


@cache
def _file(name: str) -> Any:
    return tomllib.loads((HOUSE / "words" / "en" / f"{name}.toml").read_text("utf-8"))


def at(code: str) -> Any:
    """What stands in the words under a code."""
    name, _, path = code.partition(".")
    found = _file(name)
    for part in filter(None, path.split(".")):
        found = found[part]
    return _said(found)


def _said(found: Any) -> Any:
    """What is found, with the sentences that stand elsewhere."""
    if isinstance(found, dict):
        return {key: _said(text) for key, text in found.items()}
    is_elsewhere = isinstance(found, str) and found.startswith(words.ELSEWHERE)
    return at(found.removeprefix(words.ELSEWHERE)) if is_elsewhere else found


def fields_of(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}


def test_each_sentence_asked_for_is_there_and_gets_its_values() -> None:
    whole = [asked for asked in all_asked() if asked.is_whole]
    assert len(whole) > 100
    assert [f"{asked.where} {asked.code}" for asked in whole if not is_answered(asked)] == []


def is_answered(asked: Asked) -> bool:
    try:
        found = at(asked.code)
    except KeyError:
        return False
    is_filled = isinstance(found, str) and asked.values is not None
    return not is_filled or fields_of(found) <= (asked.values or set())


def raised() -> Iterator[tuple[str, str, frozenset[str] | None]]:
    for file in FILES:
        for call in calls(file, FAULTS):
            given = values_of(call)
            if given is not None and ("field" in given or HOUSE / "cli" in file.parents):
                # a sentence may speak of what is at fault as its user calls it
                given |= {"argument"}
            for code, is_whole in codes_of(call.args[0]):
                if is_whole:
                    yield f"{file.relative_to(HOUSE)}:{call.lineno}", code, given


def test_every_fault_says_what_is_wrong_and_what_to_do() -> None:
    found = list(raised())
    assert len(found) > 100
    for where, code, values in found:
        sentences = at(f"errors.{code}")
        assert set(sentences) == {"message", "what_to_do"}, f"{where} {code}"
        for sentence in sentences.values():
            assert sentence.strip(), f"{where} {code}"
            assert values is None or fields_of(sentence) <= values, f"{where} {code}"


@pytest.mark.parametrize("zone", ZONES)
def test_every_zone_has_a_name_and_says_where_to_look(zone: str) -> None:
    assert words.say(f"zones.{zone}.name")
    assert words.say(f"zones.{zone}.advice")


@pytest.mark.parametrize("stage", STAGES)
def test_every_stage_that_can_be_entered_has_a_name_in_the_round(stage: str) -> None:
    assert words.say(f"round.stages.{stage}")


def test_no_zone_is_named_that_no_growth_form_has() -> None:
    assert set(at("zones")) == set(ZONES)


def test_every_parameter_says_where_it_comes_from() -> None:
    without = [row.code for row in parameter_table() if not row.source or row.tag not in TAGS]
    assert without == []


def key_set(file: Path) -> dict[str, str]:
    return tomllib.loads(file.read_text(encoding="utf-8"))


def screens() -> Iterator[type[Screen[None]]]:
    for file in sorted((OF_SCREENS / "screens").glob("*.py")):
        module = importlib.import_module(f"rounds.tui.screens.{file.stem}")
        for found in vars(module).values():
            is_screen = isinstance(found, type) and issubclass(found, Screen)
            if is_screen and found.__module__ == module.__name__:
                yield found


def bindings_of(screen: type[Screen[None]]) -> list[Binding]:
    return [found for found in vars(screen).get("BINDINGS", []) if isinstance(found, Binding)]


SCREENS = [screen for screen in screens() if bindings_of(screen)]


def roles_used() -> set[str]:
    """Roles bound on a screen, shown as a hint, or answering a question."""
    used = {str(b.id).partition(".")[2] for screen in SCREENS for b in bindings_of(screen)}
    for file in OF_SCREENS.rglob("*.py"):
        for call in calls(file, {"key_of", "hint"}):
            used |= {code for code, is_whole in codes_of(call.args[0]) if is_whole}
    for question in at("round.ask").values():
        used |= set(question.get("answers", ()))
    return used - FIGURES


def test_screens_and_key_sets_were_found() -> None:
    assert KEY_SETS
    assert {screen.__name__ for screen in SCREENS} >= {"RoundScreen", "TodayScreen"}
    assert roles_used() >= {"removed", "take-back", "next", "leave", "help", "begin", "not-now"}


@pytest.mark.parametrize("file", KEY_SETS, ids=lambda file: file.stem)
def test_a_key_set_has_every_role_and_each_key_one_meaning(file: Path) -> None:
    keys = tomllib.loads(file.read_text(encoding="utf-8"))
    assert sorted(roles_used() - set(keys)) == []
    assert [key for key, times in Counter(keys.values()).items() if times > 1] == []
    assert FIGURES & set(keys.values()) == set()


@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.__name__)
def test_no_key_is_bound_twice_on_a_screen(screen: type[Screen[None]]) -> None:
    bound = [key for binding in bindings_of(screen) for key in binding.key.split(",")]
    assert [key for key, times in Counter(bound).items() if times > 1] == []
    names = [binding.id for binding in bindings_of(screen)]
    assert None not in names
    assert len(set(names)) == len(names)
