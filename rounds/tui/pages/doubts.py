"""All open doubts: oldest first, each settled with one key."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.service.plant.doubts import DoubtLine
from rounds.service.plant.status_text import where_text
from rounds.tui.keys import key_of
from rounds.tui.page import FOURTH, MIDDLE, THIRD, KeyHint, Page
from rounds.tui.pages.asked import Asked, put_foot, put_list_keys, sides
from rounds.tui.pages.history import put_numbers
from rounds.tui.pages.parts import ROOMY, desk_row, heading, hint, status_row
from rounds.words.forms import calendar_day

ZONE_NARROW = 20


@dataclass(frozen=True, slots=True)
class DoubtsView:
    """What the page of all open doubts knows. `asked` is about the marked one."""

    on: date
    doubts: Sequence[DoubtLine]
    mark: int
    message: str
    asked: Asked | None
    can_take_back: bool


def doubts_page(view: DoubtsView, width: int, height: int) -> Page:
    """The marked doubt's plant, the list, and what it can be settled as."""
    page = Page(width, height)
    count = len(view.doubts)
    heading(
        page,
        words.say("plant.doubts.title"),
        words.say("plant.doubts.open", count=count) if page.is_wide else "",
        calendar_day(view.on, view.on),
    )
    edge, until = sides(page)
    if not view.doubts:
        page.put(2, edge, words.say("plant.doubts.none"), until=until)
        put_foot(page, view.message, None)
        _keys(page, view)
        return page
    marked = view.doubts[view.mark]
    status_row(page, marked.status)
    roomy = page.height >= ROOMY
    # on a low page what was said takes the place of the question until the next key
    end = put_foot(page, "" if roomy else view.message,
                   view.asked if roomy or not view.message else None)  # fmt: skip
    if roomy:
        page.put(desk_row(page) + 2, edge, view.message, until=until)
    room = put_numbers(page, view.mark, count, 5 if roomy else 3, end)
    if page.is_wide:
        for column, code in ((room.edge, "plant"), (MIDDLE, "doubtful"), (THIRD, "since")):
            page.put(4, column, words.say(f"plant.doubts.column-{code}"), "quiet")
    if page.is_spread:
        page.put(4, FOURTH, words.say("sight.doubts.column-where"), "quiet")
    for row, doubt in enumerate(view.doubts[room.first : room.first + room.rows], room.top):
        _line(page, row, room.edge, doubt, view.on)
    _keys(page, view)
    return page


def _line(page: Page, row: int, edge: int, doubt: DoubtLine, on: date) -> None:
    page.put(row, edge - 2, "?", "doubt")
    zone = words.say(f"zones.{doubt.doubt.zone}.name")
    if not page.is_wide:
        days = words.say("plant.doubts.ago", days=(on - doubt.doubt.day).days)
        page.put(row, edge, doubt.status.code, until=ZONE_NARROW - 1)
        page.put(row, ZONE_NARROW, zone, until=page.width - 2 - len(days))
        page.put_right(row, page.width - 1, days, "quiet")
        return
    page.put(row, edge, f"{doubt.status.code}  {doubt.status.name}", until=MIDDLE - 1)
    at = words.say("plant.entry.at", what=doubt.doubt.count, zone=zone)
    page.put(row, MIDDLE, at, until=THIRD - 1)
    page.put(row, THIRD, calendar_day(doubt.doubt.day, on), until=FOURTH - 1)
    if page.is_spread:
        page.put(row, FOURTH, where_text(doubt.status), until=page.until)


def _keys(page: Page, view: DoubtsView) -> None:
    second = hint("take-back") if view.can_take_back else None
    if view.doubts:
        opens = KeyHint(key_of("begin"), words.say("plant.keys.open-plant"))
        put_list_keys(page, second, opens=opens)
        return
    columns = (2, 15, 67) if page.is_wide else (1, 15, 29)
    page.put_keys(page.height - 2, [hint("leave"), second, hint("help")], columns)
