"""How tests read a page: what is wrong with it, and whether it looks as it was captured."""

import os
from itertools import pairwise
from pathlib import Path
from typing import Any

from rich.cells import cell_len

from rounds.tui.keys import key_of, key_set
from rounds.tui.page import CUT, Cell, Page, ordered
from tests.tui.touring import types

SIZES = (
    (80, 24), (120, 40), (100, 23), (80, 22), (80, 12),
    (60, 20), (60, 40), (106, 33), (40, 36), (40, 24), (40, 19), (40, 16), (40, 12),
)  # fmt: skip
TURNS = 3
CAPTURES = Path(__file__).parent / "captures"
REWRITE = "ROUNDS_REWRITE_CAPTURES"
"""Set to 1, the captures are written anew instead of compared: then read what changed in them."""

NAMES = (
    ("G02[bold]", "[bold red]Thole[/bold red][/] [link=x]"),
    ("G05" + "x" * 60, "Halyard of the long name " * 20),
    ("鉢植え七番", "綿虫の鉢植えの長い長い名前の植物" * 4),
    ("G14\x1b[31m", "Gimbal\x1b[2J\x07\r\n\t\x9b31m"),
    ("é\u0301\u0301", "Cuddy\u200d\u202e\u2066 e\u0301\u0301"),
    ("S03", "👩\u200d🌾🪴 Pintle 🏳️\u200d🌈"),
)
PLACES = ("[/]porch [blink]shelf" + " and a bench" * 20, "階段の下の離れた場所\x1b]0;x\x07" * 5)


def sizes_in_turn(turn: int, turns: int = TURNS) -> tuple[tuple[int, int], ...]:
    """Some of the sizes; all of them in so many turns.

    To lay a page out to a size takes longer than all that is asked of it: over many pages each
    size is met often enough when they go round.
    """
    return SIZES[turn % turns :: turns]


def complaints(page: Page, *, plain: bool) -> list[str]:
    """What is wrong with a page: too wide, cells over one another, keys cut, odd characters."""
    found = []
    for number, cells in enumerate(page.rows):
        at = 0
        for cell in ordered(cells):
            if cell.column < at:
                found.append(f"row {number}: {cell.text!r} lies over what stands before it")
            at = cell.end
            if not cell.text.isprintable():
                found.append(f"row {number}: {cell.text!r} moves the cursor")
            if plain and cell_len(cell.text) != len(cell.text):
                found.append(f"row {number}: {cell.text!r} is not one column a character")
        if at > page.width:
            found.append(f"row {number}: {at} columns of {page.width}")
        found += [f"row {number}: key text {cut!r}" for cut in cut_keys(ordered(cells))]
    return found


def way_out(driver: Any) -> str:
    """The key that leaves a page: while a line is typed, q is a letter like any other."""
    return "ctrl+q" if types(driver.screen) else key_of("leave")


def cut_keys(cells: list[Cell]) -> list[str]:
    """The texts of keys that had no room."""
    keys = {*key_set().values(), "1-9"}
    return [
        after.text
        for before, after in pairwise(cells)
        if before.role == "strong" and before.text in keys and after.text.endswith(CUT)
    ]


def compare(name: str, text: str) -> str | None:
    """None where a page is as it was captured; else what to do. Writes it where that is asked."""
    file = CAPTURES / f"{name}.txt"
    if os.environ.get(REWRITE) == "1":
        file.write_text(text + "\n", encoding="utf-8")
    kept = file.read_text(encoding="utf-8") if file.exists() else ""
    return None if kept == text + "\n" else f"{name} differs; {REWRITE}=1 writes it:\n{text}"
