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
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.parts import MESSAGE_ROWS, ROOMY
from rounds.tui.pages.told import ListLine, Paragraph, Told

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


def entry_told(view: EntryView, *, is_wide: bool, is_roomy: bool) -> Told:
    """What is said of a sheet that is typed in."""
    question = view.question
    asked = Asked(question.text, question.answers) if question else None
    return Told(
        title=words.say("sheet_entry.title"),
        middle=view.who,
        clock=view.day,
        plant=view.plant,
        above=[Paragraph(view.sentence, rows=2)] if is_roomy or view.plant is None else (),
        lines=[_line(view, number, is_wide) for number in range(len(view.lines))],
        message=view.note if asked else view.message,
        asked=asked,
        otherwise=() if view.message else (view.hint,),
        most=MESSAGE_ROWS,
    )


def _line(view: EntryView, number: int, is_wide: bool) -> ListLine:
    """What it asks, and what was entered; of the one being typed that is what it keeps."""
    line = view.lines[number]
    value = "" if number == view.mark else kept_of(line, is_wide)
    return ListLine({"label": line.label, "planned": (line.planned, "quiet"), "value": value})


def kept_of(line: EntryLine, is_wide: bool) -> str:
    """What was entered, in words or in letters."""
    return line.entered if is_wide else line.short


def question_of(code: str, text: str, roles: Sequence[str]) -> Question:
    """A question of this page with its answers."""
    answers = tuple(
        Answer(
            role, words.say(f"sheet_entry.answers.{role if role == 'leave' else f'{code}-{role}'}")
        )
        for role in roles
    )
    return Question(code, text, answers)


def put_entry_keys(page: Page, view: EntryView) -> None:
    """The keys, on the last rows."""
    if view.question is not None:
        out = KeyHint("ctrl+q", words.say("sheet_entry.keys.off"))
        page.put_keys(page.height - 1, [out], (page.edge,))
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
