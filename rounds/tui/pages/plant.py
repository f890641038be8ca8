"""The page of one plant: how it stands, where its zones are, and what can be done."""

from dataclasses import dataclass

from rich.cells import cell_len

from rounds import words
from rounds.service.courses.text import due_text
from rounds.service.logbook.changed_text import changed_text
from rounds.service.plant.detail import PlantDetail
from rounds.service.plant.status import PlantStatus
from rounds.service.plant.status_text import (
    band_line,
    clean_text,
    misfit_line,
    moved_line,
    risk_parts,
    risk_short,
    risk_text,
    streak_text,
)
from rounds.service.plant.zones import ZoneSeen
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, FOURTH, MIDDLE, THIRD, KeyHint, Page, wrap
from rounds.tui.pages.asked import Asked, put_foot, put_list_keys, sides
from rounds.tui.pages.bars import WORST, left_bar, most_left, put_worst
from rounds.tui.pages.list_room import Room
from rounds.tui.pages.parts import ROOMY, SLOT, first_shown, heading, hint, status_row
from rounds.tui.pages.picture import HEIGHT as PICTURE_HEIGHT
from rounds.tui.pages.picture import has_small_font, picture, zone_rows
from rounds.tui.pages.risk import put_bars
from rounds.tui.pages.why import lines_with_band, put_why, why_lines
from rounds.words.forms import calendar_day, day_month, looks_text, number_in_column

HOLDS_END, SEEN = 47, 48
BAR_AT, BAR_COLUMNS = 41, 2
"""Of what is left at a zone."""
BODY = 6
LATELY_WHEN = 4
GONE = ("history", "not-gone")
HERE = ("history", "move", "repot", "divide", "edit", "gone", "look", "courses")
MOST_EXTRA = 4
COLUMNS_FROM = 34
"""Least rows of a spread page that tells in columns why its figures are so."""
BELOW_ROWS = 3
"""Rows at the foot that stay free for keys and the blank above them."""
BAR_ROWS = 10
"""Rows of what the risk is made of: those of the numbered lines, and one."""


@dataclass(frozen=True, slots=True)
class PlantPageView:
    """What the page of a plant knows."""

    detail: PlantDetail
    mark: int
    message: str
    asked: Asked | None


def lines_of(status: PlantStatus) -> tuple[str, ...]:
    """What its numbered lines open, by code."""
    if status.standing == "gone":
        return GONE
    return ("end-quarantine" if status.standing == "quarantine" else "put-apart", *HERE)


def line_text(code: str, status: PlantStatus) -> str:
    """A line in words; of courses the step that is due next, where one is under way."""
    if code == "courses" and status.courses:
        first = status.courses[0]
        day = day_month(first.due_on, status.on)
        return words.say("plant.lines.courses-due", step=due_text(first), day=day)
    return words.say(f"plant.lines.{code}", looks=looks_text(status.looks))


def plant_page(view: PlantPageView, width: int, height: int) -> Page:
    """The plant, drawn where there is room, beside what is known and can be done."""
    page = Page(width, height)
    detail, status = view.detail, view.detail.status
    day = calendar_day(detail.on, detail.on)
    heading(page, _title(), _form(status) if page.is_wide else "", day)
    status_row(page, status)
    edge, until = sides(page)
    end = put_foot(page, view.message, view.asked, _newest(detail))
    has_bars = page.is_spread and not detail.is_gone and end > BODY + BAR_ROWS
    has_columns = page.is_spread and page.height >= COLUMNS_FROM
    roomy = page.height >= ROOMY
    row = 3 + page.put_wrapped(3, edge, detail.sentence, until=until, rows=2 if roomy else 1)
    if page.is_wide:
        # a long sentence moves all below it down, so that the columns keep their heads
        wanted = max(BODY, row + 2)
        body = min(wanted, end - PICTURE_HEIGHT) if view.asked is None else BODY
        if row < body:
            _numbers(page, row, detail)
        if row < body - 1 and not detail.is_gone:
            _zone_heads(page, body - 1)
        _picture(page, detail, body, end)
        _zones(page, detail, body, end)
        if view.asked is None and not view.message and not detail.is_gone:
            parts = "" if has_bars else risk_parts(status.risk)
            has_row = body + PICTURE_HEIGHT < end
            _put_below(page, end, detail, parts, in_columns=has_columns, above=has_row)
        if has_bars:
            put_bars(page, body - 1, FOURTH, Room(body - 1, body, BAR_ROWS), status.risk)
        after = _lines(page, view, body, THIRD, end)
        _extra(page, detail, after + 1, THIRD, page.width - 1, end)
        below = body + PICTURE_HEIGHT + 1
        after_why = put_why(page, below, status) if has_columns else below
        below = after_why + (1 if after_why > below else 0)
        _lately(page, detail, below, end - 1)
    else:
        if roomy:
            risk = risk_short(status)
            room = until - edge - len(risk) - 1
            page.put(row, edge, clean_text(status, room), until=edge + room)
            page.put_right(row, page.width - 1, risk)
            row += 2
        after = _lines(page, view, row, edge, end)
        if roomy and view.asked is None and not view.message and not detail.is_gone:
            has_newest = detail.newest is not None
            zones = [(zone, seen_text(zone, detail)) for zone in detail.zones]
            after = put_worst(page, max(after, min(after + 1, end - WORST)), end, zones)
            after = _put_above(page, after + 1, end - 1 if has_newest else end + 1, status)
        if roomy:
            _extra(page, detail, after + 1, edge + 4, until, end - 1)
    put_list_keys(page, _take_back(detail), _put_apart(detail))
    return page


def _title() -> str:
    return words.say("plant.title")


def _form(status: PlantStatus) -> str:
    form = words.say(f"desk_forms.growth-forms.{status.form}")
    size = words.say(f"desk_forms.sizes.{status.size}")
    return words.say("plant.form", form=form, size=size)


def _newest(detail: PlantDetail) -> str:
    return "" if detail.newest is None else words.say("plant.newest", what=detail.newest.text)


def _put_below(
    page: Page, row: int, detail: PlantDetail, parts: str, *, in_columns: bool, above: bool
) -> None:
    """Below the newest entry as much of why the figures are so as there are rows for.

    Args:
        page: the page.
        row: of the newest entry, which may take two.
        detail: the plant.
        parts: what the risk is made of.
        in_columns: whether what holds the chance down, and what would be sooner, stands there.
        above: whether the row above is free, which then has what the chance leans on.
    """
    width, status = page.until - FIRST, detail.status
    newest, top = _newest(detail), row
    row += len(wrap(newest, width)) if newest else 0
    rows = page.height - BELOW_ROWS - row
    removal = status.why.removal if status.why else ""
    if in_columns:
        changed = changed_text(status.changed_values)
        lines = [changed, misfit_line(status), band_line(status), moved_line(status)]
    elif above:
        band = band_line(status, THIRD - 1 - FIRST)
        page.put(top - 1, FIRST, band, "quiet", until=THIRD - 1)
        lines = why_lines(status, width)
    else:
        lines = lines_with_band(status, width, rows)
    for line in filter(None, [*lines, parts, removal]):
        if row >= page.height - BELOW_ROWS:
            return
        page.put(row, FIRST, line, "quiet", until=page.width)
        row += 1


def _put_above(page: Page, row: int, end: int, status: PlantStatus) -> int:
    """The same on a narrow page, above the newest entry; the row after it."""
    width = page.until - page.edge
    for line in filter(None, [band_line(status, width), *why_lines(status, width)]):
        rows = len(wrap(line, page.until - page.edge))
        if row + rows <= end:
            page.put_wrapped(row, page.edge, line, "quiet", until=page.until)
            row += rows
    return row


def _numbers(page: Page, row: int, detail: PlantDetail) -> None:
    if detail.is_gone:
        return
    page.put(row, FIRST, clean_text(detail.status, SLOT), until=MIDDLE - 1)
    page.put(row, MIDDLE, streak_text(detail.status), until=THIRD - 1)
    page.put(row, THIRD, risk_text(detail.status), until=page.width)


def _picture(page: Page, detail: PlantDetail, top: int, end: int) -> None:
    for row, cells in enumerate(picture(detail.status.form, small_font=has_small_font()), top):
        for cell in cells if row < end else ():
            page.put(row, FIRST + cell.column, cell.text, cell.role)


def _zones(page: Page, detail: PlantDetail, top: int, end: int) -> None:
    """Each zone at the height where it is on the plant."""
    rows, most = zone_rows(detail.status.form), most_left(detail.zones)
    for zone in detail.zones:
        row = top + rows[zone.zone]
        if row < end:
            page.put(row, MIDDLE, words.say(f"zones.{zone.zone}.name"), until=BAR_AT - 1)
            if not detail.is_gone:
                left = _left_in_column(zone)
                # a number that needs the column has it
                if cell_len(left) <= HOLDS_END - BAR_AT - BAR_COLUMNS:
                    page.put(row, BAR_AT, left_bar(zone.probably_left, most, BAR_COLUMNS), "find")
                page.put_right(row, HOLDS_END, left)
            page.put(row, SEEN, seen_text(zone, detail), "quiet", until=THIRD - 1)


def _left_in_column(zone: ZoneSeen) -> str:
    if zone.probably_left is None:
        return words.say("origins.ranking.working")
    return number_in_column(zone.probably_left)


def _zone_heads(page: Page, row: int) -> None:
    page.put(row, MIDDLE, words.say("plant.zones.zone"), "quiet")
    page.put_right(row, HOLDS_END, words.say("plant.zones.left"), "quiet")
    page.put(row, SEEN, words.say("plant.zones.seen"), "quiet")


def behind_text(zone: ZoneSeen, detail: PlantDetail) -> str:
    """When a zone was seen and what may be left, for the help of a page without room for zones."""
    seen = seen_text(zone, detail)
    if detail.is_gone:
        return seen
    if zone.probably_left is None:
        return seen
    few = words.say("forms.left", number=number_in_column(zone.probably_left))
    return words.say("plant.zones.left-and-seen", left=few, seen=seen)


def seen_text(zone: ZoneSeen, detail: PlantDetail) -> str:
    """When a zone was last looked at, in few characters."""
    if zone.last_look_on is None:
        return words.say("round.state.never")
    days = (detail.on - zone.last_look_on).days
    return words.say("plant.zones.days", days=days) if days else words.say("forms.today")


def _lines(page: Page, view: PlantPageView, top: int, edge: int, end: int) -> int:
    """The numbered lines, or those around the mark; the row after them."""
    lines = lines_of(view.detail.status)
    room = max(1, end - top)
    first = first_shown(view.mark, len(lines), room)
    for offset, code in enumerate(lines[first : first + room]):
        index, row = first + offset, top + offset
        is_here = index == view.mark
        if is_here:
            page.put(row, edge, ">", "here")
        page.put(row, edge + 2, str(index + 1), "strong")
        page.put_line_spot(row, index)
        text = line_text(code, view.detail.status)
        page.put(row, edge + 4, text, "here" if is_here else "ink")
    return top + min(room, len(lines))


def _extra(page: Page, detail: PlantDetail, row: int, edge: int, until: int, end: int) -> None:
    """What else is known: beside whom it stands, its botanical name, the note, what one sees."""
    touches = ", ".join(detail.touches)
    texts = [
        detail.beside,
        detail.heat_text,
        detail.status.botanical_name or "",
        words.say("plant.record.touching", value=touches) if touches else "",
        detail.note or "",
        detail.own_text,
    ]
    room = min(MOST_EXTRA, end - row)
    for text in filter(None, texts):
        if room < 1:
            return
        most = min(3, room)
        is_cut = len(wrap(text, until - edge)) > most
        told = detail.own_brief if is_cut and text is detail.own_text else text
        rows = min(most, len(wrap(told, until - edge)))
        page.put_wrapped(row, edge, told, "quiet", until=until, rows=rows)
        row, room = row + rows, room - rows


def _lately(page: Page, detail: PlantDetail, top: int, end: int) -> None:
    """The newest of the history, where a high page has room for it."""
    room = end - top - 1
    if room < 2 or not detail.history:
        return
    page.put(top, FIRST, words.say("plant.lately"), "quiet")
    for row, line in enumerate(detail.history[:room], top + 1):
        day = calendar_day(line.day, detail.on)
        page.put(row, LATELY_WHEN, f"{day} {line.time}".strip(), "quiet", until=MIDDLE - 1)
        page.put(row, MIDDLE, line.text, until=page.width - 1)


def _take_back(detail: PlantDetail) -> KeyHint | None:
    return None if detail.newest is None else hint("take-back")


def _put_apart(detail: PlantDetail) -> KeyHint | None:
    if detail.is_gone or detail.status.standing == "quarantine":
        return None
    return KeyHint(key_of("put-apart"), words.say("plant.keys.put-apart"))
