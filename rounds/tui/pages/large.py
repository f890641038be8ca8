"""Large digits, where rows are spare: what is counted, read from an arm's length away."""

from dataclasses import dataclass

from rounds.tui.page import Page, Role

STROKES = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", "###", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", "  #", "  #"),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ":": (" ", "#", " ", "#", " "),
}
"""The characters that can be shown, five rows each; `#` is a full block."""

ROWS = 6
"""Rows of a large number: its word, and five rows of digits."""

BLOCK = "█"


@dataclass(frozen=True, slots=True)
class Large:
    """A number and the word shown above it."""

    word: str
    digits: str
    role: Role = "ink"


def put_large(page: Page, row: int, columns: tuple[int, ...], numbers: list[Large]) -> None:
    """Numbers side by side, each with its word above, as many as there are columns."""
    ends = [*(column - 2 for column in columns[1:]), page.until]
    for column, end, number in zip(columns, ends, numbers, strict=False):
        page.put(row, column, number.word, "quiet", until=end)
        for offset, line in enumerate(drawn(number.digits), 1):
            _put_strokes(page, row + offset, column, line, number.role)


def drawn(digits: str) -> list[str]:
    """The five rows of a number; a blank column between its characters."""
    return [" ".join(STROKES[digit][row] for digit in digits) for row in range(ROWS - 1)]


def _put_strokes(page: Page, row: int, column: int, line: str, role: Role) -> None:
    """Put one run of blocks per stroke, with blanks left free, so that reversal spares them."""
    at = column
    for run in line.split(" "):
        page.put(row, at, BLOCK * len(run), role)
        at += len(run) + 1
