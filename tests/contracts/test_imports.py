"""The arrows of the house: core <- store <- service <- tui, cli."""

import ast
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

import rounds

HOUSE = Path(rounds.__file__).parent
FILES = sorted(HOUSE.rglob("*.py"))
FOR_ALL = ("rounds", "rounds.errors", "rounds.words")
SERVICE_SIDE = ("rounds.service", "rounds.core", "rounds.clock", "rounds.paths", "rounds.near")

ALLOWED = {
    "core": ("rounds.core", "numpy"),
    "store": ("rounds.store", "rounds.core", "rounds.errors", "sqlite3"),
    "service": (
        "rounds.service", "rounds.store", "rounds.core", "rounds.clock", "dateutil", *FOR_ALL,
    ),
    "cli": ("rounds.cli", "click", *SERVICE_SIDE, *FOR_ALL),
    "tui": ("rounds.tui", "textual", "rich", *SERVICE_SIDE, *FOR_ALL),
    "words": ("rounds.words", "rounds"),
}  # fmt: skip
"""What the files of a folder may import besides the standard library."""

ONLY_WITHIN_FUNCTIONS = {
    "store": ("sqlite_utils",), "cli": ("rounds.tui",), "service": ("icalendar",),
    "tui": ("textual_plotext",),
}  # fmt: skip
"""What is slow to import and seldom needed: never at the top of a file."""

AT_HOME = {
    "textual": "tui", "textual_plotext": "tui", "rich": "tui",
    "sqlite3": "store", "sqlite_utils": "store",
}  # fmt: skip
"""Libraries that one folder alone knows."""

HEADLESS = ("core", "store", "service", "cli")


def name_of(file: Path) -> str:
    return file.relative_to(HOUSE).as_posix()


def folder_of(file: Path) -> str:
    parts = file.relative_to(HOUSE).parts
    return parts[0] if len(parts) > 1 else ""


def module_of(file: Path) -> str:
    parts = file.relative_to(HOUSE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {module_of(file) for file in FILES}


def imported(tree: ast.AST) -> Iterator[str]:
    """Every module imported anywhere below a node."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            yield from (_module(str(node.module), alias.name) for alias in node.names)


def _module(source: str, name: str) -> str:
    return f"{source}.{name}" if f"{source}.{name}" in MODULES else source


def imported_at_start(tree: ast.Module) -> set[str]:
    """What importing the file itself imports: not what stands in functions or for the checker."""
    found: set[str] = set()
    for node in tree.body:
        for_checker = isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test)
        if not for_checker and not isinstance(node, ast.FunctionDef | ast.ClassDef):
            found |= set(imported(node))
    return found


def within(module: str, allowed: tuple[str, ...]) -> bool:
    # the package itself is its version, not a way into every folder
    return any(
        module == name or (name != "rounds" and module.startswith(f"{name}.")) for name in allowed
    )


def is_ours_or_foreign(module: str) -> bool:
    top = module.partition(".")[0]
    return top not in sys.stdlib_module_names or top == "sqlite3"


@cache
def parsed(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"))


def test_a_file_imports_only_what_its_folder_may() -> None:
    of_folders = [file for file in FILES if folder_of(file) in ALLOWED]
    assert len(of_folders) > 300
    for file in of_folders:
        tree, folder = parsed(file), folder_of(file)
        late = ONLY_WITHIN_FUNCTIONS.get(folder, ())
        foreign = {module for module in imported(tree) if is_ours_or_foreign(module)}
        strange = sorted(m for m in foreign if not within(m, ALLOWED[folder] + late))
        assert strange == [], name_of(file)
        slow = sorted(m for m in imported_at_start(tree) if within(m, late))
        assert slow == [], name_of(file)


@pytest.mark.parametrize("library", AT_HOME)
def test_a_library_is_known_in_one_folder_only(library: str) -> None:
    users = {
        folder_of(file)
        for file in FILES
        for module in imported(parsed(file))
        if module.partition(".")[0] == library
    }
    assert users == {AT_HOME[library]}


def test_every_folder_of_code_has_its_arrows() -> None:
    assert {folder_of(file) for file in FILES} - {""} == set(ALLOWED)


def test_headless_modules_load_no_screen_and_nothing_slow() -> None:
    headless = sorted(module_of(f) for f in FILES if folder_of(f) in HEADLESS)
    assert len(headless) > 30
    program = (
        "import importlib, sys\n"
        f"for module in {headless!r}: importlib.import_module(module)\n"
        "print(*sorted({name.partition('.')[0] for name in sys.modules}))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    loaded = set(done.stdout.split())
    assert "sqlite3" in loaded
    assert loaded & {"textual", "rich", "scipy", "sqlite_utils"} == set()


def test_imports_go_round_in_no_circle() -> None:
    """So that any module can be the first one that is imported."""
    asked = {module_of(file): list(entered(file, imported_at_start)) for file in FILES}
    # the circle, where there is one, is what the failure shows
    assert len(list(TopologicalSorter(asked).static_order())) == len(asked)


def test_imports_go_round_in_no_circle_even_for_the_checker() -> None:
    """Counted are all imports: those in functions and those that only the type checker follows."""
    assert sorted(map(sorted, circles())) == []


@cache
def circles() -> frozenset[frozenset[str]]:
    """Modules each of which leads to each other, by whatever imports."""
    asked = {module_of(file): set(entered(file, imported)) for file in FILES}
    reached = {module: _reached(module, asked) for module in asked}
    return frozenset(
        frozenset(other for other in reached[module] if module in reached[other])
        for module in asked
        if module in reached[module]
    )


def _reached(module: str, asked: Mapping[str, set[str]]) -> set[str]:
    found: set[str] = set()
    to_follow = [module]
    while to_follow:
        following = asked[to_follow.pop()] - found
        found |= following
        to_follow += following
    return found


def entered(file: Path, imports: Callable[[ast.Module], Iterable[str]]) -> Iterator[str]:
    """The modules of the package that importing a file runs first: named, or on the way to one."""
    own = module_of(file)
    for name in imports(parsed(file)):
        parts = name.split(".")
        for end in range(1, len(parts) + 1):
            passed = ".".join(parts[:end])
            if passed in MODULES and not f"{own}.".startswith(f"{passed}."):
                yield passed
