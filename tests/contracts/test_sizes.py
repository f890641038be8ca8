"""Files and functions stay short enough to be read in one go."""

import ast
from pathlib import Path

import pytest

import rounds

LONGEST_FILE = 500
LONGEST_FUNCTION = 60
MOST_FILES = 15

HOUSE = Path(rounds.__file__).parent
CHECKOUT = Path(__file__).parents[2]
OF_PACKAGE = sorted(HOUSE.rglob("*.py"))
ALL = [*OF_PACKAGE, *sorted((CHECKOUT / "tests").rglob("*.py")), *(CHECKOUT / "demo").rglob("*.py")]
ROOMS = {file.parent for file in (HOUSE / "service").rglob("*.py")}


def lines_of(file: Path) -> int:
    return len(file.read_text(encoding="utf-8").splitlines())


def name_of(file: Path) -> str:
    return "/".join(file.parts[-3:])


@pytest.mark.parametrize("file", ALL, ids=name_of)
def test_no_file_is_too_long(file: Path) -> None:
    assert lines_of(file) <= LONGEST_FILE


@pytest.mark.parametrize("folder", sorted(ROOMS), ids=name_of)
def test_no_room_of_the_service_holds_too_many_files(folder: Path) -> None:
    assert len(list(folder.glob("*.py"))) <= MOST_FILES


def test_no_function_is_too_long() -> None:
    too_long = [
        f"{name_of(file)}:{node.lineno} {node.name}"
        for file in OF_PACKAGE
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (node.end_lineno or node.lineno) - node.lineno + 1 > LONGEST_FUNCTION
    ]
    assert too_long == []
