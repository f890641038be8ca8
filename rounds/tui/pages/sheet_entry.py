"""Looks from a sheet: a plant zone by zone, what is typed for each, and what may be typed."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from rounds import words
from rounds.service.round.view import Answer, Question
from rounds.tui.forms.fields import Header
from rounds.tui.forms.sheet_line import CODE_MARK
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, MIDDLE, THIRD, KeyHint, Page
from rounds.tui.pages.asked import sides
from rounds.tui.pages.parts import (
    ROOMY,
    ask,
    desk_row,
    first_shown,
    heading,
    plant_row,
    rows_said,
    takes_place,
)

PLANNED_END, PLANNED_END_NARROW, VALUE_NARROW = 25, 21, 23
NARROW_COLUMNS = (1, 14, 23, 33)
COUNTS_NARROW = (1, 22, 29)


@dataclass(frozen=True, slots=True)
class EntryLine:
    """A line: what it asks, the time planned, and what was entered, in words and in letters."""

    label: str
    planned: str
    entered: str
    short: str


@dataclass(frozen=True, slots=True)
class EntryView:
    """What the page knows. `mark` is the line typed into; without one nothing is typed."""

    day: str
    who: str
    plant: Header | None
    sentence: str
    lines: tuple[EntryLine, ...]
    mark: int | None
    typed: str
    message: str
    note: str
    """why a key did nothing"""
    hint: str
    question: Question | None
    asks: Literal["zone", "whole", "where", "more", "other"]
    """a zone; a plant looked at in one go, the zone of what was found on it, and what else"""
    takes_leave: bool


def entry_page(view: EntryView, width: int, height: int) -> Page:
    """The page of a sheet that is typed in."""
    page = Page(width, height)
    heading(page, words.say("sheet_entry.title"), view.who if page.is_wide else "", view.day)
    edge, until = sides(page)
    roomy = page.height >= ROOMY
    if view.plant is not None:
        plant = view.plant
        plant_row(page, plant.code, plant.name, plant.where, plant.standing, plant.standing_text)
    row = 3 if view.plant is not None else 2
    if roomy or view.plant is None:
        row += page.put_wrapped(row, edge, view.sentence, until=until)
    end = _bottom(page, view)
    _lines(page, view, row + (1 if roomy else 0), end - (1 if roomy else 0))
    _keys(page, view)
    return page


def _lines(page: Page, view: EntryView, top: int, end: int) -> None:
    edge, until = sides(page)
    value, planned_end = MIDDLE, PLANNED_END
    if not page.is_wide:
        value, planned_end = VALUE_NARROW, PLANNED_END_NARROW
    rows = max(1, end - top)
    mark = len(view.lines) - 1 if view.mark is None else view.mark
    first = first_shown(max(0, mark), len(view.lines), rows)
    for number, line in enumerate(view.lines[first : first + rows], first):
        row = top + number - first
        entered = line.entered if page.is_wide else line.short
        is_here = number == view.mark
        if is_here:
            page.put(row, edge, ">", "here")
        page.put(row, edge + 2, line.label, until=planned_end - len(line.planned) - 1)
        page.put_right(row, planned_end, line.planned, "quiet")
        if is_here:
            page.put_typed(row, value, view.typed, until=until, kept=entered)
        else:
            page.put(row, value, entered, until=until)


def _bottom(page: Page, view: EntryView) -> int:
    """The question, what just happened, or what the letters mean; the row it begins on."""
    edge, until = sides(page)
    # a narrow page has one row of keys more for a zone
    row = desk_row(page) - int(
        view.asks in ("zone", "whole") and not page.is_wide and page.height >= ROOMY
    )
    if view.question is not None and not takes_place(page, view.note):
        answers = [(key_of(answer.role), answer.text) for answer in view.question.answers]
        return ask(page, row, view.question.text, answers)
    text = view.message or view.hint
    rows = min(2, rows_said(page))
    page.put_wrapped(row, edge, text, "ink" if view.message else "quiet", until=until, rows=rows)
    return row


def question_of(code: str, text: str, roles: Sequence[str]) -> Question:
    """A question of this page with its answers."""
    answers = tuple(
        Answer(
            role, words.say(f"sheet_entry.answers.{role if role == 'leave' else f'{code}-{role}'}")
        )
        for role in roles
    )
    return Question(code, text, answers)


def _keys(page: Page, view: EntryView) -> None:
    if view.question is not None:
        out = KeyHint("ctrl+q", words.say("sheet_entry.keys.off"))
        page.put_keys(page.height - 1, [out], (sides(page)[0],))
    elif view.asks in ("zone", "whole"):
        _zone_keys(page, view)
    elif view.asks in ("where", "more"):
        _found_keys(page, view)
    else:
        take = KeyHint(key_of("begin"), words.say("sheet_entry.keys.take"))
        leave = _typed(page, "leave") if view.takes_leave else None
        if page.is_wide:
            page.put_keys(page.height - 1, [take, leave, _off()], _columns(page))
            return
        page.put_keys(page.height - 2, [_off()], _columns(page))
        page.put_keys(page.height - 1, [take, leave], _columns(page))


def _zone_keys(page: Page, view: EntryView) -> None:
    """What may be typed for a zone; where rows are few only what cannot be done without."""
    planned = view.lines[view.mark].planned if view.mark is not None else ""
    narrow = "" if page.is_wide else "-narrow"
    nothing = KeyHint(key_of("begin"), words.say("sheet_entry.keys.enter", time=planned))
    # nothing is taken for granted where the plan has no seconds
    enter = nothing if planned else None
    seconds = KeyHint("40", words.say(f"sheet_entry.keys.seconds{narrow}"))
    example = f"2{key_of('removed')} 1{key_of('doubtful')}"
    counts = KeyHint(example, words.say("sheet_entry.keys.counts"))
    skipped = KeyHint("-", words.say(f"sheet_entry.keys.skipped{narrow}"))
    by_zone = KeyHint(words.say("sheet_entry.mode.zones"), words.say("sheet_entry.keys.by-zone"))
    rest = _typed(page, "rest") if view.asks == "zone" else by_zone
    one_hidden = KeyHint(key_of("hidden"), words.say(f"sheet_entry.keys.one-hidden{narrow}"))
    hidden = one_hidden if view.asks == "whole" else _typed(page, "hidden")
    back, later, leave = _typed(page, "take-back"), _typed(page, "later"), _typed(page, "leave")
    columns, bottom = _columns(page), page.height - 1
    code = KeyHint("G02", words.say("sheet_entry.keys.code"))
    if page.is_wide:
        any_code = KeyHint(f"{CODE_MARK}40", words.say("sheet_entry.keys.any-code"))
        page.put_keys(bottom - 3, [_off(), code, any_code], columns)
        page.put_keys(bottom - 2, [enter, seconds, counts], columns)
        page.put_keys(bottom - 1, [rest, hidden, skipped], columns)
        page.put_keys(bottom, [back, later, leave], columns)
        return
    if page.height >= ROOMY:
        page.put_keys(bottom - 4, [_off(), code], columns)
        page.put_keys(bottom - 3, [enter, seconds], columns)
        any_code = KeyHint(f"{CODE_MARK}G02", words.say("sheet_entry.keys.any-code-narrow"))
        page.put_keys(bottom - 2, [counts, skipped, any_code], COUNTS_NARROW)
    page.put_keys(bottom - 1, [rest, hidden], columns)
    page.put_keys(bottom, [back, later, leave, _off_beside(page)], NARROW_COLUMNS)


def _found_keys(page: Page, view: EntryView) -> None:
    """What may be typed of a find on a plant looked at in one go."""
    if view.asks == "where":
        hints = [KeyHint("1-9", words.say("sheet_entry.keys.zone"))]
    else:
        example = f"2{key_of('removed')} 1{key_of('doubtful')}"
        hints = [
            KeyHint(key_of("begin"), words.say("sheet_entry.keys.no-more")),
            KeyHint(example, words.say("sheet_entry.keys.counts")),
            KeyHint(key_of("hidden"), words.say("sheet_entry.keys.one-hidden")),
        ]
    back, leave, bottom = _typed(page, "take-back"), _typed(page, "leave"), page.height - 1
    page.put_keys(bottom - 1, hints[: 3 if page.is_wide else 2], _columns(page))
    if page.is_wide:
        page.put_keys(bottom, [back, _off(), leave], _columns(page))
    else:
        if page.height >= ROOMY:
            page.put_keys(bottom - 2, [_off()], NARROW_COLUMNS)
        page.put_keys(bottom, [back, None, leave, _off_beside(page)], NARROW_COLUMNS)


def _off() -> KeyHint:
    """The hint for the key that ends the program."""
    return KeyHint("ctrl+q", words.say("sheet_entry.keys.off"))


def _off_beside(page: Page) -> KeyHint | None:
    """That hint, to stand beside other keys where a narrow page has no row for it."""
    return None if page.height >= ROOMY else KeyHint("ctrl+q", "")


def _typed(page: Page, code: str) -> KeyHint:
    """A letter that is typed and taken by enter."""
    role = "not-now" if code == "later" else code
    narrow = "" if page.is_wide else "-narrow"
    key = key_of(role)
    return KeyHint(key, words.say(f"sheet_entry.keys.{code}{narrow}"), (key, key_of("begin")))


def _columns(page: Page) -> tuple[int, ...]:
    return (FIRST, MIDDLE, THIRD) if page.is_wide else (1, 22, 33)
