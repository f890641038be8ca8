"""All plants in words: the marked one, then a line for each in the order and choice asked for."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.service.plan.ranking import PlantLine
from rounds.service.plant.before import Before
from rounds.service.plant.status_text import (
    clean_text,
    collection_misfit_text,
    risk_short,
    risk_text,
    where_text,
)
from rounds.service.round.view import Answer
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Page, Role, wrap
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.parts import MESSAGE_ROWS, ROOMY, SLOT, STANDING_MARK, hint, say
from rounds.tui.pages.risk import head_of, value_of, was_text, word_of
from rounds.tui.pages.told import Figures, ListLine, MadeLines, Paragraph, Said, Told
from rounds.words.forms import calendar_day, day_month

WHY_ROWS = 2
FIND = 59
"""The column of the key that finds: between two others, one of which is long."""
BY_DAY = ("streak", "last-look", "last-find")
"""What is told of each plant where there is room for all of it."""

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
    is_wide: bool
    is_typing: bool
    """a name or a code is asked for"""
    asks_new: str | None
    """what no plant is called, where it is asked whether to enter it"""
    before: Before | None = None
    """the risks at the end of the last round before today"""
    misfit: str | None = None
    """what assumed otherwise would make all finds together far likelier"""


def plants_told(view: PlantsView, frame: Page) -> Told:
    """All plants, or those chosen."""
    marked = view.lines[view.mark] if view.lines else None
    status = marked.status if marked else None
    which, order, count, both = _heading(view)
    is_roomy = frame.height >= ROOMY
    return Told(
        title=which,
        middle=order,
        narrow_title=both,
        clock=count,
        status=status,
        above=[_above(view, marked, frame)],
        # the plant, why it comes here, and its figures
        rows_above=2 + WHY_ROWS if is_roomy and marked else 0,
        figures=_figures(marked, frame) if marked else None,
        heads=_heads(view) if marked else {},
        lines=MadeLines(view.lines, lambda line: _line(line, view)),
        message=view.message,
        asked=_asked(view),
        asks=say("plants.ask-name") if view.is_typing else None,
        otherwise=_change_and_outlook(view, marked, frame) if marked and not view.message else (),
        most=MESSAGE_ROWS + 1 if is_roomy else MESSAGE_ROWS,
    )


def _heading(view: PlantsView) -> tuple[str, str, str, str]:
    """Which plants, in which order, how many, and the first two in one."""
    shown = len(view.lines)
    count = say("plants.one") if shown == 1 else say("plants.count", count=shown)
    if view.is_wide and shown < view.plants:
        count = say("plants.count-of", count=shown, all=view.plants)
    which, order = (
        say(f"plants.{of}{'' if view.is_wide else '-narrow'}.{code}")
        for of, code in (("which", view.which), ("order", view.order))
    )
    return which, order, count, say("plants.which-and-order", which=which, order=order)


def _above(view: PlantsView, marked: PlantLine | None, frame: Page) -> Paragraph:
    """Why the marked plant comes here; that there is none."""
    if marked is None:
        return Paragraph(say(f"plants.{f'none-{view.which}' if view.plants else 'none-yet'}"))
    if frame.is_wide or frame.height >= ROOMY:
        return Paragraph(_why(marked, frame.until - frame.edge), rows=WHY_ROWS)
    # how it stands is said in the row above
    reasons = _reasons(marked)
    said = reasons[1:] if marked.status.standing in STANDING_MARK else []
    return Paragraph((said or reasons)[0], rows=1)


def _figures(line: PlantLine, frame: Page) -> Figures:
    risk = risk_short(line.status)
    width = SLOT if frame.is_wide else frame.until - frame.edge - len(risk) - 1
    clean = clean_text(line.status, width)
    return Figures(clean, _streak(line, "streak-said"), risk_text(line.status), risk)


def _heads(view: PlantsView) -> dict[str, str]:
    return {
        "plant": say("plants.column-plant"),
        "told": head_of(_told_by(view.order)),
        **{what: head_of(what) for what in BY_DAY},
        "risk": say("plants.column-risk"),
        "was": words.say("origins.ranking.was"),
        "looked": say("plants.column-look"),
    }


def _told_by(order: str) -> str:
    """What the order goes by, where one thing is told of each plant."""
    return order if order in (*BY_DAY, "place") else "word"


def _line(line: PlantLine, view: PlantsView) -> ListLine:
    status = line.status
    looked: Role = "ink" if status.last_look_on else "quiet"
    cells: dict[str, str | Said] = {
        "plant": f"{status.code}  {status.name}",
        "told": _told_text(line, _told_by(view.order), view.on),
        **{what: _told_text(line, what, view.on) for what in BY_DAY},
        "risk": value_of(status.risk),
        "was": was_text(view.before, status.plant_id),
        "looked": (_days_ago(status.last_look_on, view.on), looked),
    }
    return ListLine(cells, (STANDING_MARK.get(status.standing, "").strip(), "apart"))


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


def _asked(view: PlantsView) -> Asked | None:
    """Whether a plant of a name nobody has is entered."""
    if view.asks_new is None:
        return None
    answers = Answer("yes", say("plants.new-yes")), Answer("no", say("plants.new-no"))
    return Asked(say("plants.ask-new", typed=view.asks_new), answers)


def _change_and_outlook(view: PlantsView, line: PlantLine, frame: Page) -> Sequence[str]:
    """Why the risk is another than it was, and how it goes on with a plant in quarantine.

    As much of it as can be said whole.
    """
    known = view.before.changes.get(line.status.plant_id) if view.before else None
    change = (known.text if frame.is_wide else known.brief) if known else ""
    width = frame.until - frame.edge
    rows = (MESSAGE_ROWS + 1 if frame.height >= ROOMY else 0) - (
        len(wrap(change, width)) if change else 0
    )
    fits = (o for o in _outlooks(line, view.on) if len(wrap(o, width)) <= rows)
    outlook = next(fits, "")
    rows -= len(wrap(outlook, width)) if outlook else 0
    misfit = collection_misfit_text(view.misfit) if view.misfit else ""
    return [change, outlook, misfit if len(wrap(misfit, width)) <= rows else ""]


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
        if status.is_known_alive:
            return [say("plants.alive", day=day), words.say("sight.plants.alive-brief", day=day)]
        brief = (words.say(f"sight.plants.{code}", day=day) for code in ("expected", "brief"))
        return [say("plants.expected", day=day), *brief]
    if not release.ready:
        return [words.say(f"sight.plants.{code}") for code in ("today", "today-brief")]
    return [say("plants.may-rejoin"), words.say("sight.plants.may-rejoin-brief")]


def put_plants_keys(page: Page, view: PlantsView) -> None:
    """The keys, on the last two rows."""
    by_name = KeyHint(f"0 {key_of('begin')}", say("keys.list.by-name"))
    opens = hint("begin", "list.open") if view.lines else None
    order = hint("order", "list.order") if view.lines else None
    which = hint("plants", "list.which") if view.plants else None
    row, leaves = page.height - 2, hint("leave", "list.leave")
    if not page.is_wide:
        page.put_keys(row, [leaves, order, which, hint("help")])
        page.put_keys(row + 1, [opens, None, by_name])
        return
    page.put_keys(row, [leaves, order, which, by_name, None, hint("help")])
    page.put_keys(row, [hint("find")], (FIND,))
    moves = [hint("next", "list.next"), hint("back", "list.back"), KeyHint("1-9", say("keys.line"))]
    page.put_keys(row + 1, [opens, None, *(moves if view.lines else [])])
