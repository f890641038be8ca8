"""The next days: what is expected of which plant, day by day, and what it means."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rich.cells import cell_len

from rounds import words
from rounds.service.plan.coming import DAYS, Coming
from rounds.service.plant.reasons import stretch_text
from rounds.tui.page import FOURTH, MIDDLE, THIRD, Page
from rounds.tui.pages.asked import put_foot, put_list_keys
from rounds.tui.pages.history import put_numbers
from rounds.tui.pages.parts import ROOMY, STANDING_MARK, heading, hint, rows_said
from rounds.words.forms import calendar_day, codes_text, days_text, number, temperature

NAMES_FROM = 60
"""Least columns of a page with room for names beside codes."""

MEANS_FROM = 120
"""Least columns to say on each line what it means; below, only that of the marked one is."""


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
        page.put_wrapped(2, page.edge, _say("lead"), until=page.until)
    end = _foot(page, view)
    top = 5 if roomy else 2
    if not view.lines:
        text = _say("none", days=DAYS)
        page.put_wrapped(top, page.edge, text, until=page.until)
        page.put_keys(page.height - 2, [hint("leave")])
        page.put_keys(page.height - 2, [hint("help")], (67,) if page.is_wide else (29,))
        return page
    room = put_numbers(page, view.mark, len(view.lines), top, end)
    if _says_all(page):
        heads = (room.edge, "day"), (MIDDLE, "who"), (THIRD, "what"), (FOURTH, "means")
        for column, code in heads:
            page.put(top - 1, column, _say(f"column-{code}"), "quiet")
    for row, line in enumerate(view.lines[room.first : room.first + room.rows], room.top):
        _line(page, row, room.edge, line, view.on)
    put_list_keys(page, None)
    return page


def _line(page: Page, row: int, edge: int, line: Coming, on: date) -> None:
    standing = line.status.standing if line.status else ""
    page.put(row, edge - 2, STANDING_MARK.get(standing, "").strip(), "apart")
    day = calendar_day(line.on, on)
    if page.is_wide:
        page.put(row, edge, day, until=MIDDLE - 1)
        page.put(row, MIDDLE, _who(line, with_name=True), until=THIRD - 1)
        page.put(row, THIRD, _say(line.kind), until=page.until)
        if _says_all(page):
            page.put(row, FOURTH, _meaning(line, on), "quiet", until=page.width)
        return
    what = _say(f"{line.kind}-narrow")
    page.put_right(row, page.until, what)
    what_at = page.until - cell_len(what)
    page.put(row, edge, day)
    name_at = edge + max(7, cell_len(day) + 1)
    said = _who(line, with_name=page.width >= NAMES_FROM)
    page.put(row, name_at, said, until=what_at - 1)


def _who(line: Coming, *, with_name: bool) -> str:
    """The plant, or for how long nobody is there."""
    status = line.status
    if status is not None:
        return f"{status.code}  {status.name}" if with_name else status.code
    return days_text(line.away.days) if line.away else ""


def _says_all(page: Page) -> bool:
    return page.is_wide and page.width >= MEANS_FROM


def _meaning(line: Coming, on: date) -> str:
    """What a line means: what is to be done, or what is still waited for."""
    if line.waits:
        what = [words.say(f"quarantine.short.{code}") for code in line.waits]
        return _say("means.then-still", what=", ".join(what))
    if line.brood is not None:
        return _say(f"means.{line.kind}", day=calendar_day(line.brood.laid_by, on))
    if line.away is not None:
        return _say(f"means.{line.kind}", span=stretch_text(line.away, on))
    known = words.section("sight.coming.means")
    return known.get(line.kind) or _say("means.then-all")


def _foot(page: Page, view: ComingView) -> int:
    """What was said; else what is not known yet, or what the marked line means and is assumed."""
    note = _say("working-out", codes=codes_text(view.waiting)) if view.waiting else ""
    row = put_foot(page, view.message, None, note)
    if view.message or note or page.height < ROOMY:
        return row
    at, rows = row, rows_said(page)
    if view.lines and not _says_all(page):
        marked = view.lines[view.mark]
        meaning = _say("marked", what=_say(marked.kind), meaning=_meaning(marked, view.on))
        at += page.put_wrapped(at, page.edge, meaning, "quiet", until=page.until)
    if view.usual_c is not None and at < row + rows:
        page.put(at, page.edge, _assumed(page, view.usual_c), "quiet", until=page.until)
    return row


def _assumed(page: Page, usual_c: float) -> str:
    if page.is_wide:
        return _say("assumed", usual=number(usual_c))
    return words.say("screens.today.temperature-assumed-narrow", usual=temperature(usual_c))


def _say(code: str, **values: object) -> str:
    return words.say(f"sight.coming.{code}", **values)
