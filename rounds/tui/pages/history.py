"""The history of one plant as a list of visits and changes; and one visit, entry by entry."""

from dataclasses import dataclass

from rich.cells import cell_len

from rounds import words
from rounds.service.plant.detail import PlantDetail
from rounds.service.plant.timeline import HistoryLine
from rounds.service.plant.visits import EntryLine, Visit
from rounds.tui.keys import key_of
from rounds.tui.page import MIDDLE, THIRD, KeyHint, Page, Role
from rounds.tui.pages.asked import Asked, put_foot, put_list_keys, sides
from rounds.tui.pages.parts import ROOMY, STANDING_MARK, first_shown, heading, hint, status_row
from rounds.words.forms import calendar_day, looks_text

WHO_WIDTH = 13
"""Who was at the keys stands at the right edge: 67 where there are 80 columns."""
WHEN_NARROW, ENTRY_NARROW = 19, 21
MARKS: dict[str, tuple[str, Role]] = {
    "apart": (STANDING_MARK["quarantine"].strip(), "apart"),
    "watch": (STANDING_MARK["watch"].strip(), "apart"),
}


@dataclass(frozen=True, slots=True)
class HistoryView:
    """What the history of a plant knows."""

    detail: PlantDetail
    mark: int
    message: str
    asked: Asked | None


@dataclass(frozen=True, slots=True)
class VisitView:
    """What the page of one visit knows."""

    detail: PlantDetail
    visit: Visit
    entries: tuple[EntryLine, ...]
    mark: int
    message: str
    asked: Asked | None


@dataclass(frozen=True, slots=True)
class ListRoom:
    """Where the lines of a list stand: `left` is their first column, after number and mark."""

    first: int
    top: int
    rows: int
    edge: int


def history_page(view: HistoryView, width: int, height: int) -> Page:
    """One line a visit, a move, a time apart, a change; newest first."""
    page = Page(width, height)
    end = put_foot(page, view.message, view.asked, _whole(page, view))
    title = words.say("plant.history-title")
    top = _put_head(page, view.detail, title, "", _counted(view.detail), end)
    lines = view.detail.history
    room = put_numbers(page, view.mark, len(lines), top, end)
    for row, line in enumerate(lines[room.first : room.first + room.rows], room.top):
        _history_line(page, row, room.edge, line, view.detail)
    put_list_keys(page, hint("take-back"))
    return page


def visit_page(view: VisitView, width: int, height: int) -> Page:
    """The looks of one visit, each with its counts, and whether they still stand."""
    page, visit = Page(width, height), view.visit
    end = put_foot(page, view.message, view.asked)
    day = calendar_day(visit.day, view.detail.on)
    title = words.say(
        "plant.visit-title-time" if visit.time else "plant.visit-title", day=day, time=visit.time
    )
    who = words.say("plant.by", who=visit.who) if visit.who else ""
    top = _put_head(page, view.detail, title, who, visit.text, end)
    room = put_numbers(page, view.mark, len(view.entries), top, end)
    for row, entry in enumerate(view.entries[room.first : room.first + room.rows], room.top):
        _entry_line(page, row, room.edge, entry)
    correct = KeyHint(key_of("begin"), words.say("plant.keys.correct"))
    put_list_keys(page, hint("take-back"), opens=correct)
    return page


def _put_head(
    page: Page, detail: PlantDetail, title: str, middle: str, sentence: str, end: int
) -> int:
    """Where one is, the plant, and a sentence if there is room; the first row of the list."""
    day = calendar_day(detail.on, detail.on)
    heading(page, title, middle if page.is_wide else "", day)
    status_row(page, detail.status)
    edge, until = sides(page)
    roomy = page.height >= ROOMY
    # the line that is asked about comes before the sentence
    if end < 5:
        return 3
    rows = page.put_wrapped(3, edge, sentence, until=until, rows=2 if roomy else 1)
    return 3 + rows + (1 if roomy else 0)


def _counted(detail: PlantDetail) -> str:
    visits = [line.visit for line in detail.history if line.visit and not line.is_withdrawn]
    if not visits:
        return words.say("plant.never-looked")
    found = sum(1 for visit in visits if visit.found)
    looks = looks_text(len(visits))
    return words.say("plant.looked" if found else "plant.looked-nothing", looks=looks, found=found)


def _whole(page: Page, view: HistoryView) -> str:
    """The marked line whole, where its row has to cut it."""
    if view.mark >= len(view.detail.history):
        return ""
    line = view.detail.history[view.mark]
    if page.is_wide and cell_len(line.text) < _text_until(page, line) - MIDDLE:
        return ""
    return line.text


def _text_until(page: Page, line: HistoryLine) -> int:
    return _who(page) - 1 if line.who else page.until


def _who(page: Page) -> int:
    return page.width - WHO_WIDTH


def put_numbers(page: Page, mark: int, count: int, top: int, end: int) -> ListRoom:
    """The numbers of a list with the mark, and how many lines are above or below."""
    rows = max(0, end - top - (1 if page.height >= ROOMY else 0))
    more_row = None
    if count > rows > 1 and page.height >= ROOMY:
        rows -= 1
        more_row = top + rows
    first = first_shown(mark, count, rows) if rows else 0
    figures = max(2, len(str(count)))
    start, _ = sides(page)
    edge = start + 2 + figures + 3
    for offset in range(min(rows, count - first)):
        if first + offset == mark:
            page.put(top + offset, start, ">", "here")
        page.put_right(top + offset, edge - 3, str(first + offset + 1), "strong")
    if more_row is not None:
        below = count - first - rows
        said = [
            words.say(f"plant.{code}", count=number)
            for code, number in (("above", first), ("below", below))
            if number > 0
        ]
        page.put(more_row, edge, ", ".join(said), "quiet")
    return ListRoom(first, top, rows, edge)


def _history_line(page: Page, row: int, edge: int, line: HistoryLine, detail: PlantDetail) -> None:
    mark, role = _mark_of(line)
    page.put(row, edge - 2, mark, role)
    day = calendar_day(line.day, detail.on)
    quiet = line.is_withdrawn
    ink: Role = "quiet" if quiet else "ink"
    if not page.is_wide:
        page.put(row, edge, day, ink, until=max(WHEN_NARROW, edge + len(day) + 1))
        page.put(row, max(WHEN_NARROW, edge + len(day)) + 2, line.short, ink, until=page.width - 1)
        return
    when = f"{day} {line.time}".strip()
    page.put(row, edge, when, ink, until=MIDDLE - 1)
    page.put(row, MIDDLE, line.text, ink, until=_text_until(page, line))
    page.put(row, _who(page), line.who or "", "quiet", until=page.width - 1)


def _mark_of(line: HistoryLine) -> tuple[str, Role]:
    """Found alive, doubtful, a wall; each has its word in the line."""
    if line.visit is not None and line.visit.found:
        return "*", "find"
    if line.visit is not None and line.visit.open_doubts:
        return "?", "doubt"
    return MARKS.get(line.kind, ("", "ink"))


def _entry_line(page: Page, row: int, edge: int, entry: EntryLine) -> None:
    """A look with its zone; under it, further in, what was counted."""
    state = state_text(entry)
    stands = entry.state in ("stands", "open")
    role: Role = "ink" if stands else "quiet"
    if entry.kind == "tally" and stands:
        mark: tuple[str, Role] = ("*", "find") if entry.is_find else ("", "ink")
        page.put(row, edge - 2, *(("?", "doubt") if entry.is_open_doubt else mark))
    is_look = entry.kind == "look"
    if page.is_wide:
        if is_look:
            page.put(row, edge, entry.zone_name(), role, until=MIDDLE - 1)
        page.put(row, MIDDLE + (0 if is_look else 2), entry.text, role, until=THIRD - 1)
        page.put(row, THIRD, state, "doubt" if entry.is_open_doubt else "quiet",
                 until=page.width - 1)  # fmt: skip
        return
    # the state comes first: an end may be cut
    text = words.say("plant.state.and-text", state=state, text=entry.text) if state else entry.text
    if is_look:
        page.put(row, edge, entry.zone_name(), role, until=ENTRY_NARROW)
    page.put(row, ENTRY_NARROW + 1 if is_look else edge + 2, text, role, until=page.width - 1)


def state_text(entry: EntryLine) -> str:
    """What became of an entry; empty where it simply stands."""
    if entry.state in ("stands", "open") and entry.is_doubt:
        return words.say(f"plant.state.{entry.settled_as or 'doubt'}")
    if entry.state == "stands":
        return ""
    return words.say(f"plant.state.{entry.state}")
