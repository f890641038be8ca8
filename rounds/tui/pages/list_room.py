"""The rows a list of plants has on a page, and which of its lines are in sight."""

from dataclasses import dataclass

from rounds.tui.page import Page
from rounds.tui.pages.parts import ROOMY, desk_row, first_shown


@dataclass(frozen=True, slots=True)
class Room:
    """The rows of the list: its heads if there are any, then `rows` from `first` on."""

    heads: int | None
    first: int
    rows: int


def list_room(page: Page, count: int, end: int | None = None) -> Room:
    """The rows for a list of `count` lines, one left for the word of more where some are hidden.

    `end` is the row what is said at the bottom begins on, where that is not its usual one.
    """
    if page.is_wide:
        heads, first = 6, 7
    elif page.height >= ROOMY:
        heads = 7 if page.height > ROOMY + 1 else 6
        first = heads + 1
    else:
        heads, first = None, 4
    usual = desk_row(page) - (1 if page.height >= ROOMY else 0)
    rows = max(1, (usual if end is None else min(usual, end)) - first)
    if heads is not None and count > rows:
        rows -= 1
    return Room(heads, first, rows)


def lines_in_sight(mark: int, count: int, room: Room) -> range:
    """The lines of the list that are shown."""
    first = first_shown(mark, count, room.rows)
    return range(first, min(count, first + room.rows))
