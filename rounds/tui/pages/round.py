"""A zone of a round: the plant, what is known, what was counted, and the keys."""

from dataclasses import replace
from math import ceil
from typing import Literal

from rich.cells import cell_len

from rounds import words
from rounds.service.round.view import Counts, PlantView, RoundView, ZoneView
from rounds.tui.keys import key_of
from rounds.tui.page import FIGURES, FIRST, FOURTH, MIDDLE, THIRD, KeyHint, Page, Role, wrap
from rounds.tui.pages.by_number import letters_are_far
from rounds.tui.pages.large import ROWS as LARGE_ROWS
from rounds.tui.pages.large import Large, put_large
from rounds.tui.pages.parts import (
    ADVICE_FROM,
    ROOMY,
    TALL,
    heading,
    hint,
    minds_within,
    plant_row,
    question_top,
    say,
    say_or_ask,
)
from rounds.tui.pages.picture import has_small_font, picture, zone_rows
from rounds.words.forms import calendar_day, minutes_seconds

ZONES_FROM = 6
LOW_FROM = 3
"""The row of the zone on a page with few rows; a question takes it."""
BELOW_PICTURE = 17
"""The first row of a wide page below everything that is shown of a zone."""
DRAWN_FROM = 24
"""A page with fewer rows has none for a picture eleven rows high."""
FIFTH = 106
"""The column of the fifth large number; text has four columns."""
LARGE_FROM, LARGE_FROM_NARROW = 19, 18
NARROW_LARGE = (3, 22)
TELLING = ("how", "alive", "remains", "neither", "source")
"""How a doubt can be told: common practice, no source, and said so."""
STATE_COLUMN = 41
COUNT_END = 70
BAR, BAR_NARROW, BAR_WITH_PEST = COUNT_END - THIRD, 20, 12
"""Columns of the bar of the time spent at a zone."""
SPENT, TO_SPEND = "\u2501", "\u2500"
WAIT_FOR_ZONE = ("next", "rest", "hidden", "back", "plants", "not-now")
"""Keys that do nothing until it is said at which zone something was seen."""
KINDS = ("removed", "killed", "left", "doubtful")


def round_page(
    view: RoundView, width: int, height: int, *, saved: bool = True, note: str = ""
) -> Page:
    """The round at a zone.

    Not `saved` where the message says why nothing was written; `note` says why a key did nothing.
    """
    page = Page(width, height)
    # why nothing was written comes before what cannot be answered now
    view = view if saved else replace(view, question=None)
    if view.plant is None or view.zone is None:
        return page
    heading(
        page,
        say("round.title", day=calendar_day(view.day, view.day)),
        say("round.plant-of", number=view.plant.number, plants=view.plants),
        clock(view),
    )
    plant_row(
        page,
        view.plant.code,
        view.plant.name,
        view.plant.where,
        view.plant.standing,
        view.plant.standing_text,
    )
    # what keeps a key from doing anything stands beside the question, never in its place
    reminder = note if view.question is not None else ""
    said = note or view.message
    if page.is_wide:
        has_room = question_top(page, view.question) - _rows(page, reminder) >= BELOW_PICTURE
        _wide_body(page, view, view.plant, view.zone, "" if has_room else reminder)
        free_from, said = BELOW_PICTURE, said if has_room or not reminder else ""
    else:
        free_from = _narrow_body(page, view, view.plant, view.zone, _rows(page, reminder))
    say_or_ask(page, said, view.question, free_from, must=bool(reminder))
    if view.question is not None and view.question.code == "which-zone":
        # none of them goes on before it is answered
        page.answering |= {key_of(role) for role in WAIT_FOR_ZONE}
    _large(page, view, view.zone)
    _keys(page)
    return page


def _rows(page: Page, text: str) -> int:
    """The rows a text takes that stands above a question."""
    return len(wrap(text, page.until - page.edge)) if text else 0


def clock(view: RoundView) -> str:
    """Seconds spent, and minutes there are, in words: 7:10 of 10:00 min."""
    return say(
        "round.clock",
        elapsed=minutes_seconds(view.elapsed_seconds),
        planned=minutes_seconds(view.planned_seconds),
    )


def _wide_body(
    page: Page, view: RoundView, plant: PlantView, zone: ZoneView, reminder: str
) -> None:
    rows = page.put_wrapped(3, FIRST, plant.why, until=page.until)
    numbers = 3 + rows
    figures: Role = "quiet" if plant.is_rough else "ink"
    page.put(numbers, FIRST, plant.clean_text, figures, until=MIDDLE - 1)
    page.put(numbers, MIDDLE, plant.streak_text, until=THIRD - 1)
    page.put(numbers, THIRD, plant.risk_text, figures, until=page.width)
    # a question may begin some rows above the message
    end = question_top(page, view.question)
    drawn = page.height >= DRAWN_FROM
    if drawn:
        _picture(page, plant, zone, end)
    rows_of = zone_rows(plant.form) if drawn else {}
    for offset, line in enumerate(plant.zones):
        row = ZONES_FROM + rows_of.get(line.zone, offset)
        if row >= end:
            continue
        if line.is_here:
            page.put(row, MIDDLE - 2, ">", "here")
        page.put(row, MIDDLE, line.name, "here" if line.is_here else "ink", until=STATE_COLUMN)
        page.put(row, STATE_COLUMN, line.state, until=THIRD - 1)
    _zone_column(page, view, zone, end, reminder)


def _picture(page: Page, plant: PlantView, zone: ZoneView, end: int) -> None:
    """The plant as its form is drawn, the zone at hand in its role."""
    for row, cells in enumerate(picture(plant.form, zone.zone, has_small_font()), ZONES_FROM):
        for cell in cells if row < end else ():
            page.put(row, FIRST + cell.column, cell.text, cell.role)


def _zone_column(page: Page, view: RoundView, zone: ZoneView, end: int, reminder: str) -> None:
    """Counts, and below them advice; a reminder that has no row of its own stands in its place."""
    row = ZONES_FROM
    page.put(row, THIRD, _here(zone), "quiet" if _is_listed(zone) else "here")
    page.put(row + 1, THIRD, _seconds(zone), "strong")
    page.put(row + 2, THIRD, *_bar(zone, BAR))
    for offset, kind in enumerate(KINDS):
        _count_row(page, row + 3 + offset, THIRD, COUNT_END, kind, zone.counts)
    width = page.until - THIRD
    if zone.pest:
        page.put(row + 7, THIRD, say("round.of-pest", pest=zone.pest), "find", until=page.until)
        row += 1
    if minds := _minds(view, width, min(end, BELOW_PICTURE) - row - 7):
        for offset, text in enumerate(minds):
            page.put(row + 7 + offset, THIRD, text)
        return
    lines = wrap(reminder, width) if reminder else advice_lines(view, zone, width)
    # what there is no room for is left out whole
    top = min(row + 8, max(row + 7, end - len(lines)))
    if view.pending:
        page.put(row + 7, THIRD, say("round.pending", count=view.pending), "ask")
        top = row + 8
    elif top > row + 7 and view.plant:
        page.put(row + 7, THIRD, view.plant.left_text, "quiet", until=page.width)
    for offset, text in enumerate(lines if top + len(lines) <= end else []):
        page.put(top + offset, THIRD, text, "ink" if reminder else "quiet")


def advice_lines(view: RoundView, zone: ZoneView, width: int) -> list[str]:
    """Where to look; while a doubt is asked about, how it can be told what it is."""
    if _asks_of_doubt(view):
        return [say(f"round.tell-{what}") for what in TELLING]
    return wrap(zone.advice, width)


def _minds(view: RoundView, width: int, rows: int) -> list[str]:
    """What to mind at what is asked about: as much, whole and in order, as has room."""
    return minds_within(view.question.minds if view.question else (), width, rows)


def _asks_of_doubt(view: RoundView) -> bool:
    return view.question is not None and view.question.code == "doubt"


def _narrow_body(page: Page, view: RoundView, plant: PlantView, zone: ZoneView, kept: int) -> int:
    """Counts come before advice; on a low screen the advice goes first, then the streak.

    `kept` rows stay free above a question. Returns the row after what is put.
    """
    end = question_top(page, view.question) - kept
    if page.height < ROOMY:
        _low_body(page, view, zone)
        return max(LOW_FROM, end)
    roomy = page.height >= ADVICE_FROM
    figures: Role = "quiet" if plant.is_rough else "ink"
    page.put(3, 1, plant.clean_text, figures, until=page.width - 1)
    if cell_len(plant.clean_text) + cell_len(plant.risk_text) < page.width - 2:
        page.put_right(3, page.width - 1, plant.risk_text, figures)
    if roomy:
        page.put(4, 1, plant.streak_text, until=page.width - 1)
        room = page.width - 3 - cell_len(plant.streak_text)
        told = (plant.left_text, plant.left_brief)
        few = next((text for text in told if cell_len(text) <= room), "")
        page.put_right(4, page.width - 1, few, "quiet")
    row = 6 if roomy else 4
    page.put(row, 1, f"> {zone.name}", "here")
    page.put_right(row, page.width - 1, _number(zone))
    page.put(row + 1, 3, _seconds(zone), "strong")
    if roomy:
        page.put(row + 2, 3, *_bar(zone, BAR_WITH_PEST if zone.pest else BAR_NARROW))
    _put_pending(page, row + 1, view, zone)
    if roomy and zone.pest and view.pending:
        page.put_right(row + 2, page.width - 1, zone.pest, "find")
    row += 3 if roomy else 2
    if roomy and _asks_of_doubt(view) and not any(_counted(zone.counts)):
        return _put_whole(page, row, end, wrap(words.say("plant.doubts.aid"), page.width - 2))
    shown = KINDS[: max(0, end - row)]
    for offset, kind in enumerate(shown):
        _count_row(page, row + offset, 3, 23, kind, zone.counts)
    row += len(shown)
    # on a page that answers presses above a question, a row stays free for that
    if minds := _minds(view, page.width - 2, end - row - (page.height >= TALL)):
        for offset, text in enumerate(minds):
            page.put(row + offset, 1, text)
        return row + len(minds)
    if roomy:
        advice = wrap(zone.advice_narrow, page.width - 2)
        # what needs a row more takes the free one above
        first = row if len(advice) > 2 and view.question is None else row + 1
        row = _put_whole(page, first, end, advice)
    return row


def _put_whole(page: Page, row: int, end: int, lines: list[str]) -> int:
    """Quiet text above the row `end`, whole or not at all; the row after it."""
    if row + len(lines) > end:
        return row
    for offset, text in enumerate(lines):
        page.put(row + offset, 1, text, "quiet")
    return row + len(lines)


def _low_body(page: Page, view: RoundView, zone: ZoneView) -> None:
    """Zone and counts on three rows, which a question takes for itself."""
    if view.question is not None:
        rows = question_top(page, view.question) - LOW_FROM
        for offset, text in enumerate(_minds(view, page.width - 2, rows)):
            page.put(LOW_FROM + offset, 1, text)
        return
    page.put(LOW_FROM, 1, f"> {zone.name}", "here")
    if view.pending or zone.pest:
        _put_pending(page, LOW_FROM, view, zone)
    else:
        page.put_right(LOW_FROM, page.width - 1, _number(zone))
    page.put(4, 3, _seconds(zone, "seconds-low"))
    places = ((5, 1), (5, 12), (5, 22), (4, 22))
    for (row, column), kind, count in zip(places, KINDS, _counted(zone.counts), strict=True):
        said = f"{words.say(f'round.kinds.{kind}')} {count}"
        page.put(row, column, said, _role_of(kind) if count else "ink")


def _put_pending(page: Page, row: int, view: RoundView, zone: ZoneView) -> None:
    """The figures that wait, right on a narrow row; the pest counted, where it is not the first."""
    if view.pending and zone.pest and page.height < ADVICE_FROM:
        page.put_right(row, page.width - 1, f"{view.pending} {zone.pest}", "ask")
    elif view.pending:
        page.put_right(row, page.width - 1, say("round.pending", count=view.pending), "ask")
    elif zone.pest:
        page.put_right(row, page.width - 1, zone.pest, "find")


def _large(page: Page, view: RoundView, zone: ZoneView) -> None:
    """Seconds and counts once more, large, where rows are spare; figures that wait come first."""
    row = LARGE_FROM if page.is_wide else LARGE_FROM_NARROW
    # a row stays free above what is said, for the answer to a press while a question waits
    if question_top(page, view.question) - 2 < row + LARGE_ROWS:
        return
    first = Large(words.say("sight.large.time"), minutes_seconds(zone.seconds), "here")
    if view.pending:
        first = Large(words.say("sight.large.pending"), view.pending, "ask")
    columns: tuple[int, ...] = (FIRST, MIDDLE, THIRD)
    if page.is_spread:
        columns = (FIRST, MIDDLE, THIRD, FOURTH, FIFTH)
    # a nought says nothing from afar
    kinds = [kind for kind in KINDS if getattr(zone.counts, kind)]
    put_large(
        page,
        row,
        columns if page.is_wide else NARROW_LARGE,
        [first, *(_large_count(kind, zone.counts) for kind in kinds)],
    )


def _large_count(kind: str, counts: Counts) -> Large:
    count = getattr(counts, kind)
    return Large(words.say(f"round.kinds.{kind}"), str(count), _role_of(kind))


def _counted(counts: Counts) -> list[int]:
    return [getattr(counts, kind) for kind in KINDS]


def _role_of(kind: str) -> Role:
    return "doubt" if kind == "doubtful" else "find"


def _count_row(page: Page, row: int, column: int, end: int, kind: str, counts: Counts) -> None:
    """The key that counts, what it counts, and how many there are."""
    count = getattr(counts, kind)
    page.put(row, column, key_of(kind), "strong")
    page.put(row, column + 2, words.say(f"round.kinds.{kind}"))
    page.put_right(row, end, str(count), _role_of(kind) if count else "strong")


def _is_listed(zone: ZoneView) -> bool:
    """Whether the list of zones marks it by name."""
    return bool(zone.zone) and not zone.is_whole_plant


def _bar(zone: ZoneView, width: int) -> tuple[str, Role]:
    """How much of the planned time is spent, as a thin bar."""
    share = min(1.0, zone.seconds / zone.planned_seconds) if zone.planned_seconds else 1.0
    spent = int(width * share)
    return SPENT * spent + TO_SPEND * (width - spent), "quiet"


def _here(zone: ZoneView) -> str:
    if zone.is_whole_plant:
        return words.say("bench.whole-zones", zone=zone.name, zones=zone.of)
    if not zone.zone:
        return zone.name
    return _number(zone)


def _number(zone: ZoneView) -> str:
    if not zone.zone:
        return words.say("bench.zones", zones=zone.of)
    return say("round.here", number=zone.number, of=zone.of)


def _seconds(zone: ZoneView, code: Literal["seconds", "seconds-low"] = "seconds") -> str:
    return say(
        f"round.{code}",
        seconds=minutes_seconds(zone.seconds),
        planned=minutes_seconds(ceil(zone.planned_seconds)),
    )


def _keys(page: Page) -> None:
    """Grouped: what counts, what stage it was, what moves on, and the rest."""
    row = page.height - 4
    if not page.is_wide:
        _narrow_keys(page, row)
        return
    figures = KeyHint(FIGURES, say("keys.figures"))
    page.put_keys(row, [_most_used("removed"), *map(hint, ("killed", "left", "doubtful", "signs"))])
    stages = (*map(hint, ("adult", "young", "eggs")), figures, None, hint("pest"))
    page.put_keys(row + 1, stages)
    page.put_keys(row + 2, [_most_used("next")])
    page.put_keys(row + 2, [hint("rest"), hint("hidden"), hint("back")], (41, 54, 67))
    page.put_keys(
        row + 3,
        [hint("take-back"), _more() or hint("not-now", "put-off"), hint("plants"), hint("pause"),
         hint("leave", "stop"), hint("help")],
    )  # fmt: skip


def _narrow_keys(page: Page, row: int) -> None:
    """What is pressed most; one hint points to the rest."""
    figures = KeyHint(FIGURES, say("keys.figures-narrow"))
    counts = [_most_used("removed"), *map(hint, ("killed", "left")), hint("doubtful")]
    page.put_keys(row, counts, (1, 11, 20, 32))
    page.put_keys(row + 1, [*map(hint, ("adult", "young", "eggs")), figures], (1, 11, 20, 28))
    page.put_keys(row + 2, [_most_used("next", "next-narrow"), hint("rest"), hint("take-back")],
                  (1, 18, 33))  # fmt: skip
    rest = [hint("leave", "stop"), hint("back"), hint("help", "help-narrow")]
    page.put_keys(row + 3, [rest[0], _more() or rest[1], rest[2]], (1, 14, 27))


def _most_used(role: str, text: str | None = None) -> KeyHint:
    return replace(hint(role, text), role="strong")


def _more() -> KeyHint | None:
    """The hint, on a pad only, that enter reaches the other keys."""
    return KeyHint(key_of("begin"), words.say("pad.more")) if letters_are_far() else None
