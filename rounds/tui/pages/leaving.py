"""Before leaving: the days away, what is looked at first, and what a stand-in looks at."""

from dataclasses import dataclass

from rounds import words
from rounds.service.plan.leaving import Leaving, LeavingLine
from rounds.service.plant.reasons import stretch_text
from rounds.tui.page import MIDDLE, Page
from rounds.tui.pages.asked import Asked, put_foot, put_list_keys, sides
from rounds.tui.pages.history import put_numbers
from rounds.tui.pages.parts import ROOMY, heading, hint
from rounds.words.forms import calendar_day, codes_text, days_text, minutes_seconds

TIME_END, TIME_END_NARROW = 34, 22
STAND_IN_WIDTH = 11
"""The last column stands at the right edge: reasons have the room there is."""


@dataclass(frozen=True, slots=True)
class LeavingView:
    """What the page knows."""

    leaving: Leaving
    mark: int
    message: str
    asked: Asked | None


def leaving_page(view: LeavingView, width: int, height: int) -> Page:
    """The list, in the order of need."""
    page = Page(width, height)
    leaving = view.leaving
    total = words.say("away.leaving.total", time=minutes_seconds(leaving.seconds))
    title = words.say("away.leaving.title")
    heading(page, title, total if page.is_wide else "", calendar_day(leaving.on, leaving.on))
    edge, until = sides(page)
    end = put_foot(page, view.message, view.asked)
    roomy = page.height >= ROOMY
    row = 2 if roomy else 1
    page.put(row, edge, _days(leaving), "strong", until=until)
    row += 1
    if roomy:
        row += (
            page.put_wrapped(row, edge, _stand_in(page, leaving), "quiet", until=until, rows=3) + 1
        )
    room = put_numbers(page, view.mark, len(leaving.lines), row, end)
    for at, line in enumerate(leaving.lines[room.first : room.first + room.rows], room.top):
        _line(page, at, room.edge, line)
    put_list_keys(page, hint("take-back") if leaving.stretch else None)
    return page


def _days(leaving: Leaving) -> str:
    if leaving.stretch is None:
        return words.say("away.leaving.none")
    span = stretch_text(leaving.stretch, leaving.on)
    return words.say("away.form.what", away=span, days=days_text(leaving.stretch.days))


def _stand_in(page: Page, leaving: Leaving) -> str:
    """Who is looked at meanwhile, and by which rule."""
    if leaving.stretch is None:
        return words.say("away.leaving.how")
    if not leaving.lines:
        return words.say("away.list.nothing-before")
    if not leaving.stand_in:
        return words.say("away.leaving.no-stand-in")
    days = leaving.gap_days
    size = "" if page.is_wide else "-narrow"
    return words.say(
        f"away.leaving.stand-in{size}", codes=codes_text(leaving.stand_in), days=days_text(days)
    )


def _line(page: Page, row: int, edge: int, line: LeavingLine) -> None:
    status = line.status
    time = minutes_seconds(line.seconds)
    reasons = words.say("forms.and").join(reason.text for reason in line.reasons)
    if not page.is_wide:
        page.put(row, edge, status.code, until=TIME_END_NARROW - len(time) - 1)
        page.put_right(row, TIME_END_NARROW, time)
        page.put(row, TIME_END_NARROW + 1, reasons, until=page.width - 1)
        return
    page.put(row, edge, f"{status.code}  {status.name}", until=MIDDLE)
    page.put_right(row, TIME_END, time)
    stand_in = page.width - STAND_IN_WIDTH
    until = stand_in - 1 if line.stand_in else page.until
    page.put(row, TIME_END + 2, reasons, until=until)
    if line.stand_in:
        page.put(row, stand_in, words.say("away.leaving.meanwhile"), "quiet", until=page.width)
