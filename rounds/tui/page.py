"""A page of text: what stands where, and in which role. Knows nothing of Textual."""

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from rich.cells import cell_len, set_cell_size

Role = Literal["ink", "quiet", "strong", "here", "find", "apart", "doubt", "ask"]

FIRST, MIDDLE, THIRD, FOURTH = 2, 28, 54, 80
"""The columns everything hangs from; the fourth where a page is spread."""

KEY_COLUMNS = (2, 15, 28, 41, 54, 67)
NARROW_KEY_COLUMNS = (1, 10, 19, 29)
WIDE, WIDE_FROM_HEIGHT = 80, 22
SPREAD = 106
"""Least columns of a page with a fourth column."""

LEAST_WIDTH, LEAST_HEIGHT = 40, 12
CUT = ".."
FIGURES = "1-9"
"""How the keys of all figures are named."""
FILLER = "\0"
"""Unprintable; stands for the second column of a double-width character."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A run of text in one role."""

    column: int
    text: str
    role: Role = "ink"

    @property
    def end(self) -> int:
        """The column after it."""
        return self.column + cell_len(self.text)


@dataclass(frozen=True, slots=True)
class KeyHint:
    """A key and what it does. `press` are the keys a click on it presses, where not itself."""

    key: str
    text: str
    press: tuple[str, ...] = ()
    role: Role = "ink"


@dataclass(frozen=True, slots=True)
class Spot:
    """Columns of a row that can be clicked: keys that are pressed, a line, or a choice."""

    row: int
    column: int
    end: int
    press: tuple[str, ...] = ()
    line: int | None = None
    """counted from 0"""
    choice: str | None = None
    """by its code"""


class Page:
    """Rows of cells within a width and a height."""

    def __init__(self, width: int, height: int, *, wide: bool | None = None) -> None:
        """`wide` says whether there is room for three columns, where the size alone does not."""
        self.width = width
        self.height = height
        self._wide = wide
        self.rows: list[list[Cell]] = [[] for _ in range(height)]
        self.answering: set[str] = set()
        """keys that answer what is asked, which no hint says otherwise"""
        self.spots: list[Spot] = []

    @property
    def is_wide(self) -> bool:
        """Room for three columns."""
        if self._wide is not None:
            return self._wide
        return self.width >= WIDE and self.height >= WIDE_FROM_HEIGHT

    @property
    def is_spread(self) -> bool:
        """Room for a fourth column."""
        return self.is_wide and self.width >= SPREAD

    @property
    def edge(self) -> int:
        """The column text begins at."""
        return FIRST if self.is_wide else 1

    @property
    def until(self) -> int:
        """The column text ends before: all the width there is."""
        return self.width - 1

    def blank(self) -> "Page":
        """An empty page of the same kind."""
        return Page(self.width, self.height, wide=self.is_wide)

    def part(self, first: int, end: int) -> "Page":
        """The rows from `first` to before `end`, as far as there are, as a page of their own."""
        end = min(end, self.height)
        part = Page(self.width, max(0, end - first), wide=self.is_wide)
        part.rows = self.rows[first:end]
        part.spots = [
            replace(spot, row=spot.row - first) for spot in self.spots if first <= spot.row < end
        ]
        return part

    def put(
        self, row: int, column: int, text: str, role: Role = "ink", *, until: int | None = None
    ) -> None:
        """Text from a column on; cut with two points before `until` or the edge."""
        limit = (self.width if until is None else min(until, self.width)) - column
        if 0 <= row < self.height and limit > 0 and text:
            self.rows[row].append(Cell(column, fit(printable(text), limit), role))

    def put_right(self, row: int, end: int, text: str, role: Role = "ink") -> None:
        """Text that ends before a column."""
        shown = printable(text)
        self.put(row, max(0, end - cell_len(shown)), shown, role, until=end)

    def put_wrapped(
        self, row: int, column: int, text: str, role: Role = "ink", *, until: int, rows: int = 2
    ) -> int:
        """Text over as many rows as it needs, `rows` at most; how many it took."""
        lines = wrap(text, until - column)
        if len(lines) > rows:
            lines = [*lines[: rows - 1], " ".join(lines[rows - 1 :])]
        for offset, line in enumerate(lines):
            self.put(row + offset, column, line, role, until=until)
        return len(lines)

    def put_key(self, row: int, column: int, hint: KeyHint, gap: int = 1) -> None:
        """A key and what it does; a click on either presses it, where it can be pressed."""
        text_at = column + cell_len(hint.key) + gap
        self.put(row, column, hint.key, "strong")
        self.put(row, text_at, hint.text, hint.role)
        self.spots.append(
            Spot(row, column, text_at + cell_len(hint.text), hint.press or (*hint.key.split(),))
        )

    def put_keys(
        self, row: int, hints: Sequence[KeyHint | None], columns: Sequence[int] | None = None
    ) -> None:
        """Key hints, each at its own column; None, or a key that answers, leaves it free."""
        at = columns or (KEY_COLUMNS if self.is_wide else NARROW_KEY_COLUMNS)
        for column, hint in zip(at, hints, strict=False):
            if hint is not None and not self._answers(hint.key):
                self.put_key(row, column, hint, 1 + (len(hint.key) > 1))

    def _answers(self, key: str) -> bool:
        return key in self.answering or (key == FIGURES and any(map(str.isdigit, self.answering)))

    def text(self) -> str:
        """The page as plain text, without trailing blanks."""
        return "\n".join(plain(row, self.width).rstrip() for row in self.rows)


def plain(cells: Iterable[Cell], width: int) -> str:
    """One row as text."""
    line = ""
    for cell in ordered(cells):
        line = set_cell_size(line, cell.column) + cell.text
    return set_cell_size(line, width)


def ordered(cells: Iterable[Cell]) -> list[Cell]:
    """Cells from left to right."""
    return sorted(cells, key=lambda cell: cell.column)


def fit(text: str, width: int) -> str:
    """Text cut to a width, with two points where something is missing."""
    if cell_len(text) <= width:
        return text
    if width <= len(CUT):
        return set_cell_size(text, width)
    return set_cell_size(text, width - len(CUT)).rstrip() + CUT


def wrap(text: str, width: int) -> list[str]:
    """Text in lines of at most a width; a word longer than that is cut where it is shown."""
    # textwrap counts characters: those of two columns are counted twice
    counted = "".join(c + FILLER * (cell_len(c) - 1) for c in printable(text))
    lines = textwrap.wrap(counted, width, break_long_words=False)
    return [line.replace(FILLER, "") for line in lines] or [""]


def printable(text: str) -> str:
    """Text without characters that would move the cursor."""
    return "".join(c if c.isprintable() else " " for c in text)
