"""All plants: the marked one in words, then the list in the order and choice asked for."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rich.cells import cell_len

from rounds import words
from rounds.service.plan.ranking import PlantLine
from rounds.service.plant.before import Before
from rounds.service.plant.status_text import clean_text, risk_short, risk_text, where_text
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, MIDDLE, THIRD, KeyHint, Page, Role, wrap
from rounds.tui.pages.list_room import Room, lines_in_sight, list_room
from rounds.tui.pages.parts import (
    ROOMY,
    STANDING_MARK,
    ask,
    ask_typed,
    desk_row,
    heading,
    hint,
    rows_said,
    say,
    status_row,
    typing_keys,
)
from rounds.tui.pages.risk import (
    ALL_FROM,
    RISK_WIDTH,
    WAS_WIDTH,
    columns_of,
    head_of,
    put_bars,
    value_of,
    was_text,
    word_of,
)
from rounds.words.forms import calendar_day, day_month

WHY_ROWS = 2
FIND = 59
"""The column of the key that finds: between two others, one of which is long."""
NARROW_RISK, NARROW_LOOK = 6, 9
"""Columns of a narrow page, from the right."""

NARROW_WAS_FROM = 60
"""From so many columns on a narrow page has room for the risk before; below, a sentence says it."""

ORDINARY_DAYS = 183
"""Days up to which a day is shown as a date; older ones as how long ago, to fit the column."""


@dataclass(frozen=True, slots=True)
class PlantsView:
    """What the page of all plants knows."""

    on: date
    lines: Sequence[PlantLine]
    """those chosen, in the order chosen"""
    plants: int
    """how many plants there are"""
    mark: int
    order: str
    which: str
    message: str
    typed: str | None
    """what was typed of a name or code, where it is asked for"""
    asks_new: str | None
    """what no plant is called, where it is asked whether to enter it"""
    before: Before | None = None
    """the risks at the end of the last round before today"""


def plants_page(view: PlantsView, width: int, height: int) -> Page:
    """All plants, or those chosen."""
    page = Page(width, height)
    _heading(page, view)
    end = _bottom(page, view)
    if view.lines:
        _marked(page, view, view.lines[view.mark])
        _list(page, view, list_room(page, len(view.lines), end))
    else:
        edge, until = page.edge, page.until
        none = f"none-{view.which}" if view.plants else "none-yet"
        page.put_wrapped(2, edge, say(f"plants.{none}"), until=until)
    return page


def _heading(page: Page, view: PlantsView) -> None:
    """Row 1: which plants, in which order, and how many."""
    shown = len(view.lines)
    count = say("plants.one") if shown == 1 else say("plants.count", count=shown)
    if page.is_wide:
        if shown < view.plants:
            count = say("plants.count-of", count=shown, all=view.plants)
        which, order = say(f"plants.which.{view.which}"), say(f"plants.order.{view.order}")
        heading(page, which, order, count)
        return
    which = say(f"plants.which-narrow.{view.which}")
    order = say(f"plants.order-narrow.{view.order}")
    until = page.width - 2 - cell_len(count)
    page.put(0, 1, say("plants.which-and-order", which=which, order=order), "quiet", until=until)
    page.put_right(0, page.width - 1, count)


def _marked(page: Page, view: PlantsView, line: PlantLine) -> None:
    """The marked plant: where and how it stands, why it comes here, and its figures."""
    status = line.status
    status_row(page, status)
    if page.is_wide:
        rows = page.put_wrapped(3, FIRST, _why(line, page.width - 1 - FIRST), until=page.width - 1)
        page.put(3 + rows, FIRST, clean_text(status), until=MIDDLE - 1)
        page.put(3 + rows, MIDDLE, _streak(line, "streak-said"), until=THIRD - 1)
        page.put(3 + rows, THIRD, risk_text(status), until=page.width)
    elif page.height >= ROOMY:
        rows = page.put_wrapped(3, 1, _why(line, page.width - 2), until=page.width - 1)
        risk = risk_short(status)
        clean = clean_text(status)
        page.put(3 + rows, 1, clean, until=page.width - 2 - cell_len(risk))
        page.put_right(3 + rows, page.width - 1, risk)
    else:
        # how it stands is said in the row above
        reasons = _reasons(line)
        said = reasons[1:] if status.standing in STANDING_MARK else []
        page.put(3, 1, (said or reasons)[0], until=page.width - 1)


def _why(line: PlantLine, width: int) -> str:
    """Whether it is planned, and why it comes here: two reasons, or one where two take too long."""
    reasons = _reasons(line)
    both = _planned(line, say("plants.and").join(reasons[:2]))
    return both if len(wrap(both, width)) <= WHY_ROWS else _planned(line, reasons[0])


def _reasons(line: PlantLine) -> list[str]:
    return [reason.text for reason in line.status.reasons]


def _planned(line: PlantLine, reasons: str) -> str:
    if line.is_planned:
        return say("plants.planned", reasons=reasons)
    return say("plants.waits", reasons=reasons) if line.waits else reasons


def _day(day: date | None, on: date) -> str:
    """A day as 4 May, or how long ago if that is long; a word for never."""
    if day is None:
        return say("plants.never")
    ago = (on - day).days
    return say("plants.ago", days=ago) if ago > ORDINARY_DAYS else day_month(day, on)


def _streak(line: PlantLine, code: str = "streak") -> str:
    streak = line.status.streak
    return say(f"plants.{code}", looks=streak.looks, days=streak.days)


def _list(page: Page, view: PlantsView, room: Room) -> None:
    """The lines around the mark; how many are above stands among the heads, below at the end."""
    count = len(view.lines)
    first = lines_in_sight(view.mark, count, room).start
    figures = max(2, len(str(count)))
    edge = (FIRST if page.is_wide else 1) + 2 + figures + 3
    if room.heads is not None:
        above = say("plants.above", count=first) if first else say("plants.column-plant")
        _heads(page, view, room.heads, edge, above)
    for offset, line in enumerate(view.lines[first : first + room.rows]):
        row, index = room.first + offset, first + offset
        is_here = index == view.mark
        if is_here:
            page.put(row, edge - figures - 5, ">", "here")
        page.put_right(row, edge - 3, str(index + 1), "strong")
        page.put_line_spot(row, index)
        page.put(row, edge - 2, STANDING_MARK.get(line.status.standing, "").strip(), "apart")
        _line(page, row, edge, line, view, is_here=is_here)
    if page.is_wide and room.heads is not None:
        put_bars(page, room.heads, columns_of(page).bars, room, view.lines[view.mark].status.risk)
    below = count - first - room.rows
    if below > 0 and room.heads is not None:
        page.put(room.first + room.rows, edge, say("plants.below", count=below), "quiet")


def _heads(page: Page, view: PlantsView, row: int, edge: int, first: str) -> None:
    if not page.is_wide:
        risk_end, was_end = _narrow_ends(page)
        page.put(row, edge, first, "quiet", until=risk_end - NARROW_RISK - 1)
        page.put_right(row, risk_end, say("plants.column-risk"), "quiet")
        if was_end is not None:
            page.put_right(row, was_end, words.say("origins.ranking.was"), "quiet")
        page.put_right(row, page.width - 1, say("plants.column-look"), "quiet")
        return
    at = columns_of(page)
    page.put(row, edge, first, "quiet", until=at.told[0] - 1)
    for column, what in zip(at.told, _told(page, view.order), strict=True):
        page.put(row, column, head_of(what), "quiet")
    page.put_right(row, at.risk_end, say("plants.column-risk"), "quiet")
    page.put_right(row, at.was_end, words.say("origins.ranking.was"), "quiet")


def _narrow_ends(page: Page) -> tuple[int, int | None]:
    """The columns the risk and the risk before end before; None where the latter has no room."""
    end = page.width - NARROW_LOOK - 3
    return (end - WAS_WIDTH, end) if page.width >= NARROW_WAS_FROM else (end, None)


def _told(page: Page, order: str) -> tuple[str, ...]:
    """What is told of a plant beside its risk: where room is short, what the order goes by."""
    if page.width >= ALL_FROM:
        return ("streak", "last-look", "last-find")
    return (order if order in ("streak", "last-look", "last-find", "place") else "word",)


def _line(
    page: Page, row: int, edge: int, line: PlantLine, view: PlantsView, is_here: bool
) -> None:
    role: Role = "here" if is_here else "ink"
    name = f"{line.status.code}  {line.status.name}"
    risk = value_of(line.status.risk)
    if not page.is_wide:
        looked: Role = "ink" if line.status.last_look_on else "quiet"
        risk_end, was_end = _narrow_ends(page)
        page.put(row, edge, name, role, until=risk_end - NARROW_RISK - 1)
        page.put_right(row, risk_end, risk)
        if was_end is not None:
            page.put_right(row, was_end, *was_text(view.before, line.status.plant_id))
        page.put_right(row, page.width - 1, _days_ago(line.status.last_look_on, view.on), looked)
        return
    at = columns_of(page)
    page.put(row, edge, name, role, until=at.told[0] - 1)
    until = [*at.told[1:], at.risk_end - RISK_WIDTH]
    for column, end, what in zip(at.told, until, _told(page, view.order), strict=True):
        text, told_role = _told_text(line, what, view.on)
        page.put(row, column, text, told_role, until=end - 1)
    page.put_right(row, at.risk_end, risk)
    was, was_role = was_text(view.before, line.status.plant_id)
    page.put_right(row, at.was_end, was, was_role)


def _told_text(line: PlantLine, what: str, on: date) -> tuple[str, Role]:
    """One thing of a plant, and the role it is shown in."""
    status = line.status
    if what == "streak":
        return (_streak(line), "ink") if status.streak.looks else (say("plants.no-streak"), "quiet")
    if what == "last-look":
        return _day(status.last_look_on, on), "ink" if status.last_look_on else "quiet"
    if what == "last-find":
        found: Role = "ink" if status.last_find_on else "quiet"
        return _day(status.last_find_on, on), "find" if status.is_found_lately else found
    return (where_text(status), "ink") if what == "place" else (word_of(status.risk), "ink")


def _days_ago(day: date | None, on: date) -> str:
    if day is None or day == on:
        return _day(day, on)
    return say("plants.ago", days=(on - day).days)


def _bottom(page: Page, view: PlantsView) -> int:
    """What is asked or said, and the keys; the row it begins on."""
    edge, until = page.edge, page.until
    row = desk_row(page)
    if view.typed is not None:
        ask_typed(page, row, say("plants.ask-name"), view.typed)
        typing_keys(page)
        return row
    _keys(page, view)
    if view.asks_new is not None:
        answers = [(key_of("yes"), say("plants.new-yes")), (key_of("no"), say("plants.new-no"))]
        return ask(page, row, say("plants.ask-new", typed=view.asks_new), answers)
    if view.message:
        page.put_wrapped(row, edge, view.message, until=until, rows=rows_said(page))
    elif view.lines:
        line = view.lines[view.mark]
        _change_and_outlook(page, view, line, row)
    return row


def _change_and_outlook(page: Page, view: PlantsView, line: PlantLine, row: int) -> None:
    """Why the risk is another than it was, and how it goes on with a plant in quarantine."""
    edge, until = page.edge, page.until
    known = view.before.changes.get(line.status.plant_id) if view.before else None
    change = (known.text if page.is_wide else known.brief) if known else ""
    rows = rows_said(page)
    if change:
        taken = page.put_wrapped(row, edge, change, "quiet", until=until, rows=rows)
        row, rows = row + taken, rows - taken
    fits = (o for o in _outlooks(line, view.on) if len(wrap(o, until - edge)) <= rows)
    page.put_wrapped(row, edge, next(fits, ""), "quiet", until=until, rows=2)


def _outlooks(line: PlantLine, on: date) -> list[str]:
    """How long the marked plant is quarantined or watched, as far as that can be said.

    The longest sentence first, then those for less room.
    """
    status, release = line.status, line.status.release
    if status.standing == "watch" and status.watched_until:
        return [say("plants.watched-until", day=day_month(status.watched_until, on))]
    if release is None:
        return []
    if not release.is_forecast:
        return [words.say("calculating.rejoin")]
    if release.expected_on is None:
        return [say("plants.not-in-sight"), words.say("sight.plants.not-in-sight-brief")]
    if release.expected_on > on:
        day = calendar_day(release.expected_on, on)
        brief = (words.say(f"sight.plants.{code}", day=day) for code in ("expected", "brief"))
        return [say("plants.expected", day=day), *brief]
    if not release.ready:
        return [words.say(f"sight.plants.{code}") for code in ("today", "today-brief")]
    return [say("plants.may-rejoin"), words.say("sight.plants.may-rejoin-brief")]


def _keys(page: Page, view: PlantsView) -> None:
    by_name = KeyHint(f"0 {key_of('begin')}", say("keys.list.by-name"))
    opens = hint("begin", "list.open") if view.lines else None
    order = hint("order", "list.order") if view.lines else None
    which = hint("plants", "list.which") if view.plants else None
    row = page.height - 2
    if not page.is_wide:
        page.put_keys(row, [hint("leave"), order, which, hint("help")])
        page.put_keys(row + 1, [opens, None, by_name])
        return
    page.put_keys(row, [hint("leave"), order, which, by_name, None, hint("help")])
    page.put_keys(row, [hint("find")], (FIND,))
    moves = [hint("next", "list.next"), hint("back"), KeyHint("1-9", say("keys.line"))]
    page.put_keys(row + 1, [opens, None, *(moves if view.lines else [])])
