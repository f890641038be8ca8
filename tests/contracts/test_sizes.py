"""Files and functions stay short enough to be read in one go."""

import ast
from pathlib import Path

import rounds

LONGEST_FILE = 500
LONGEST_FUNCTION = 60
MOST_FILES = 15

HOUSE = Path(rounds.__file__).parent
CHECKOUT = Path(__file__).parents[2]
OF_PACKAGE = sorted(HOUSE.rglob("*.py"))
ALL = [*OF_PACKAGE, *sorted((CHECKOUT / "tests").rglob("*.py")), *(CHECKOUT / "demo").rglob("*.py")]


def lines_of(file: Path) -> int:
    return len(file.read_text(encoding="utf-8").splitlines())


def name_of(file: Path) -> str:
    return "/".join(file.parts[-3:])


def test_no_file_is_too_long() -> None:
    assert len(ALL) > 500
    assert [name_of(file) for file in ALL if lines_of(file) > LONGEST_FILE] == []


def test_no_room_of_the_service_holds_too_many_files() -> None:
    rooms = {file.parent for file in (HOUSE / "service").rglob("*.py")}
    assert len(rooms) > 10
    assert [name_of(room) for room in rooms if len(list(room.glob("*.py"))) > MOST_FILES] == []


def test_no_function_is_too_long() -> None:
    too_long = [
        f"{name_of(file)}:{node.lineno} {node.name}"
        for file in OF_PACKAGE
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (node.end_lineno or node.lineno) - node.lineno + 1 > LONGEST_FUNCTION
    ]
    assert too_long == []
