"""Today: who comes first and why, who stands apart and waits for what, what else there is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rich.cells import cell_len

from rounds import words
from rounds.core.plan.pace import AS_PLANNED
from rounds.service.plan.away import Back
from rounds.service.plan.price import Price
from rounds.service.plan.today import DayPlan
from rounds.service.plant.record import PlantRecord
from rounds.service.round.view import Question
from rounds.tui.page import FIRST, MIDDLE, THIRD, KeyHint, Page, fit
from rounds.tui.pages.apart_narrow import ApartRow, put_narrow_heads, put_narrow_row
from rounds.tui.pages.parts import (
    ROOMY,
    STANDING_MARK,
    ask_question,
    ask_top,
    ask_typed,
    desk_row,
    heading,
    hint,
    plant_row,
    rows_said,
    say,
    typing_keys,
)
from rounds.tui.pages.walk import put_walk
from rounds.words.forms import (
    calendar_day,
    day_month,
    in_100,
    minutes_seconds,
    minutes_text,
    number,
    temperature,
)

MOST_LINES = 9
LEAST_DUE = 2
"""So many of what is due are shown before all plants apart are."""
TALL_FROM = 32
"""From so many rows on the plants of the round are listed too."""
COLUMNS, SPREAD_COLUMNS = (20, 28, 41, 54), (28, 41, 54, 67)
"""Days apart, likely clean, expected, waiting for; spread, names may be longer."""

MOST_CODE = 12


@dataclass(frozen=True, slots=True)
class TodayView:
    """What the first screen knows."""

    day: DayPlan
    first: PlantRecord | None
    """the plant the round was left at, else the first of the plan"""
    why: str
    where: str
    standing_text: str
    under_way: tuple[int, int] | None
    """of the round under way, the plants done and all it has"""
    message: str
    number: int | None
    """of the line that enter opens"""
    asks_minutes: str | None
    """what was typed so far, where minutes are asked for"""
    asked: Question | None
    price: Price | None
    """what a few minutes more would let in"""
    back: Back | None = None
    """on the first day after days away, where no round was begun yet"""


def today_page(view: TodayView, width: int, height: int) -> Page:
    """The first screen."""
    page = Page(width, height)
    day = view.day
    heading(
        page,
        say("today.title", day=calendar_day(day.on, day.on)),
        _how_planned(day) if page.is_wide else "",
        say("today.planned", minutes=minutes_seconds(day.minutes * 60)),
    )
    if not day.records:
        # on a low page it gives way to what is asked or said
        if page.height >= ROOMY or (view.asks_minutes is None and not view.message):
            _how_to_start(page)
    else:
        end = _end_of_lists(page, view)
        row = _apart(page, day, _first_plant(page, view) + 1, end)
        row = _for_today(page, day, row + 1, end)
        if page.height >= TALL_FROM:
            put_walk(page, day, row + 1, end - 1)
    _bottom(page, view)
    return page


def _how_planned(day: DayPlan) -> str:
    """The order, where it is not the usual one, and the grower's own pace."""
    pace = number(round(day.pace, 1))
    # a pace that rounds to the assumed one says nothing
    if pace == number(AS_PLANNED):
        return words.say("plan.by-risk") if day.by_risk else ""
    return words.say("plan.by-risk-and-pace" if day.by_risk else "plan.pace", pace=pace)


def _end_of_lists(page: Page, view: TodayView) -> int:
    """The row on which what is asked or said begins."""
    row = desk_row(page)
    if view.asked is not None:
        return ask_top(page, row, view.asked)
    # a question over two rows begins a row higher
    return row - (0 if page.is_wide or view.asks_minutes is None else 1)


def lines_of(day: DayPlan) -> list[PlantRecord]:
    """The plants that numbered lines open: those apart, then those with something due."""
    return [*apart(day), *(due.record for due in day.due)][:MOST_LINES]


def apart(day: DayPlan) -> list[PlantRecord]:
    """The plants apart, those nearest to rejoining first."""
    found = [record for record in day.records if record.history is not None]
    return sorted(found, key=_nearness)


def _nearness(record: PlantRecord) -> tuple[float, str]:
    return -record.likely.chance_clean, record.plant.code.casefold()


def _how_to_start(page: Page) -> None:
    left, until = page.left, page.until
    page.put(2, left, say("today.no-plants"), "strong")
    row = 3 + page.put_wrapped(3, left, say("today.start-plants"), until=until, rows=3)
    if page.height >= ROOMY:
        page.put_wrapped(row + 1, left, say("today.start-shell"), "quiet", until=until, rows=3)
        page.put_wrapped(row + 5, left, say("today.start-demo"), "quiet", until=until)


def _first_plant(page: Page, view: TodayView) -> int:
    """Who comes first, why, and how many fit; the row after them."""
    day = view.day
    left, until = page.left, page.until
    if view.first is None:
        return 2 + page.put_wrapped(2, left, say("today.all-seen"), "strong", until=until)
    plant_row(
        page,
        view.first.plant.code,
        view.first.name(),
        view.where,
        view.first.standing,
        view.standing_text,
    )
    rows = page.put_wrapped(3, left, view.why, until=until)
    if view.under_way is None:
        _fit_row(page, day, 3 + rows)
    else:
        done, plants = view.under_way
        page.put(3 + rows, left, say("today.done", done=done, plants=plants), until=until)
    return 4 + rows


def _fit_row(page: Page, day: DayPlan, row: int) -> None:
    fits = _fits(day)
    filled = say(
        "today.filled",
        planned=minutes_seconds(day.filled_seconds),
        minutes=minutes_seconds(day.minutes * 60),
    )
    if page.is_wide:
        page.put(row, FIRST, fits, until=MIDDLE - 1)
        if day.left_out:
            page.put(row, MIDDLE, say("today.wait", count=len(day.left_out)), until=THIRD - 1)
        page.put(row, THIRD, filled, "quiet")
    else:
        waits = [say("today.wait-narrow", count=len(day.left_out))] if day.left_out else []
        page.put(row, 1, words.say("forms.and").join([fits, *waits]), until=page.width - 1)


def _fits(day: DayPlan) -> str:
    """How many of those to be looked at fit into the minutes."""
    fit_in, of_all = len(day.plan), len(day.plan) + len(day.left_out)
    if fit_in < of_all:
        return say("today.fit", fit=fit_in, all=of_all)
    return say("today.fit-one") if of_all == 1 else say("today.fit-all", all=of_all)


def _apart(page: Page, day: DayPlan, row: int, end: int) -> int:
    """Plants apart, above the row `end`; the row after them."""
    found = apart(day)
    left = FIRST + 4 if page.is_wide else 5
    if page.height < ROOMY:
        row -= 1
    if row + 1 >= end:
        return row
    if not found:
        page.put(row, left, say("today.nobody-apart"), "quiet")
        return row + 1
    # where room is short, the most pressing of what else is due stands before the last of these
    due = 2 + min(LEAST_DUE, len(day.due)) if day.due else 0
    room = max(1, end - row - 2 - due)
    shown = min(len(found), room, MOST_LINES)
    _apart_rows(page, row, found[:shown])
    if shown < len(found) and row + shown + 1 < end:
        page.put(row + shown + 1, left, say("more", count=len(found) - shown), "quiet")
        shown += 1
    return row + shown + 1


def _apart_rows(page: Page, row: int, found: Sequence[PlantRecord]) -> None:
    """Heads, and a numbered row for each plant under them."""
    narrow = [_narrow(record) for record in found]
    if page.is_wide:
        page.put(row, FIRST + 4, say("today.apart"), "quiet")
        heads = ("clean", "earliest", "waiting")
        for column, code in zip(_columns(page)[1:], heads, strict=True):
            page.put(row, column, say(f"today.column-{code}"), "quiet")
    else:
        put_narrow_heads(page, row, narrow)
    left = FIRST if page.is_wide else 1
    for number_of, record in enumerate(found, 1):
        page.put(row + number_of, left, str(number_of), "strong")
        page.put(row + number_of, left + 2, STANDING_MARK["quarantine"], "apart")
        if page.is_wide:
            _apart_row(page, row + number_of, record)
        else:
            put_narrow_row(page, row + number_of, narrow[number_of - 1], narrow)


def _narrow(record: PlantRecord) -> ApartRow:
    chance = record.likely.chance_clean
    return ApartRow(record.plant.code, record.name(), chance, earliest_text(record))


def _apart_row(page: Page, row: int, record: PlantRecord) -> None:
    days = say("today.day-apart", days=(record.on - record.standing_since).days)
    name = f"{record.plant.code}  {record.name()}"
    day_at, clean_at, earliest_at, waiting_at = _columns(page)
    page.put(row, FIRST + 4, name, until=day_at - 1)
    page.put(row, day_at, days, until=clean_at - 1)
    page.put(row, clean_at, in_100(record.likely.chance_clean), until=earliest_at - 1)
    page.put(row, earliest_at, earliest_text(record), until=waiting_at - 1)
    page.put(row, waiting_at, waiting_text(record, page.width - waiting_at), until=page.width)


def _columns(page: Page) -> tuple[int, int, int, int]:
    return SPREAD_COLUMNS if page.is_spread else COLUMNS


def earliest_text(record: PlantRecord) -> str:
    """When it may rejoin, if looks go on as they have and stay clean."""
    if not record.forecast_is_quick:
        return say("today.working-out")
    day = record.forecast.ready_on if record.forecast else None
    return say("today.beyond") if day is None else day_month(day, record.on)


def waiting_text(record: PlantRecord, width: int) -> str:
    """What it waits for, what takes longest first: as much as can be said whole."""
    known = record.forecast if record.forecast_is_quick else None
    criteria = known.criteria if known else record.criteria
    waiting = [criterion for criterion in criteria if criterion.met is not True]
    if not waiting:
        return say("today.ready")
    never = date.max
    longest_first = sorted(waiting, key=lambda c: c.expected_on or never, reverse=True)
    said = ""
    for criterion in longest_first:
        name = words.say(f"quarantine.short.{criterion.code}")
        longer = f"{said}, {name}" if said else name
        if cell_len(longer) > width:
            return said or name
        said = longer
    return said


def _for_today(page: Page, day: DayPlan, row: int, end: int) -> int:
    """What is due, above the row `end`; the row after it."""
    left = FIRST + 4 if page.is_wide else 5
    room = end - row - 1
    if room < 1 or not day.due:
        return row
    page.put(row, left, say("today.for-today"), "quiet")
    first_number = min(len(apart(day)), MOST_LINES) + 1
    for offset, due in enumerate(day.due[:room], 0):
        line = row + 1 + offset
        if first_number + offset <= MOST_LINES:
            page.put(line, left - 4, str(first_number + offset), "strong")
        plant = f"{due.record.plant.code}  {due.record.name()}"
        if page.is_wide:
            page.put(line, left, due.text, until=MIDDLE - 1)
            page.put(line, MIDDLE, plant, until=THIRD - 2)
            since = say("today.waiting-since", day=day_month(due.on, day.on))
            page.put_right(line, 79, since, "quiet")
        else:
            code = fit(due.record.plant.code, MOST_CODE)
            page.put_right(line, page.width - 1, code)
            page.put(line, left, due.text, until=page.width - 2 - cell_len(code))
    return row + 1 + min(room, len(day.due))


def _bottom(page: Page, view: TodayView) -> None:
    row = desk_row(page)
    if view.asks_minutes is not None:
        minutes = number(view.day.minutes)
        ask_typed(page, row, say("today.minutes-ask", minutes=minutes), view.asks_minutes)
        typing_keys(page)
        return
    if view.asked is not None:
        ask_question(page, row, view.asked)
    elif view.message:
        left, until = page.left, page.until
        page.put_wrapped(row, left, view.message, until=until, rows=rows_said(page))
    else:
        _advice(page, view, row)
    _keys(page, view)


def _advice(page: Page, view: TodayView, row: int) -> None:
    """Why a first round is longer, what a few minutes more would let in, what is only assumed."""
    day, price, back = view.day, view.price, view.back
    left, until = page.left, page.until
    size = "" if page.is_wide else "-narrow"
    last = row + rows_said(page)
    if back is not None:
        page.put(row, left, back.sentence if page.is_wide else back.short, until=until)
        row += 1
    if price is not None:
        values = {
            "minutes": minutes_text(price.minutes),
            "count": price.plants,
            "waiting": len(day.left_out),
        }
        page.put(row, left, say(f"today.price{size}", **values), until=until)
        row += 1
    if row < last and any(record.temperature_assumed for record in day.records):
        usual = temperature(day.records[0].logbook.parameters.usual_c)
        text = say(f"today.temperature-assumed{size}", usual=usual)
        page.put(row, left, text, "quiet", until=until)


def _keys(page: Page, view: TodayView) -> None:
    row = page.height - 2
    has_plants = bool(view.day.records)
    if page.is_wide:
        plants = hint("plants") if has_plants else None
        coming = hint("coming") if has_plants else None
        order = hint("order", "list.order") if has_plants else None
        page.put_keys(row, [hint("leave"), hint("minutes"), order, plants, coming, hint("help")])
        of_line = ("1-9", "line-or-desk") if lines_of(view.day) else ("0", "desk")
        line = KeyHint(of_line[0], say(f"keys.{of_line[1]}"))
        doubts = hint("doubts") if any(r.open_doubts for r in view.day.records) else None
        page.put_keys(row + 1, [None, None, None, line, None, doubts])
    else:
        page.put_keys(row, [hint("leave"), hint("minutes"), hint("help")], (1, 14, 29))
    if view.number is not None or view.first is not None or not has_plants:
        page.put_keys(row + 1, [hint("begin", _what_enter_does(view))])


def _what_enter_does(view: TodayView) -> str:
    if view.number is not None:
        return "list.open"
    if not view.day.records:
        return "first-plants"
    return "resume" if view.under_way else "begin"
