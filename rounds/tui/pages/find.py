"""Find: what is meant by what was typed, a line each, and below them the line that is typed."""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from rounds import words
from rounds.tui.page import FIRST, THIRD, Page
from rounds.tui.pages.others import rows_shown
from rounds.tui.pages.parts import ROOMY, ask_typed, first_shown, heading, say, typing_keys


@dataclass(frozen=True, slots=True)
class FoundLine:
    """What can be opened, and what it is: a page, an act, or where a plant stands."""

    text: str
    what: str


@dataclass(frozen=True, slots=True)
class FindView:
    """What the page knows."""

    clock: str
    lines: Sequence[FoundLine]
    mark: int
    typed: str


def find_page(view: FindView, width: int, height: int) -> Page:
    """The lines around the mark, and the one that is typed."""
    page = Page(width, height)
    heading(page, words.say("find.title"), "", view.clock)
    edge, until = (FIRST + 2 if page.is_wide else 3), page.until
    top, rows, count = 2, rows_shown(page), len(view.lines)
    first = first_shown(view.mark, count, rows)
    for at in range(first, min(count, first + rows)):
        line, row = view.lines[at], top + at - first
        is_here = at == view.mark
        page.put_line_spot(row, at)
        page.put(row, edge - 2, ">" if is_here else "", "here")
        what_at = THIRD if page.is_wide else max(edge, until - cell_len(line.what))
        page.put(row, edge, line.text, "here" if is_here else "ink", until=what_at - 1)
        page.put(row, what_at, line.what, "quiet", until=until)
    if count > first + rows:
        page.put(top + rows, edge, say("more", count=count - first - rows), "quiet")
    if not count:
        page.put(top, edge, words.say("find.none"), until=until)
    ask_at = page.height - (5 if page.height >= ROOMY else 4)
    ask_typed(page, ask_at, words.say("find.ask"), view.typed)
    typing_keys(page)
    return page
