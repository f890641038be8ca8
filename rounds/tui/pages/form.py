"""A form: its lines with the one being typed, what may be typed there, and the last question."""

from dataclasses import dataclass

from rounds import words
from rounds.tui.forms.fields import Choice, Field, Form, Values
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, MIDDLE, THIRD, KeyHint, Page, Role, wrap
from rounds.tui.pages.parts import (
    ROOMY,
    ask,
    asked_rows,
    desk_row,
    heading,
    plant_row,
    takes_place,
)

LEAST_LINES = 2
"""Lines that stay in sight, however many choices there are."""

MOST_LEAD = 4
"""Most rows for what a form is for."""

NARROW_VALUE = 17
NARROW_KEY = 17


@dataclass(frozen=True, slots=True)
class FormView:
    """A form as it stands. `at` is the line being typed, None once a question was reached.

    With answers `message` is the question, else it is what just happened.
    """

    form: Form
    values: Values
    at: int | None
    typed: str
    message: str
    note: str = ""
    """why a key did nothing"""
    answers: tuple[tuple[str, str], ...] = ()
    """role of the key, and the word of what it does"""

    @property
    def field(self) -> Field | None:
        """The field being typed."""
        return None if self.at is None else self.form.fields[self.at]

    @property
    def asks_to_write(self) -> bool:
        """Whether it is the question before writing, from which arrows lead back to the lines."""
        return ("leave", "unwritten") in self.answers

    @property
    def choices(self) -> list[tuple[int, Choice]]:
        """What the line being typed may still become."""
        return self.field.offered(self.typed) if self.field else []


@dataclass(frozen=True, slots=True)
class _Room:
    """The rows a form's lines and choices share."""

    top: int
    rows: int
    lines: int
    """rows for the lines of the form"""
    first: int
    """the first of them in sight"""

    @property
    def below_lines(self) -> int:
        """The first row under the lines."""
        return self.top + self.lines


def form_page(view: FormView, width: int, height: int) -> Page:
    """The form in the room there is; the line being typed is always in sight."""
    page = Page(width, height)
    top = _head(page, view)
    room = _share(page, view, top, _bottom(page, view))
    heading(page, _title(view, room), "", view.form.day)
    for offset in range(room.lines):
        _line(page, view, room.top + offset, room.first + offset)
    if view.choices:
        _choices(page, view.choices, room)
    elif view.form.cautions:
        _cautions(page, view.form.cautions, room)
    _keys(page, view)
    return page


def word(page: Page, code: str) -> str:
    """A key's word, or its short one where room is short and there is one."""
    return words.say(f"desk_forms.keys.{code}{'' if page.is_wide else '-narrow'}")


def _share(page: Page, view: FormView, top: int, below: int) -> _Room:
    """Share rows among lines and choices: side by side on a wide page, else stacked."""
    gap = _gap(page)
    rows = max(1, below - top - gap)
    count = lines = len(view.form.fields)
    if view.choices and not page.is_wide:
        # room for all of them, so that nothing jumps while typing narrows them down
        all_choices = len(view.field.choices) if view.field else 0
        lines = max(LEAST_LINES, rows - gap - -(-all_choices // 2))
    lines = min(lines, count, rows)
    at = view.at or 0
    first = max(0, min(at - lines // 2, count - lines))
    return _Room(top, rows, lines, first)


def _gap(page: Page) -> int:
    return 1 if page.height >= ROOMY else 0


def _title(view: FormView, room: _Room) -> str:
    """Where not all lines are in sight, which one this is."""
    count = len(view.form.fields)
    if view.at is None or room.lines == count:
        return view.form.title
    return words.say("desk_forms.line-of", title=view.form.title, number=view.at + 1, count=count)


def _head(page: Page, view: FormView) -> int:
    """The plant, and what this form is for; the row after them."""
    plant = view.form.plant
    row = 2
    if plant is not None:
        plant_row(page, plant.code, plant.name, plant.where, plant.standing, plant.standing_text)
        row = 3
    if page.height < ROOMY:
        return row
    edge, until = _edges(page)
    rows = _lead_rows(page, view, row)
    return row + page.put_wrapped(row, edge, view.form.lead, until=until, rows=rows) + 1


def _lead_rows(page: Page, view: FormView, row: int) -> int:
    """Rows for the lead: at least two, more if all lines and the longest list of choices fit."""
    fields = view.form.fields
    choices = 0 if page.is_wide else max(-(-len(field.choices) // 2) for field in fields)
    taken = len(fields) + choices + (_gap(page) if choices else 0)
    return max(2, min(MOST_LEAD, desk_row(page) - _gap(page) - row - 1 - taken))


def _edges(page: Page) -> tuple[int, int]:
    return page.edge, page.until


def _line(page: Page, view: FormView, row: int, index: int) -> None:
    """One field: its label, and what it holds or what is being typed."""
    field = view.form.fields[index]
    wide = page.is_wide
    mark, value_at = (FIRST, MIDDLE) if wide else (1, NARROW_VALUE)
    until = THIRD - 1 if wide and view.choices else _edges(page)[1]
    value = field.shown(view.values[field.code])
    is_here = index == view.at
    page.put_line_spot(row, index)
    page.put(row, mark + 2, field.label, "strong" if is_here else "ink", until=value_at - 1)
    if not is_here:
        page.put(row, value_at, value, until=until)
        return
    page.put(row, mark, ">", "here")
    page.put_typed(row, value_at, view.typed, until=until, kept=value)


def _choices(page: Page, shown: list[tuple[int, Choice]], room: _Room) -> None:
    """Numbered, column by column; where room ends, how many more there are."""
    if page.is_wide:
        top, columns = room.top, [THIRD]
    else:
        top, columns = room.below_lines + _gap(page), [3, 3 + (page.width - 4) // 2]
    rows = room.top + room.rows - top
    cells = rows * len(columns)
    listed = shown if len(shown) <= cells else shown[: max(0, cells - 1)]
    per_column = rows if len(shown) > cells else -(-len(shown) // len(columns))
    figures = len(str(shown[-1][0]))
    edges = [*(column - 1 for column in columns[1:]), page.width - 1]
    for place, (number, choice) in enumerate(listed):
        at, row = columns[place // per_column], top + place % per_column
        page.put_right(row, at + figures, str(number), "strong")
        page.put(row, at + figures + 1, choice.name, until=edges[place // per_column])
    if len(listed) < len(shown) and rows > 0:
        more = words.say("desk_forms.keeps.more", count=len(shown) - len(listed))
        page.put(top + rows - 1, columns[-1], more, "quiet")


def _cautions(page: Page, cautions: tuple[str, ...], room: _Room) -> None:
    """Under the lines: a row each, or where room is short one after the other."""
    edge, until = _edges(page)
    row = room.below_lines + (_gap(page) if page.is_wide else 0)
    below = room.top + room.rows
    shown = cautions if page.is_wide else (" ".join(cautions),)
    for offset, line in enumerate(
        line for caution in shown for line in wrap(caution, until - edge)
    ):
        if row + offset < below:
            page.put(row + offset, edge, line, until=until)


def _bottom(page: Page, view: FormView) -> int:
    """The question, what just happened, or what may be typed here; the first row of it."""
    row = desk_row(page)
    edge, until = _edges(page)
    if view.answers and not takes_place(page, view.note):
        answers = [(key_of(role), word(page, code)) for role, code in view.answers]
        ask(page, row, view.message, answers)
        return row + 1 - asked_rows(page, view.message)
    lines = _said(page, view)
    # what stands above jumps for a long sentence in a low window only
    most = 4 if page.height >= ROOMY else 3
    top = row if page.height >= ROOMY else row - (len(lines) >= most)
    for offset, (text, role) in enumerate(lines[:most]):
        rest = " ".join(line for line, _ in lines[most - 1 :]) if offset == most - 1 else text
        page.put(top + offset, edge, rest, role, until=until)
    return top


def _said(page: Page, view: FormView) -> list[tuple[str, Role]]:
    """What just happened; else what may be typed, and how what stands there is kept."""
    edge, until = _edges(page)
    message = view.note or view.message
    if message or view.field is None:
        return [(line, "ink") for line in wrap(message, until - edge)]
    hints = [view.field.hint]
    if not view.typed:
        hints += [_kept(page, view.field, view.values), _way_out(page, view.field, view.values)]
    return [(line, "quiet") for text in filter(None, hints) for line in wrap(text, until - edge)]


def _kept(page: Page, field: Field, values: Values) -> str:
    """How what stands in a field is kept, edited or emptied."""
    value = field.shown(values[field.code])
    if not value:
        return ""
    code = "wide" if page.is_wide else "narrow"
    return words.say(f"desk_forms.keeps.{code}{'-empties' if field.may_be_empty else ''}",
                     value=value)  # fmt: skip


def _way_out(page: Page, field: Field, values: Values) -> str:
    """How an empty line leaves the form."""
    value = values[field.code]
    if field.leaves(value):
        return words.say("desk_forms.keeps.leaves")
    code = "leaves-erased" if value else "leaves-none"
    return words.say(f"desk_forms.keeps.{code}{'' if page.is_wide else '-narrow'}")


def _leaves(view: FormView) -> bool:
    """Whether an empty line leaves the form."""
    field = view.field
    return field is not None and field.leaves(view.values[field.code])


def _keys(page: Page, view: FormView) -> None:
    wide = page.is_wide
    columns = (FIRST, MIDDLE, THIRD) if wide else (1, NARROW_KEY)
    out = KeyHint("ctrl+q", word(page, "leave" if view.field else "leave-rounds"))
    lines = KeyHint(words.say("desk_forms.keys.arrows"), word(page, "lines"), ("down",))
    end = "to-end" if view.form.sentence else "to-answer"
    to_end = KeyHint(words.say("desk_forms.keys.end"), word(page, end), ("pagedown",))
    enter = KeyHint(key_of("begin"), word(page, "take-or-leave" if _leaves(view) else "take"))
    if view.field is not None:
        upper = [out, lines, to_end] if wide else [out, to_end]
        lower = [enter] if wide else [enter, lines]
    elif view.asks_to_write:
        # the arrows lead back into the lines
        upper = [out, lines] if wide else [out]
        lower = [] if wide else [lines]
    else:
        upper = [KeyHint(key_of("leave"), word(page, "leave-form"))]
        lower = [] if view.answers else [KeyHint(key_of("begin"), word(page, "done"))]
    page.put_keys(page.height - 2, upper, columns)
    page.put_keys(page.height - 1, lower, columns)
