"""The next days: what is expected of which plant, day by day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rich.cells import cell_len

from rounds import words
from rounds.service.coming import DAYS, Coming
from rounds.tui.page import MIDDLE, THIRD, Page
from rounds.tui.pages.asked import put_foot, put_list_keys
from rounds.tui.pages.history import put_numbers
from rounds.tui.pages.parts import ROOMY, STANDING_MARK, heading, hint
from rounds.words.forms import calendar_day, codes_text, number

NAMES_FROM = 60
"""A narrower page has room for codes alone."""


@dataclass(frozen=True, slots=True)
class ComingView:
    """What the page of the next days knows."""

    on: date
    lines: Sequence[Coming]
    waiting: Sequence[str]
    """codes of plants whose forecast is still being worked out"""
    usual_c: float | None
    """the usual temperature, degC, where it is assumed"""
    mark: int
    message: str


def coming_page(view: ComingView, width: int, height: int) -> Page:
    """One line for each thing that is expected; its number opens the plant."""
    page = Page(width, height)
    until = calendar_day(view.on + timedelta(days=DAYS), view.on)
    span = _say("span", day=until)
    heading(page, _say("title"), "" if not page.is_wide else span, calendar_day(view.on, view.on))
    roomy = page.height >= ROOMY
    if roomy:
        page.put_wrapped(2, page.left, _say("lead"), until=page.until)
    end = put_foot(page, view.message, None, _note(view))
    top = 5 if roomy else 2
    if not view.lines:
        text = _say("none", days=DAYS)
        page.put_wrapped(top, page.left, text, until=page.until)
        page.put_keys(page.height - 2, [hint("leave")])
        page.put_keys(page.height - 2, [hint("help")], (67,) if page.is_wide else (29,))
        return page
    room = put_numbers(page, view.mark, len(view.lines), top, end)
    for row, line in enumerate(view.lines[room.first : room.first + room.rows], room.top):
        _line(page, row, room.left, line, view.on)
    put_list_keys(page, None)
    return page


def _line(page: Page, row: int, left: int, line: Coming, on: date) -> None:
    record = line.record
    page.put(row, left - 2, STANDING_MARK.get(record.standing, "").strip(), "apart")
    day = calendar_day(line.on, on)
    name = f"{record.plant.code}  {record.name()}"
    if page.is_wide:
        page.put(row, left, day, until=MIDDLE - 1)
        page.put(row, MIDDLE, name, until=THIRD - 1)
        page.put(row, THIRD, _say(line.kind), until=page.until)
        return
    what = _say(f"{line.kind}-narrow")
    page.put_right(row, page.until, what)
    what_at = page.until - cell_len(what)
    page.put(row, left, day)
    name_at = left + max(7, cell_len(day) + 1)
    said = name if page.width >= NAMES_FROM else record.plant.code
    page.put(row, name_at, said, until=what_at - 1)


def _note(view: ComingView) -> str:
    """What is not known yet, else what is assumed."""
    if view.waiting:
        return _say("working-out", codes=codes_text(view.waiting))
    return "" if view.usual_c is None else _say("assumed", usual=number(view.usual_c))


def _say(code: str, **values: object) -> str:
    return words.say(f"sight.coming.{code}", **values)
