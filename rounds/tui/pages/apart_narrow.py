"""Plants apart on a narrow page: how likely each is clean, and the day it is expected."""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from rounds.tui.page import Page
from rounds.tui.pages.parts import say

USUAL_DAY = 10
"""Columns of a day as it mostly is, so that figures stay where they are as days are worked out."""

LEFT = 5


@dataclass(frozen=True, slots=True)
class ApartRow:
    """What a narrow page says of a plant apart."""

    code: str
    name: str
    chance_clean: str
    earliest: str


def put_narrow_heads(page: Page, row: int, rows: Sequence[ApartRow]) -> None:
    """The heads over the columns there are."""
    end, left = _clean_end(page, rows), LEFT
    if end is not None:
        page.put_right(row, end, say("today.column-clean"), "quiet")
        left = min(LEFT, _left_of_clean(end))
    page.put(row, left, say("today.apart"), "quiet")
    page.put_right(row, page.width - 1, say("today.column-earliest"), "quiet")


def put_narrow_row(page: Page, row: int, of: ApartRow, rows: Sequence[ApartRow]) -> None:
    """One plant; its name ends where the figures begin."""
    end = _clean_end(page, rows)
    figures = of.earliest if end is None else of.chance_clean
    name_until = (page.width - 1 if end is None else end) - cell_len(figures) - 1
    page.put(row, LEFT, f"{of.code}  {of.name}", until=name_until)
    if end is not None:
        page.put_right(row, end, figures)
    page.put_right(row, page.width - 1, of.earliest)


def _clean_end(page: Page, rows: Sequence[ApartRow]) -> int | None:
    """The column the chances end before; None where there is no room for them."""
    day = max((cell_len(of.earliest) for of in rows), default=0)
    end = page.width - 2 - max(USUAL_DAY, day)
    chance = end - max((cell_len(of.chance_clean) for of in rows), default=0)
    code_end = LEFT + max((cell_len(of.code) for of in rows), default=0)
    return end if _left_of_clean(end) >= 0 and chance > code_end else None


def _left_of_clean(end: int) -> int:
    """The last column at which the first head may begin, so that it ends before the second."""
    return end - cell_len(say("today.column-clean")) - 1 - cell_len(say("today.apart"))
