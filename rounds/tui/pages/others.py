"""The other plants that can be opened in a round, those near the one at hand first."""

from collections.abc import Sequence
from dataclasses import dataclass

from rounds import words
from rounds.service.round import OtherPlant
from rounds.tui.page import FIRST, MIDDLE, THIRD, Page
from rounds.tui.pages.parts import ROOMY, ask_typed, first_shown, heading, say, typing_keys

MOST_NUMBERED = 9


@dataclass(frozen=True, slots=True)
class OthersView:
    """What the page knows."""

    here: str
    """the code of the plant at hand"""
    clock: str
    lines: Sequence[OtherPlant]
    """those that are meant"""
    mark: int
    typed: str
    by_number: bool
    """a figure chooses a line"""


def others_page(view: OthersView, width: int, height: int) -> Page:
    """A line each, and below them what was typed."""
    page = Page(width, height)
    heading(page, words.say("others.title"), view.here, view.clock)
    ask_at = page.height - (5 if page.height >= ROOMY else 4)
    top, rows = 2, rows_shown(page)
    first = first_shown(view.mark, len(view.lines), rows)
    for row, at in enumerate(range(first, min(len(view.lines), first + rows)), top):
        _put_line(page, row, at, view)
    if len(view.lines) > rows:
        more = say("more", count=len(view.lines) - rows)
        page.put(top + rows, _edge(page), more, "quiet")
    if not view.lines:
        page.put(top, _edge(page), words.say("others.none" if view.typed else "others.no-others"))
    ask = words.say("others.ask-or-number" if view.by_number else "others.ask")
    ask_typed(page, ask_at, ask, view.typed)
    typing_keys(page)
    return page


def rows_shown(page: Page) -> int:
    """How many lines there is room for."""
    # the question may take two rows, and the word of more one
    return max(1, page.height - (10 if page.height >= ROOMY else 8))


def _edge(page: Page) -> int:
    return FIRST + 4 if page.is_wide else 5


def _put_line(page: Page, row: int, at: int, view: OthersView) -> None:
    plant, edge = view.lines[at], _edge(page)
    page.put_line_spot(row, at)
    is_marked = at == view.mark
    if is_marked:
        page.put(row, edge - 5, ">", "here")
    if view.by_number and at < MOST_NUMBERED:
        page.put(row, edge - 3, str(at + 1), "strong")
    near = words.say(f"others.near.{plant.near}", code=view.here) if plant.near else ""
    name = f"{plant.code}  {plant.name}"
    if page.is_wide:
        page.put(row, edge, name, "here" if is_marked else "ink", until=MIDDLE - 1)
        page.put(row, MIDDLE, plant.place, until=THIRD - 1)
        page.put(row, THIRD, near, "quiet", until=page.until)
        return
    page.put_right(row, page.until, near, "quiet")
    page.put(row, edge, name, "here" if is_marked else "ink", until=page.until - len(near) - 1)
