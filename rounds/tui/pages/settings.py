"""The settings: numbered lines with what holds, and what the marked one changes."""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from rounds import words
from rounds.tui.keys import key_of
from rounds.tui.page import FOURTH, THIRD, KeyHint, Page, wrap
from rounds.tui.pages.asked import put_foot, put_list_keys, sides
from rounds.tui.pages.history import put_numbers
from rounds.tui.pages.parts import ROOMY, ask_typed, desk_row, heading, rows_said, typing_keys


@dataclass(frozen=True, slots=True)
class SettingLine:
    """One setting as it is read: its name, what holds, and what it changes."""

    text: str
    short_text: str
    """the same for a narrow page"""
    value: str
    about: str
    is_typed: bool
    """a figure or a name is asked for; else enter goes on to the next choice"""
    choices: tuple[str, ...] = ()
    """all that it may be, where enter goes on from one to the next"""


MOST_SAID = 7
"""rows for what a line changes"""


@dataclass(frozen=True, slots=True)
class SettingsView:
    """What the page knows."""

    lines: Sequence[SettingLine]
    mark: int
    message: str
    clock: str
    asks: str
    """what is asked for, where a line is typed"""
    typed: str | None


def settings_page(view: SettingsView, width: int, height: int) -> Page:
    """The lines around the mark."""
    page = Page(width, height)
    heading(page, words.say("settings.title"), "", view.clock)
    edge, until = sides(page)
    roomy = page.height >= ROOMY
    if roomy:
        page.put(2, edge, words.say("settings.lead"), until=until)
    end = _foot(page, view)
    room = put_numbers(page, view.mark, len(view.lines), 4 if roomy else 2, end)
    for row, line in enumerate(view.lines[room.first : room.first + room.rows], room.top):
        if page.is_wide:
            page.put(row, room.edge, line.text, until=THIRD - 1)
            until = FOURTH - 3 if page.is_spread else page.width - 1
            page.put(row, THIRD, line.value, until=until)
        else:
            page.put_right(row, page.width - 1, line.value)
            page.put(row, room.edge, line.short_text, until=page.width - 2 - cell_len(line.value))
    if page.is_spread and view.typed is None:
        _choices(page, view.lines[view.mark], room.top, end)
    return page


def _choices(page: Page, line: SettingLine, top: int, end: int) -> None:
    """What the marked line may be, the one that holds marked; enter goes on down the list."""
    if line.choices:
        page.put(top - 1, FOURTH, words.say("sight.settings.choices"), "quiet")
    for row, choice in enumerate(line.choices[: end - top], top):
        holds = choice == line.value
        if holds:
            page.put(row, FOURTH - 2, ">", "here")
        page.put(row, FOURTH, choice, "here" if holds else "ink", until=page.width)


def _foot(page: Page, view: SettingsView) -> int:
    """The typed line, what just happened, or what the marked line changes; where that begins."""
    if view.typed is not None:
        row = desk_row(page)
        ask_typed(page, row, view.asks, view.typed)
        typing_keys(page)
        return row - 2
    line = view.lines[view.mark]
    enter = words.say("settings.form" if line.is_typed else "settings.change")
    put_list_keys(page, None, opens=KeyHint(key_of("begin"), enter))
    end = put_foot(page, view.message or line.about, None, most=MOST_SAID)
    edge, until = sides(page)
    said, about = wrap(view.message, until - edge), wrap(line.about, until - edge)
    # what it changes stands below what just happened, where the whole of it has room
    if view.message and page.height >= ROOMY and len(said) + len(about) <= rows_said(page) + 1:
        under = end + len(said)
        page.put_wrapped(under, edge, line.about, "quiet", until=until, rows=len(about))
    return end
