"""Today: the next plant and why, what there is to do, what is in quarantine and still needed."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from rich.cells import cell_len

from rounds import words
from rounds.core.plan.pace import AS_PLANNED
from rounds.service.day.day import Day
from rounds.service.logbook.changed_text import changed_text
from rounds.service.plan.due_text import again_text, done_text, holds_text
from rounds.service.plan.today import DayPlan, Due
from rounds.service.plant.status import PlantStatus, ReleaseStatus
from rounds.service.plant.status_text import clean_in_column
from rounds.service.round.view import Question
from rounds.tui.page import FIRST, MIDDLE, THIRD, KeyHint, Page, fit, wrap
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
    rows_said,
    say,
    status_row,
    typing_keys,
)
from rounds.tui.pages.walk import put_walk
from rounds.words.forms import (
    ago_text,
    calendar_day,
    day_month,
    minutes_seconds,
    more_minutes_text,
    number,
    temperature,
)

WHY_ROWS = 2
LEAST_APART = 3
"""Rows kept for plants in quarantine before all that there is to do is shown."""
TALL_FROM = 32
"""Least rows of a page that also lists the plants of the round."""
COLUMNS, SPREAD_COLUMNS = (20, 28, 41, 54), (28, 41, 54, 67)
"""Days apart, chance clean, expected, waiting for; spread, names may be longer."""

MOST_CODE = 12
FIND = 31
"""The column of the key that finds, after what enter does."""


@dataclass(frozen=True, slots=True)
class TodayView:
    """What the first screen knows."""

    day: Day
    message: str
    number: int | None
    """of the line that enter opens"""
    asks_minutes: str | None
    """what was typed so far, where minutes are asked for"""
    asked: Question | None

    @property
    def first(self) -> PlantStatus | None:
        """The plant the round was left at, else the first of the plan; None where none is known."""
        day, edge = self.day, self.day.under_way
        if edge is not None and edge.plant_id is not None:
            return (day.statuses or {}).get(edge.plant_id)
        return day.plan.plan[0].status if day.plan and day.plan.plan else None


def today_page(view: TodayView, width: int, height: int) -> Page:
    """The first screen."""
    page = Page(width, height)
    day = view.day
    heading(
        page,
        say("today.title", day=calendar_day(day.on, day.on)),
        _how_planned(day) if page.is_wide else "",
        say("today.planned", minutes=minutes_seconds(day.choices.minutes * 60)),
    )
    if not day.here:
        # on a low page it gives way to what is asked or said
        if page.height >= ROOMY or (view.asks_minutes is None and not view.message):
            _how_to_start(page)
    else:
        end = _end_of_lists(page, view)
        row = _to_do(page, day, _first_plant(page, view, end) + 1, end)
        row = _apart(page, day, row, end)
        if day.plan is not None and day.under_way is None:
            put_walk(page, day.plan, row + 1, end - 1, whole=page.height >= TALL_FROM)
    _bottom(page, view)
    return page


def _how_planned(day: Day) -> str:
    """The order, where it is not the usual one, and the grower's own pace."""
    by_risk = day.choices.by_risk
    pace = number(round(day.plan.pace, 1)) if day.plan else number(AS_PLANNED)
    # a pace that rounds to the assumed one says nothing
    if pace == number(AS_PLANNED):
        return words.say("plan.by-risk") if by_risk else ""
    return words.say("plan.by-risk-and-pace" if by_risk else "plan.pace", pace=pace)


def _end_of_lists(page: Page, view: TodayView) -> int:
    """The row on which what is asked or said begins."""
    row = desk_row(page)
    if view.asked is not None:
        return ask_top(page, row, view.asked)
    # a question over two rows begins a row higher
    return row - (0 if page.is_wide or view.asks_minutes is None else 1)


def lines_of(day: Day) -> list[PlantStatus]:
    """The plants that numbered lines open: those with something to do, then those apart."""
    return [*(due.status for due in day.due), *apart(day)]


def apart(day: Day) -> list[PlantStatus]:
    """The plants apart, the worst first."""
    return sorted((s for s in day.ordered if s.release is not None), key=_worst_first)


def _worst_first(status: PlantStatus) -> tuple[float, str]:
    # last where the chance clean is not known yet
    chance = status.chance_clean
    return 1.0 if chance is None else chance, status.code.casefold()


def _how_to_start(page: Page) -> None:
    edge, until = page.edge, page.until
    page.put(2, edge, say("today.no-plants"), "strong")
    row = 3 + page.put_wrapped(3, edge, say("today.start-plants"), until=until, rows=3)
    if page.height >= ROOMY:
        page.put_wrapped(row + 1, edge, say("today.start-shell"), "quiet", until=until, rows=3)
        page.put_wrapped(row + 5, edge, say("today.start-demo"), "quiet", until=until)


def _first_plant(page: Page, view: TodayView, end: int) -> int:
    """Who comes first, why, and how many fit, where that is above `end`; the row after them."""
    day, first = view.day, view.first
    edge, until = page.edge, page.until
    if first is None:
        return _nobody_first(page, day)
    if day.under_way is None and day.plan is not None and day.plan.is_done:
        return _done(page, day.plan)
    status_row(page, first)
    rows = page.put_wrapped(3, edge, _why(day, first, until - edge), until=until)
    if 3 + rows >= end:
        return end
    if day.under_way is not None:
        done, plants = day.under_way.done, day.under_way.plants
        page.put(3 + rows, edge, say("today.done", done=done, plants=plants), until=until)
    elif day.plan is not None:
        _fit_row(page, day.plan, 3 + rows)
    return 4 + rows


def _done(page: Page, plan: DayPlan) -> int:
    """That what was due is done, and what one more round would bring; the row after it."""
    page.put(2, page.edge, done_text(plan), "strong", until=page.until)
    again = _most_that_fit(page, lambda most: again_text(plan, most), len(plan.plan))
    page.put(3, page.edge, again, until=page.until)
    _fit_row(page, plan, 4)
    return 5


def _most_that_fit(page: Page, say_with: Callable[[int], str], codes: int) -> str:
    """A sentence with as many codes as there is room for; without any where one is too long."""
    room = page.until - page.edge
    return next(
        (text for most in range(codes, 0, -1) if cell_len(text := say_with(most)) <= room),
        say_with(0),
    )


def _nobody_first(page: Page, day: Day) -> int:
    """That the plan is being calculated, or that all is seen; the row after it."""
    edge, until = page.edge, page.until
    if day.plan is not None:
        return 2 + page.put_wrapped(2, edge, say("today.all-seen"), "strong", until=until)
    row = 2 + page.put_wrapped(2, edge, words.say("calculating.plan"), "strong", until=until)
    code = "plants-one" if day.here == 1 else "plants"
    text = words.say(f"calculating.{code}", plants=day.here)
    return row + page.put_wrapped(row, edge, text, "quiet", until=until)


def _why(day: Day, first: PlantStatus, width: int) -> str:
    """Why a plant comes first: the round was left there, else two reasons or one, whole."""
    if day.under_way is not None and day.under_way.zone is not None:
        zone = words.say(f"zones.{day.under_way.zone}.name")
        return say("today.under-way", zone=zone)
    first_two = [reason.text for reason in first.reasons[:2]]
    told = (words.say("forms.and").join(first_two), first_two[0], first.reasons[0].brief)
    said = [say("today.first-because", reason=text) for text in told if text]
    return next((text for text in said if len(wrap(text, width)) <= WHY_ROWS), said[-1])


def _fit_row(page: Page, plan: DayPlan, row: int) -> None:
    fits = _fits(plan)
    filled = say(
        "today.filled",
        planned=minutes_seconds(plan.filled_seconds),
        minutes=minutes_seconds(plan.minutes * 60),
    )
    waits = _waits(plan, THIRD - 1 - MIDDLE if page.is_wide else page.until - 3 - cell_len(fits))
    if page.is_wide:
        page.put(row, FIRST, fits, until=MIDDLE - 1)
        page.put(row, MIDDLE, waits, until=THIRD - 1)
        page.put(row, THIRD, filled, "quiet")
    else:
        said = words.say("forms.and").join(filter(None, [fits, waits]))
        page.put(row, 1, said, until=page.width - 1)


def _waits(plan: DayPlan, room: int) -> str:
    """How many wait though they are due, and how many can; the first alone where room is short."""
    due = len(plan.due_waits)
    others = len(plan.left_out) - due
    if not due:
        return say("today.wait", count=others) if others else ""
    short = say("today.wait-due", count=due)
    both = say("today.wait-both", due=due, count=others) if others else short
    return both if cell_len(both) <= room else short


def _fits(plan: DayPlan) -> str:
    """How many of those to be looked at fit into the minutes."""
    fit_in, of_all = len(plan.plan), len(plan.plan) + len(plan.left_out)
    if fit_in < of_all:
        return say("today.fit", fit=fit_in, all=of_all)
    return say("today.fit-one") if of_all == 1 else say("today.fit-all", all=of_all)


def _apart(page: Page, day: Day, row: int, end: int) -> int:
    """Plants apart, above the row `end`; the row after them."""
    found = apart(day)
    edge = FIRST + 4 if page.is_wide else 5
    if page.height < ROOMY:
        row -= 1
    if day.statuses is None or row >= end:
        return row
    if row + 1 == end:
        # no row for the heads: the one plant, or how many there are
        if len(found) == 1:
            _apart_rows(page, row - 1, found, len(day.due) + 1, heads=False)
        elif found:
            page.put(row, edge, say("today.count-apart", count=len(found)), "quiet")
        return end
    if not found:
        page.put(row, edge, say("today.nobody-apart"), "quiet")
        return row + 1
    shown = min(len(found), max(1, end - row - 1))
    if shown < len(found) and row + shown + 1 >= end:
        # how many more there are comes before the last that could be shown
        shown -= 1
    _apart_rows(page, row, found[:shown], len(day.due) + 1)
    if shown < len(found):
        page.put(row + shown + 1, edge, say("more", count=len(found) - shown), "quiet")
        shown += 1
    return row + shown + 1


def _apart_rows(
    page: Page, row: int, found: Sequence[PlantStatus], first: int, *, heads: bool = True
) -> None:
    """Heads, and a row for each plant under them, numbered from `first` on."""
    narrow = [_narrow(status) for status in found]
    if heads:
        _apart_heads(page, row, narrow)
    edge = FIRST if page.is_wide else 1
    for line, status in enumerate(found, row + 1):
        number_of = first + line - row - 1
        page.put(line, edge + 1 - len(str(number_of)), str(number_of), "strong")
        page.put_line_spot(line, number_of - 1)
        page.put(line, edge + 2, STANDING_MARK["quarantine"], "apart")
        if page.is_wide:
            _apart_row(page, line, status)
        else:
            put_narrow_row(page, line, narrow[line - row - 1], narrow)


def _apart_heads(page: Page, row: int, narrow: Sequence[ApartRow]) -> None:
    if not page.is_wide:
        put_narrow_heads(page, row, narrow)
        return
    page.put(row, FIRST + 4, say("today.apart"), "quiet")
    heads = ("clean", "earliest", "waiting")
    for column, code in zip(_columns(page)[1:], heads, strict=True):
        page.put(row, column, say(f"today.column-{code}"), "quiet")


def _narrow(status: PlantStatus) -> ApartRow:
    said = clean_in_column(status, say("today.working-out"))
    return ApartRow(status.code, status.name, said, earliest_text(status))


def _apart_row(page: Page, row: int, status: PlantStatus) -> None:
    code = "day-apart" if status.days_standing else "day-apart-first"
    days = say(f"today.{code}", days=status.days_standing)
    day_at, clean_at, earliest_at, waiting_at = _columns(page)
    clean = clean_in_column(status, say("today.working-out"))
    page.put(row, FIRST + 4, f"{status.code}  {status.name}", until=day_at - 1)
    page.put(row, day_at, days, until=clean_at - 1)
    page.put(row, clean_at, clean, until=earliest_at - 1)
    page.put(row, earliest_at, earliest_text(status), until=waiting_at - 1)
    page.put(row, waiting_at, waiting_text(status, page.width - waiting_at), until=page.width)


def _columns(page: Page) -> tuple[int, int, int, int]:
    return SPREAD_COLUMNS if page.is_spread else COLUMNS


def earliest_text(status: PlantStatus) -> str:
    """When it may rejoin, if looks go on as they have and stay clean.

    No day is named while insects are known to live on it; while the day is worked out, the one
    that was named last.
    """
    release = status.release
    if release is None or status.is_known_alive:
        return say("today.beyond")
    if not status.is_forecast:
        return _day_named_last(status, release)
    day = release.expected_on
    return say("today.beyond") if day is None else day_month(day, status.on)


def _day_named_last(status: PlantStatus, release: ReleaseStatus) -> str:
    was, unknown = release.was_expected_on, say("today.working-out")
    if was is None:
        return unknown
    said = say("today.was", day=calendar_day(was, status.on))
    return said if cell_len(said) < COLUMNS[3] - COLUMNS[2] else unknown


def waiting_text(status: PlantStatus, width: int) -> str:
    """What it still needs, what takes longest first; how many more where room is short."""
    criteria = status.release.criteria if status.release else ()
    waiting = [criterion for criterion in criteria if criterion.met is not True]
    if not waiting:
        return say("today.ready")
    never = date.max
    longest_first = sorted(waiting, key=lambda c: c.expected_on or never, reverse=True)
    names = [words.say(f"quarantine.short.{criterion.code}") for criterion in longest_first]
    if status.is_known_alive and status.last_find_on is not None:
        ago = ago_text(status.last_find_on, status.on)
        names.insert(0, say("today.alive", ago=ago))
    whole = ", ".join(names)
    shorter = [
        words.say(
            "screens.today.needs-more", names=", ".join(names[:most]), count=len(names) - most
        )
        for most in range(len(names) - 1, 0, -1)
    ]
    return next(
        (text for text in [whole, *shorter] if cell_len(text) <= width), [whole, *shorter][-1]
    )


def _to_do(page: Page, day: Day, row: int, end: int) -> int:
    """What there is to do, above the row `end`; the row after it and a blank one."""
    edge = FIRST + 4 if page.is_wide else 5
    if page.height < ROOMY:
        row -= 1
    kept = 2 + min(LEAST_APART, len(apart(day))) if apart(day) else 0
    room = end - row - 1 - kept
    if not day.due:
        return row + 1 if page.height < ROOMY else row
    if row >= end:
        return row + 1
    if room < 1 and len(day.due) == 1:
        _due_line(page, row, 1, day.due[0], day.on)
        return row + 2
    shown = len(day.due) if len(day.due) <= room else room - 1
    if shown < 1:
        page.put(row, edge, say("today.count-to-do", count=len(day.due)), "quiet")
        return row + 2
    page.put(row, edge, say("today.for-today"), "quiet")
    for number_of, due in enumerate(day.due[:shown], 1):
        _due_line(page, row + number_of, number_of, due, day.on)
    row += 1 + shown
    if shown < len(day.due):
        page.put(row, edge, say("more", count=len(day.due) - shown), "quiet")
        row += 1
    return row + 1


def _due_line(page: Page, row: int, number_of: int, due: Due, on: date) -> None:
    """One thing to do: its number, what it is, the plant, and since when."""
    edge = FIRST + 4 if page.is_wide else 5
    page.put(row, edge - 4, str(number_of), "strong")
    page.put_line_spot(row, number_of - 1)
    if page.is_wide:
        page.put(row, edge, due.text, until=MIDDLE - 1)
        page.put(row, MIDDLE, f"{due.status.code}  {due.status.name}", until=THIRD - 2)
        since = say("today.waiting-since", day=day_month(due.on, on))
        page.put_right(row, 79, since, "quiet")
        return
    code = fit(due.status.code, MOST_CODE)
    page.put_right(row, page.width - 1, code)
    page.put(row, edge, due.text, until=page.width - 2 - cell_len(code))


def _bottom(page: Page, view: TodayView) -> None:
    row = desk_row(page)
    if view.asks_minutes is not None:
        minutes = number(view.day.choices.minutes)
        ask_typed(page, row, say("today.minutes-ask", minutes=minutes), view.asks_minutes)
        typing_keys(page)
        return
    if view.asked is not None:
        ask_question(page, row, view.asked)
    elif view.message:
        edge, until = page.edge, page.until
        page.put_wrapped(row, edge, view.message, until=until, rows=rows_said(page))
    else:
        _advice(page, view, row)
    _keys(page, view)


def _advice(page: Page, view: TodayView, row: int) -> None:
    """Why a first round is longer, what is due but does not fit, what a few minutes more let in."""
    day = view.day
    price, back = day.price, day.back if day.under_way is None else None
    edge, until = page.edge, page.until
    size = "" if page.is_wide else "-narrow"
    last = row + rows_said(page)
    if back is not None:
        page.put(row, edge, back.sentence if page.is_wide else back.short, until=until)
        row += 1
    if day.under_way is None and day.plan is not None and day.plan.is_short:
        plan = day.plan
        text = _most_that_fit(page, lambda most: holds_text(plan, most), len(plan.due_waits))
        page.put(row, edge, text, until=until)
        row += 1
    if row < last and price is not None and day.plan is not None:
        values = {
            "minutes": more_minutes_text(price.minutes),
            "count": price.plants,
            "waiting": len(day.plan.waiting),
        }
        page.put(row, edge, say(f"today.price{size}", **values), until=until)
        row += 1
    if row < last and any(status.temperature_assumed for status in day.ordered):
        usual = temperature(day.choices.usual_c)
        text = say(f"today.temperature-assumed{size}", usual=usual)
        page.put(row, edge, text, "quiet", until=until)
        row += 1
    changed = changed_text(day.choices.changed_values)
    if changed and row < last:
        page.put(row, edge, changed, "quiet", until=until)


def _keys(page: Page, view: TodayView) -> None:
    row = page.height - 2
    has_plants = bool(view.day.here)
    if page.is_wide:
        plants = hint("plants") if has_plants else None
        coming = hint("coming") if has_plants else None
        order = hint("order", "list.order") if has_plants else None
        page.put_keys(row, [hint("leave"), hint("minutes"), order, plants, coming, hint("help")])
        of_line = ("1-9", "line-or-desk") if lines_of(view.day) else ("0", "desk")
        line = KeyHint(of_line[0], say(f"keys.{of_line[1]}"))
        doubts = hint("doubts") if any(s.doubts for s in view.day.ordered) else None
        page.put_keys(row + 1, [None, None, None, line, None, doubts])
    else:
        page.put_keys(row, [hint("leave"), hint("minutes"), hint("help")], (1, 14, 29))
    page.put_keys(row + 1, [hint("find")], (FIND,) if page.is_wide else (29,))
    is_unplanned = view.day.plan is None
    if view.number is not None or view.first is not None or is_unplanned or not has_plants:
        page.put_keys(row + 1, [hint("begin", _what_enter_does(view))])


def _what_enter_does(view: TodayView) -> str:
    if view.number is not None:
        return "list.open"
    if not view.day.here:
        return "first-plants"
    return "resume" if view.day.under_way else "begin"
