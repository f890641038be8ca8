"""Service speaks of the fields of the model; each edge maps them, once, to what its user sees."""

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import click
import pytest

import rounds
from rounds.cli.arguments import ARGUMENTS, OF_COMMAND, argument_of
from rounds.cli.calc import calc
from rounds.cli.main import GROUPS, command_of
from rounds.cli.values import argument_name
from rounds.service.entries.looks import KINDS
from rounds.service.what_if.supposing import RANGES
from rounds.tui.forms.at_fault import FORM_FIELDS

HOUSE = Path(rounds.__file__).parent
BELOW = [file for room in ("core", "store", "service") for file in (HOUSE / room).rglob("*.py")]
OF_FILES = HOUSE / "service" / "exchange"
"""What is told of a file names its columns."""

OF_SCREENS = {"count", "kind", "roots_seen"}
"""Fields that no command takes."""

OF_COMMANDS = {
    "at", "away_from", "cannot_see", "celsius", "copy", "course", "early_reason", "entry",
    "found", "found_on", "key", "liquid", "looks_a_week", "path", "per", "pest", "rate",
    "step", "stop", "verdict",
}  # fmt: skip
"""Fields that no form holds."""

OF_SUMS = {
    field
    for name, command in calc.commands.items()
    if name != "dilution"
    for field in (str(param.name) for param in command.params)
}
"""Fields of sums that have no form."""

OF_LINES = {"line"}
"""A typed line as a whole: screens alone have it, and no field in it."""


def commands() -> Iterator[click.Command]:
    for modules in GROUPS.values():
        for name in modules:
            command = command_of(name)
            yield command
            if isinstance(command, click.Group):
                yield from command.commands.values()


COMMANDS = {str(command.name): command for command in commands()}


def metavars() -> set[str]:
    """Words in capitals that stand for arguments."""
    given = {argument_name(param) for command in COMMANDS.values() for param in command.params}
    in_capitals = {word for name in given for word in re.findall(r"[A-Z]{2,}", name)}
    return in_capitals | {name for name in ARGUMENTS.values() if name.isupper()}


@cache
def parsed(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"))


def texts(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def test_nothing_below_the_edges_names_an_option_or_an_argument() -> None:
    named = metavars()
    assert len(BELOW) > 200
    for file in BELOW:
        said = set(texts(parsed(file)))
        assert [text for text in said if text.startswith("--")] == [], file
        assert named & said == set(), file


def takers(trees: list[ast.Module]) -> dict[str, int]:
    """The functions that are told which field is at fault, and as which argument."""
    found: dict[str, int] = {}
    for node in (node for tree in trees for node in ast.walk(tree)):
        if isinstance(node, ast.FunctionDef):
            names = [arg.arg for arg in node.args.args]
            if "field" in names:
                found[node.name] = names.index("field")
    return found


def constants(node: ast.AST | None) -> set[str]:
    is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
    return {node.value} if is_text else set()  # type: ignore[union-attr]


NAMED_IN_TURN = {"looks.py": KINDS, "supposing.py": RANGES}
"""Fields that a file goes through one after the other, by its name."""


@cache
def raised() -> dict[str, set[str]]:
    """The fields named by service, each with the files that name it."""
    files = [file for file in BELOW if OF_FILES not in file.parents]
    trees = {file: parsed(file) for file in files}
    anywhere = takers(list(trees.values()))
    found: dict[str, set[str]] = defaultdict(set)
    for file, tree in trees.items():
        told = anywhere | takers([tree])
        named = set(NAMED_IN_TURN.get(file.name, ()))
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef) and node.name in told:
                for default in node.args.defaults[-1:]:
                    named |= constants(default)
            if isinstance(node, ast.Call):
                name = getattr(node.func, "id", getattr(node.func, "attr", ""))
                for keyword in node.keywords:
                    if keyword.arg == "field":
                        named |= constants(keyword.value)
                if name in told and len(node.args) > told[name]:
                    named |= constants(node.args[told[name]])
        for field in named:
            found[field].add(str(file.relative_to(HOUSE)))
    return found


def test_the_fields_that_service_names_were_found() -> None:
    assert set(raised()) >= {
        "code",
        "place",
        "on",
        "at",
        "max_c",
        "min_c",
        "names",
        "stage",
        "left",
    }


def test_commands_and_forms_know_every_field_that_service_names() -> None:
    assert set(raised()) - set(ARGUMENTS) - OF_SCREENS - OF_LINES == set()
    assert set(raised()) - set(FORM_FIELDS) - OF_COMMANDS - OF_LINES - OF_SUMS == set()


def test_no_edge_maps_a_field_that_nobody_names() -> None:
    of_cli = "".join(file.read_text(encoding="utf-8") for file in (HOUSE / "cli").glob("*.py"))
    assert [f for f in ARGUMENTS if f not in raised() and f'field="{f}"' not in of_cli] == []
    assert set(FORM_FIELDS) - set(raised()) == set()
    assert set(raised()) >= OF_SCREENS | OF_COMMANDS | OF_LINES


@pytest.mark.parametrize("command", OF_COMMAND)
def test_what_a_command_calls_otherwise_is_one_of_its_arguments(command: str) -> None:
    names = {argument_name(param) for param in COMMANDS[command].params}
    assert set(OF_COMMAND[command].values()) <= names


@pytest.mark.parametrize("command", sorted(set(COMMANDS) - {"import"}))
def test_a_field_a_command_takes_is_called_as_it_is_typed(command: str) -> None:
    typed = {str(param.name): argument_name(param) for param in COMMANDS[command].params}
    # several words parted by bars are what may be given, not what it is called
    named = {field: name for field, name in typed.items() if field in raised() and "|" not in name}
    assert named == {field: argument_of(command, field) for field in named}


def test_the_fields_of_forms_are_those_of_forms() -> None:
    files = [file for file in (HOUSE / "tui" / "forms").glob("*.py") if file.stem != "at_fault"]
    of_forms = {text for file in files for text in texts(parsed(file))} | set(KINDS)
    assert {code for codes in FORM_FIELDS.values() for code in codes} <= of_forms
