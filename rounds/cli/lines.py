"""Lines for a person: columns that align, text that wraps."""

import textwrap
import unicodedata
from collections.abc import Iterable, Sequence

from rounds import words

GAP = 2
MOST_COLUMNS = 80
BELOW = " " * 4
KEEP = "\N{NO-BREAK SPACE}"


def table(
    rows: Iterable[Sequence[str]], *, right: Iterable[int] = (), indent: int = 0
) -> list[str]:
    """Rows in columns; those numbered in `right` end at the same place."""
    cells = [[printable(cell) for cell in row] for row in rows]
    count = max((len(row) for row in cells), default=0)
    widths = [max((width(row[n]) for row in cells if n < len(row)), default=0)
              for n in range(count)]  # fmt: skip
    to_right = frozenset(right)
    lines = []
    for row in cells:
        parts = []
        for number, cell in enumerate(row):
            blanks = " " * (widths[number] - width(cell))
            parts.append(blanks + cell if number in to_right else cell + blanks)
        lines.append((" " * indent + (" " * GAP).join(parts)).rstrip())
    return lines


def wrapped(text: str) -> list[str]:
    """Indented lines of a text; it is not broken where `KEEP` stands for a blank."""
    lines = textwrap.wrap(
        text,
        MOST_COLUMNS,
        initial_indent=BELOW,
        subsequent_indent=BELOW,
        break_on_hyphens=False,
    )
    return [line.replace(KEEP, " ") for line in lines]


def width(text: str) -> int:
    """Columns a text takes on a terminal."""
    return sum(_columns(c) for c in text)


def _columns(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def printable(text: str) -> str:
    """Text without characters that would move the cursor."""
    return "".join(c if c.isprintable() else " " for c in text)


def said_once(known: bool) -> list[str]:
    """A line that the entry was known already, if it was."""
    return [words.say("cli.line.known")] if known else []
