"""The plant drawn: the zones of a growth form where they are on it."""

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from itertools import groupby
from types import MappingProxyType

from rounds.tui.page import Cell

WIDTH, HEIGHT = 24, 11
"""Greatest columns and rows of a drawing."""

SMALL_FONT = str.maketrans("╱╲│┊─┌┐└┘├┤┬┴╭╮╰╯", r"/\|:-++++++++/\\/")
"""What stands for a character that a small font does not have."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A growth form in lines of text."""

    lines: tuple[str, ...]
    zone_map: tuple[str, ...]
    """per line the mark of each cell's zone"""
    marks: Mapping[str, str]
    """mark per zone code"""
    rows: Mapping[str, int]
    """row per zone code, from the top of the plant to the bottom"""


def picture(form: str, zone_here: str | None = None, small_font: bool = False) -> list[list[Cell]]:
    """The rows of a growth form's drawing, the zone at hand in its own role.

    Columns count from the left edge of the drawing; blanks are left out. A zone the growth form
    does not have marks nothing.

    Raises:
        KeyError: no such growth form.
    """
    drawn = drawing(form)
    mark = drawn.marks.get(zone_here or "")
    return [
        _row(line.translate(SMALL_FONT) if small_font else line, zones, mark)
        for line, zones in zip(drawn.lines, drawn.zone_map, strict=True)
    ]


def has_small_font() -> bool:
    """Whether the terminal is one whose font lacks slanted strokes: the Linux console."""
    return os.environ.get("TERM") == "linux"


def zone_rows(form: str) -> Mapping[str, int]:
    """The row of the drawing beside which each zone is listed; each zone has its own.

    Raises:
        KeyError: no such growth form.
    """
    return drawing(form).rows


@cache
def drawing(form: str) -> Drawing:
    """The drawing of a growth form.

    Raises:
        KeyError: no such growth form.
    """
    source = resources.files("rounds.tui").joinpath("pictures", f"{form}.toml")
    try:
        data = tomllib.loads(source.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise KeyError(form) from None
    zones = data["zones"]
    return Drawing(
        lines=tuple(data["drawing"].splitlines()),
        zone_map=tuple(data["map"].splitlines()),
        marks=MappingProxyType({zone: entry["mark"] for zone, entry in zones.items()}),
        rows=MappingProxyType({zone: entry["row"] for zone, entry in zones.items()}),
    )


def _row(line: str, zones: str, mark_here: str | None) -> list[Cell]:
    """Cells of one row: a run per stroke without its blanks, so that reversal spares them."""
    cells: list[Cell] = []
    for (blank, is_here), run in groupby(
        enumerate(line), key=lambda at: (at[1] == " ", zones[at[0]] == mark_here)
    ):
        if not blank:
            columns, strokes = zip(*run, strict=True)
            cells.append(Cell(columns[0], "".join(strokes), "here" if is_here else "quiet"))
    return cells
