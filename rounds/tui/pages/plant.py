"""The page of one plant in words: how it stands, where its zones are, and what can be done."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from rounds import words
from rounds.service.growth.eggs import brood_text
from rounds.service.growth.rising import growth_text
from rounds.service.logbook.changed_text import changed_text
from rounds.service.plant.detail import PlantDetail
from rounds.service.plant.status import PlantStatus, is_alarmed
from rounds.service.plant.status_text import (
    band_line,
    clean_text,
    holds_line,
    misfit_line,
    moved_line,
    risk_parts,
    risk_short,
    risk_text,
    sooner_line,
    streak_text,
)
from rounds.service.plant.zones import ZoneSeen
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Page, wrap
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.bars import left_bar, most_left
from rounds.tui.pages.parts import SLOT, hint
from rounds.tui.pages.picture import HEIGHT as PICTURE_HEIGHT
from rounds.tui.pages.picture import has_small_font, picture, zone_rows
from rounds.tui.pages.told import Figures, Fitting, ListLine, Paragraph, Said, Told
from rounds.tui.pages.why import held_or_calculating
from rounds.words.forms import brief_day, calendar_day, day_month, looks_text, number_in_column

BAR_AT, BAR_COLUMNS, HOLDS_END, SEEN = 13, 2, 18, 20
"""Columns of the list of zones: the bar of what is left, its figure, and when it was seen."""
GONE = ("history", "not-gone")
HERE = ("move", "repot", "divide", "edit", "gone", "look", "courses")
FRAME_ROWS = 6
"""rows that are neither above the drawing, nor its own, nor of the foot"""
MOST_EXTRA = 3
"""rows of each thing that is known besides"""


@dataclass(frozen=True, slots=True)
class PlantPageView:
    """What the page of a plant knows."""

    detail: PlantDetail
    mark: int
    message: str
    asked: Asked | None
    in_columns: bool
    """why its figures are so stands in columns, where there is much room"""
    has_bars: bool
    """what the risk is made of is drawn"""


def lines_of(status: PlantStatus) -> tuple[str, ...]:
    """What its numbered lines open, by code."""
    found = ("exposure",) if status.last_find_on is not None else ()
    if status.standing == "gone":
        return (*GONE, *found)
    turn = "end-quarantine" if status.standing == "quarantine" else "put-apart"
    # it is under the mark at first where its time has come
    is_due = status.release.ready if status.release else status.set_apart_since is not None
    return (*((turn, "history") if is_due else ("history", turn)), *HERE, *found)


def line_text(code: str, status: PlantStatus, room: int | None = None) -> str:
    """A line in words; of courses the step that is due next, where one is under way.

    Its month is in few letters where that needs more columns than `room`.
    """
    if code == "courses" and status.courses:
        due_on = status.courses[0].due_on
        days = (day_month(due_on, status.on), brief_day(due_on, status.on))
        told = [words.say("plant.lines.courses-due", day=day) for day in days]
        return told[0] if room is None or cell_len(told[0]) <= room else told[1]
    return words.say(f"plant.lines.{code}", looks=looks_text(status.looks))


def _line(code: str, status: PlantStatus) -> ListLine:
    return ListLine({"line": Fitting(lambda room: line_text(code, status, room))})


def plant_told(view: PlantPageView, frame: Page) -> Told:
    """What is known of a plant, and what can be done with it."""
    detail, status = view.detail, view.detail.status
    width, is_wide = frame.until - frame.edge, frame.is_wide
    sentence = Paragraph(sentence_within(detail, width, is_wide=is_wide), rows=most_rows(is_wide))
    above = 2 + min(sentence.rows, len(wrap(sentence.text, width)))
    rows = frame.height - FRAME_ROWS - above - PICTURE_HEIGHT if is_wide else 2
    is_said = bool(view.message or view.asked)
    return Told(
        title=words.say("plant.title"),
        middle=_form(status),
        narrow_title=words.say("plant.title"),
        clock=calendar_day(detail.on, detail.on),
        status=status,
        above=[sentence, *_brood_above(detail, is_wide=is_wide)],
        figures=None if detail.is_gone else _figures(status, width, is_wide=is_wide),
        lines=[_line(code, status) for code in lines_of(status)],
        message=view.message,
        asked=view.asked,
        otherwise=() if is_said else list(_within(rows, width, _foot(view, width, is_wide))),
        most=max(3, rows),
        second=None if detail.newest is None else hint("take-back"),
        third=_put_apart(detail),
        fourth=KeyHint(key_of("coming"), words.say("charts.of-plant")),
    )


def _brood_above(detail: PlantDetail, *, is_wide: bool) -> list[Paragraph]:
    """When its eggs hatch, where a page is too narrow to say it at the foot."""
    text = (
        "" if is_wide or detail.is_gone else brood_text(detail.status.brood, detail.on, brief=True)
    )
    return [Paragraph(text, "quiet", rows=3, may_go=True)] if text else []


def most_rows(is_wide: bool) -> int:
    """Most rows of the sentence that says how a plant stands."""
    return 2 if is_wide else 4


def sentence_within(detail: PlantDetail, width: int, *, is_wide: bool) -> str:
    """As much of how it stands as can be said whole; help says all of it."""
    joint, most = words.say("forms.and"), most_rows(is_wide)
    told = detail.sentence.split(joint)
    while len(told) > 1 and len(wrap(joint.join(told), width)) > most:
        told = told[:-1]
    return joint.join(told)


def _figures(status: PlantStatus, width: int, *, is_wide: bool) -> Figures:
    risk = risk_short(status)
    clean = clean_text(status, SLOT if is_wide else width - len(risk) - 1)
    return Figures(clean, streak_text(status), risk_text(status), risk)


def _form(status: PlantStatus) -> str:
    form = words.say(f"desk_forms.growth-forms.{status.form}")
    size = words.say(f"desk_forms.sizes.{status.size}")
    return words.say("plant.form", form=form, size=size)


def _newest(detail: PlantDetail) -> str:
    return "" if detail.newest is None else words.say("plant.newest", what=detail.newest.text)


def _foot(view: PlantPageView, width: int, is_wide: bool) -> Sequence[str]:
    """The newest entry, then why its figures are so, what is of most use first."""
    if not is_wide or view.detail.is_gone:
        return [_newest(view.detail)]
    return [_newest(view.detail), *why_told(view, width), view.detail.own_brief]


def why_told(view: PlantPageView, width: int, *, with_brood: bool = True) -> Sequence[str]:
    """Why its figures are so, a line each, what is of most use first."""
    status = view.detail.status
    if view.detail.is_gone:
        return ()
    in_columns = view.in_columns
    return [
        changed_text(status.changed_values),
        *coming_on(view.detail, with_brood=with_brood),
        view.detail.heat_text,
        moved_line(status),
        "" if in_columns else held_or_calculating(status, width),
        "" if in_columns else sooner_line(status, width),
        "" if in_columns else holds_line(status),
        misfit_line(status),
        band_line(status, width),
        "" if view.has_bars else risk_parts(status.risk),
        status.why.removal if status.why else "",
    ]


def coming_on(detail: PlantDetail, *, with_brood: bool = True) -> list[str]:
    """Whether its finds rise or fall, and when its eggs hatch; what there is to say of it."""
    if detail.is_gone:
        return []
    # the page begins with an alarm
    growth = None if is_alarmed(detail.status) else detail.status.growth
    brood = brood_text(detail.status.brood, detail.on) if with_brood else ""
    told = (growth_text(growth, detail.on), brood)
    return [text for text in told if text]


def _within(rows: int, width: int, texts: Sequence[str]) -> Iterator[str]:
    """Those that can be said whole on so many rows; the first one always."""
    used = 0
    for number, text in enumerate(filter(None, texts)):
        used += len(wrap(text, width))
        if used <= rows or not number:
            yield text
        else:
            used -= len(wrap(text, width))


def put_picture(page: Page, detail: PlantDetail) -> None:
    """The plant drawn."""
    for row, cells in enumerate(picture(detail.status.form, small_font=has_small_font()), 1):
        for cell in cells:
            page.put(row, cell.column, cell.text, cell.role)


def put_zones(page: Page, detail: PlantDetail) -> None:
    """Each zone at the height where it is on the plant, under the heads of the columns."""
    rows, most = zone_rows(detail.status.form), most_left(detail.zones)
    if not detail.is_gone:
        page.put(0, 0, words.say("plant.zones.zone"), "quiet")
        page.put_right(0, HOLDS_END, words.say("plant.zones.left"), "quiet")
        page.put(0, SEEN, words.say("plant.zones.seen"), "quiet")
    for zone in detail.zones:
        row = 1 + rows[zone.zone]
        page.put(row, 0, words.say(f"zones.{zone.zone}.name"), until=BAR_AT - 1)
        if not detail.is_gone:
            left = _left_in_column(zone)
            # a number that needs the column has it
            if cell_len(left) <= HOLDS_END - BAR_AT - BAR_COLUMNS:
                page.put(row, BAR_AT, left_bar(zone.probably_left, most, BAR_COLUMNS), "find")
            page.put_right(row, HOLDS_END, left)
        page.put(row, SEEN, seen_text(zone, detail), "quiet", until=page.width)


def _left_in_column(zone: ZoneSeen) -> str:
    if zone.probably_left is None:
        return words.say("origins.ranking.working")
    return number_in_column(zone.probably_left)


def behind_text(zone: ZoneSeen, detail: PlantDetail) -> str:
    """When a zone was seen and what may be left, for the help of a page without room for zones."""
    seen = seen_text(zone, detail)
    if detail.is_gone:
        return seen
    if zone.probably_left is None:
        return seen
    number = number_in_column(zone.probably_left)
    few = words.say("plant.zones.of-left", number=number)
    return words.say("plant.zones.left-and-seen", left=few, seen=seen)


def seen_text(zone: ZoneSeen, detail: PlantDetail, *, is_brief: bool = True) -> str:
    """When a zone was last looked at, in few characters; briefly under a head that says of what."""
    if zone.last_look_on is None:
        return words.say("round.state.never")
    days = (detail.on - zone.last_look_on).days
    if not days:
        return words.say("forms.today")
    return words.say("plant.zones.days" if is_brief else "plant.doubts.ago", days=days)


def extra_told(detail: PlantDetail, *, is_wide: bool) -> list[Said]:
    """What else is known: beside whom it stands, its botanical name, the note, what one sees."""
    touches = ", ".join(detail.touches)
    # on a wide page it is said at the foot; of a plant that is gone nobody looks any more
    own = "" if detail.is_gone or is_wide else detail.own_text
    texts = [
        detail.beside,
        detail.status.botanical_name or "",
        words.say("plant.record.touching", value=touches) if touches else "",
        detail.note or "",
        own,
    ]
    return [(text, "ink") for text in texts if text]


def put_lately(page: Page, detail: PlantDetail) -> None:
    """The newest of the history, as much of it as a high page has room for."""
    if not detail.history:
        return
    page.put(0, 2, words.say("plant.lately"), "quiet")
    for row, line in enumerate(detail.history[: page.height - 1], 1):
        day = calendar_day(line.day, detail.on)
        page.put(row, 4, f"{day} {line.time}".strip(), "quiet", until=27)
        page.put(row, 28, line.text, until=page.width - 1)


def _put_apart(detail: PlantDetail) -> KeyHint | None:
    if detail.is_gone or detail.status.standing == "quarantine":
        return None
    return KeyHint(key_of("put-apart"), words.say("plant.keys.put-apart"))
