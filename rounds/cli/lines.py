"""Lines for a person: columns that align, a plant in one line, ids to take back by."""

import textwrap
import unicodedata
from collections.abc import Iterable, Sequence
from datetime import date

from rounds import words
from rounds.service.standing import PlantStatus
from rounds.words.forms import days_text

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
    """Text that belongs to the line above it. Not broken where `KEEP` stands for a blank."""
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


def where(status: PlantStatus) -> str:
    """Place and spot."""
    place = status.place or ""
    if status.spot is None:
        return place
    return words.say("round.place-and-spot", place=place, spot=status.spot)


def standing(status: PlantStatus, on: date) -> str:
    """apart, day 19; in the collection."""
    days = (on - status.standing_since).days
    return words.say(f"round.standing.{status.standing}", days=days)


def streak(status: PlantStatus) -> str:
    """4 looks, 5 days."""
    looks = status.streak.looks
    said = words.say("forms.one-look") if looks == 1 else words.say("forms.looks", looks=looks)
    return words.say("cli.line.streak", looks=said, days=days_text(status.streak.days))


def plant_line(status: PlantStatus, on: date) -> str:
    """A plant in one line: code, name, where it is, how it stands, its streak."""
    row = [
        words.say("cli.line.plant", code=status.code, name=status.name),
        where(status),
        standing(status, on),
        words.say("cli.line.clean", streak=streak(status)),
    ]
    return table([[cell for cell in row if cell]])[0]


def said_once(known: bool) -> list[str]:
    """Whether it was known already."""
    return [words.say("cli.line.known")] if known else []
