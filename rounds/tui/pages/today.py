"""Today in words: the next plant and why, how many fit, what else there is to know, the keys."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from rich.cells import cell_len

from rounds import words
from rounds.core.plan.pace import AS_PLANNED
from rounds.service.day.day import Day
from rounds.service.logbook.changed_text import changed_text
from rounds.service.plan.due_lines import due_lines
from rounds.service.plan.due_text import again_text, done_text, holds_text, short_text
from rounds.service.plan.today import DayPlan
from rounds.service.plant.status import PlantStatus
from rounds.tui.page import MIDDLE, THIRD, KeyHint, Page, wrap
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.parts import ROOMY, hint, rows_said, say, typing_keys
from rounds.tui.pages.today_lines import lines_of
from rounds.tui.pages.told import Figures, Paragraph, Told
from rounds.words.forms import (
    calendar_day,
    codes_text,
    minutes_seconds,
    minutes_text,
    more_minutes_text,
    number,
    temperature,
)

WHY_ROWS = 2
AT_ONCE = "set-apart"
"""What can be done before the round, of all that there is to do."""
FIND = 31
"""The column of the key that finds, after what enter does."""


@dataclass(frozen=True, slots=True)
class TodayView:
    """What the first screen knows."""

    day: Day
    message: str
    number: int | None
    """of the line that enter opens"""
    asks_minutes: bool
    asked: Asked | None
    backup_fault: str = ""

    @property
    def first(self) -> PlantStatus | None:
        """The plant the round was left at, else the first of the plan; None where none is known."""
        day, edge = self.day, self.day.under_way
        if edge is not None and edge.plant_id is not None:
            return (day.statuses or {}).get(edge.plant_id)
        return day.plan.plan[0].status if day.plan and day.plan.plan else None

    @property
    def is_done(self) -> bool:
        """Whether a round of the day is behind, and one more would look at what is not due."""
        plan = self.day.plan if self.day.under_way is None else None
        return self.first is not None and plan is not None and plan.is_done


def today_told(view: TodayView, page: Page) -> Told:
    """What is said around the lists, on a page of a size."""
    day, minutes = view.day, view.day.choices.minutes
    is_known = view.first is not None and not view.is_done
    fits = _fit_figures(view, page) if view.first is not None else None
    return Told(
        title=say("today.title", day=calendar_day(day.on, day.on)),
        middle=_how_planned(day),
        clock=say("today.planned", minutes=minutes_text(minutes)),
        status=view.first if is_known else None,
        above=[*_above(view, page), *([] if fits else _fit_row(view, page))],
        figures=fits,
        message=view.message,
        asked=view.asked,
        asks=say("today.minutes-ask", minutes=number(minutes)) if view.asks_minutes else None,
        otherwise=[] if view.message else [*filter(None, _advice(view, page))][: rows_said(page)],
        otherwise_role="ink",
    )


def _how_planned(day: Day) -> str:
    """The order, where it is not the usual one, and the grower's own pace."""
    by_risk = day.choices.by_risk
    pace = number(round(day.plan.pace, 1)) if day.plan else number(AS_PLANNED)
    # a pace that rounds to the assumed one says nothing
    if pace == number(AS_PLANNED):
        return words.say("plan.by-risk") if by_risk else ""
    return words.say("plan.by-risk-and-pace" if by_risk else "plan.pace", pace=pace)


def _above(view: TodayView, page: Page) -> Iterator[Paragraph]:
    """Who comes first and why; or that a plan is calculated, nothing is due, or no plant here."""
    day, first = view.day, view.first
    if not day.here:
        yield from _how_to_start()
    elif view.is_done and day.plan is not None:
        yield Paragraph(done_text(day.plan), "strong")
        plan = day.plan
        again = _most_that_fit(page, lambda most: again_text(plan, most), len(plan.plan))
        yield Paragraph(again)
    elif first is not None:
        yield Paragraph(_why(day, first, page.until - page.edge), rows=WHY_ROWS)
        if at_once := _at_once(day, first, page):
            yield Paragraph(at_once)
    elif day.plan is not None:
        yield Paragraph(say("today.all-seen"), "strong")
    else:
        code = "plants-one" if day.here == 1 else "plants"
        yield Paragraph(words.say("calculating.plan"), "strong")
        yield Paragraph(words.say(f"calculating.{code}", plants=day.here), "quiet")


def _how_to_start() -> Iterator[Paragraph]:
    yield Paragraph(say("today.no-plants"), "strong")
    yield Paragraph(say("today.start-plants"))
    for code in ("start-shell", "start-demo"):
        yield Paragraph("", may_go=True)
        yield Paragraph(say(f"today.{code}"), "quiet", may_go=True)


def _why(day: Day, first: PlantStatus, width: int) -> str:
    """Why a plant comes first: the round was left there, else two reasons or one, whole."""
    if day.under_way is not None and day.under_way.zone is not None:
        zone = words.say(f"zones.{day.under_way.zone}.name")
        return say("today.under-way", zone=zone)
    planned = day.plan.plan if day.plan is not None else ()
    own = next((p.reasons for p in planned if p.status.plant_id == first.plant_id), first.reasons)
    first_two = [reason.text for reason in own[:2]]
    told = (words.say("forms.and").join(first_two), first_two[0], own[0].brief)
    said = [say("today.first-because", reason=text) for text in told if text]
    return next((text for text in said if len(wrap(text, width)) <= WHY_ROWS), said[-1])


def _at_once(day: Day, first: PlantStatus, page: Page) -> str:
    """What enter begins with and what it does of those to be quarantined at once; or empty.

    The walk comes to them after the others, so that hands carry nothing: here is said how they
    are quarantined before it.
    """
    numbered = [
        (number, line.status)
        for number, line in enumerate(due_lines(day.due), 1)
        if line.dues[0].kind == AT_ONCE
    ]
    if not numbered or day.under_way is not None:
        return ""
    planned = {of.status.plant_id for of in day.plan.plan} if day.plan is not None else set()
    urgent = {status.plant_id for _, status in numbered}
    is_later = first.plant_id not in urgent and urgent <= planned
    number, which = (str(numbered[0][0]), "") if len(numbered) == 1 else ("", "-several")
    size = "" if page.is_wide else "-narrow"
    codes = codes_text([status.code for _, status in numbered])
    code = f"today.later{which}{size}" if is_later else f"today.now{which}"
    return say(code, first=first.code, codes=codes, number=number)


def _fit_figures(view: TodayView, page: Page) -> Figures | None:
    """How many fit and how many wait, side by side; None where there is no room for that."""
    plan = view.day.plan if view.day.under_way is None else None
    if plan is None or not page.is_wide or page.height < ROOMY:
        return None
    filled = say(
        "today.filled",
        planned=minutes_seconds(plan.filled_seconds),
        minutes=number(plan.minutes),
    )
    return Figures(_fits(plan), _waits(plan, THIRD - 1 - MIDDLE), filled, "")


def _fit_row(view: TodayView, page: Page) -> Iterator[Paragraph]:
    """The same in a row; of a round under way, how many plants are done."""
    day, plan = view.day, view.day.plan
    if view.first is None:
        return
    if day.under_way is not None:
        done, plants = day.under_way.done, day.under_way.plants
        yield Paragraph(say("today.done", done=done, plants=plants))
    elif plan is not None:
        fits = _fits(plan)
        waits = _waits(plan, page.until - 3 - cell_len(fits))
        yield Paragraph(words.say("forms.and").join(filter(None, [fits, waits])), rows=1)


def _waits(plan: DayPlan, room: int) -> str:
    """How many wait though they are due, and how many can; the first alone where room is short."""
    due = len(plan.due_waits)
    others = len(plan.left_out) - due
    if not due:
        return say("today.wait", count=others) if others else ""
    short = say("today.wait-due", count=due)
    both = say("today.wait-both", all=due + others, due=due) if others else short
    return both if cell_len(both) <= room else short


def _fits(plan: DayPlan) -> str:
    """How many of those to be looked at fit into the minutes."""
    fit_in, of_all = len(plan.plan), len(plan.plan) + len(plan.left_out)
    if fit_in < of_all:
        return say("today.fit", fit=fit_in, all=of_all)
    return say("today.fit-one") if of_all == 1 else say("today.fit-all", all=of_all)


def _most_that_fit(page: Page, say_with: Callable[[int], str], codes: int) -> str:
    """A sentence with as many codes as there is room for; without any where one is too long."""
    room = page.until - page.edge
    return next(
        (text for most in range(codes, 0, -1) if cell_len(text := say_with(most)) <= room),
        say_with(0),
    )


def _advice(view: TodayView, page: Page) -> Iterator[str]:
    """That a backup failed, why a first round is longer, what does not fit, what minutes let in."""
    day = view.day
    if view.backup_fault:
        yield view.backup_fault
    if day.looked_ahead_to is not None:
        yield say("today.clock-behind", newest=calendar_day(day.looked_ahead_to, day.on))
    plan, price, back = day.plan, day.price, day.back if day.under_way is None else None
    size = "" if page.is_wide else "-narrow"
    if back is not None:
        yield back.sentence if page.is_wide else back.short
    if day.under_way is None and plan is not None and plan.is_short:
        yield _most_that_fit(page, lambda most: holds_text(plan, most), len(plan.due_waits))
        yield _most_that_fit(page, lambda most: short_text(plan, most), len(plan.plan))
    # a figure that rests on a changed value is no longer what it usually is
    yield changed_text(day.choices.changed_values)
    if price is not None and plan is not None:
        yield say(
            f"today.price{size}",
            minutes=more_minutes_text(price.minutes),
            count=price.plants,
            waiting=len(plan.waiting),
        )
    if any(status.temperature_assumed for status in day.ordered):
        yield say(f"today.temperature-assumed{size}", usual=temperature(day.choices.usual_c))


def put_today_keys(page: Page, view: TodayView) -> None:
    """The keys, on the last two rows of a page."""
    if view.asks_minutes:
        typing_keys(page)
        return
    row, has_plants = page.height - 2, bool(view.day.here)
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
