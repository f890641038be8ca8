"""The desk: what is done now and then, away from the plants."""

from collections.abc import Sequence

from rounds import words
from rounds.tui.page import Page
from rounds.tui.pages.asked import put_foot, put_list_keys, sides
from rounds.tui.pages.history import put_numbers
from rounds.tui.pages.parts import ROOMY, heading


def desk_page(
    lines: Sequence[str], mark: int, message: str, clock: str, width: int, height: int
) -> Page:
    """Numbered lines, each a page or a form.

    Args:
        lines: codes of `desk.line`.
        mark: the marked one, counted from 0.
        message: what just happened.
        clock: the day.
        width: columns.
        height: rows.
    """
    page = Page(width, height)
    heading(page, words.say("desk.title"), "", clock)
    edge, until = sides(page)
    roomy = page.height >= ROOMY
    if roomy:
        page.put_wrapped(2, edge, words.say("desk.lead"), until=until)
    end = put_foot(page, message, None)
    room = put_numbers(page, mark, len(lines), 5 if roomy else 2, end)
    for row, code in enumerate(lines[room.first : room.first + room.rows], room.top):
        page.put(row, room.edge, words.say(f"desk.line.{code}"), until=until)
    put_list_keys(page, None)
    return page
