"""A form in words: its lines, what may be typed into one, the last question, and the keys."""

from collections.abc import Sequence
from dataclasses import dataclass

from rounds import words
from rounds.service.round.view import Answer
from rounds.tui.forms.fields import Field, Form, Values
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, MIDDLE, THIRD, KeyHint, Page
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.told import ListLine, Paragraph, Told

MOST_LEAD, MOST_SAID = 4, 4
"""Most rows for what a form is for, and for what is said at its foot."""
NARROW_KEY = 17

CHOICES_AT = 52
"""The column from which choices stand where there is room beside the lines, as the stylesheet has
it."""


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
    are_all_in_sight: bool
    is_wide: bool
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


def word(view: FormView, code: str) -> str:
    """A key's word, or its short one where room is short and there is one."""
    return words.say(f"desk_forms.keys.{code}{'' if view.is_wide else '-narrow'}")


def form_told(view: FormView) -> Told:
    """What a form says."""
    form = view.form
    asked = None
    if view.answers:
        answers = tuple(Answer(role, word(view, code)) for role, code in view.answers)
        asked = Asked(view.message, answers)
    return Told(
        title=_title(view),
        clock=form.day,
        plant=form.plant,
        above=[Paragraph(form.lead, rows=MOST_LEAD, may_go=True)],
        lines=[_line(view, index) for index in range(len(form.fields))],
        message=view.note if asked else view.note or view.message,
        asked=asked,
        otherwise=_hints(view),
        most=MOST_SAID,
    )


def _title(view: FormView) -> str:
    """Where not all lines are in sight, which one this is."""
    title, count = view.form.title, len(view.form.fields)
    if view.at is None or view.are_all_in_sight:
        return title
    return words.say("desk_forms.line-of", title=title, number=view.at + 1, count=count)


def _line(view: FormView, index: int) -> ListLine:
    """One field: its label, and what it holds unless it is being typed."""
    field = view.form.fields[index]
    if index == view.at:
        return ListLine({"label": (field.label, "strong")})
    return ListLine({"label": field.label, "value": field.shown(view.values[field.code])})


def cautions_page(form: Form, frame: Page, *, beside: bool) -> Page:
    """Under the lines: a row each, or where room is short in few words, one after the other.

    `beside`: choices stand beside the lines, in the columns from CHOICES_AT on.
    """
    page, row = frame.blank(), 0
    until = CHOICES_AT if beside else page.until
    briefly = words.say("forms.and").join(mind.brief for mind in form.cautions)
    said = [mind.text for mind in form.cautions] if page.is_wide else [briefly]
    for caution in said:
        row += page.put_wrapped(row, page.edge, caution, until=until, rows=page.height)
    return page.part(0, row if form.cautions else 0)


def _hints(view: FormView) -> Sequence[str]:
    """What may be typed, and how what stands there is kept."""
    field = view.field
    if field is None:
        return ()
    if view.typed:
        return (field.hint,)
    kept, out = _kept(view, field), _way_out(view, field)
    # where rows are few the first of these have them
    return (field.hint, kept, out) if view.is_wide else (field.hint, out, kept)


def _kept(view: FormView, field: Field) -> str:
    """How what stands in a field is kept, edited or emptied."""
    value = field.shown(view.values[field.code])
    if not value:
        return ""
    code = "wide" if view.is_wide else "narrow"
    empties = "-empties" if field.may_be_empty else ""
    return words.say(f"desk_forms.keeps.{code}{empties}", value=value)


def _way_out(view: FormView, field: Field) -> str:
    """How an empty line leaves the form."""
    value = view.values[field.code]
    if field.leaves(value):
        return words.say("desk_forms.keeps.leaves")
    code = "leaves-erased" if value else "leaves-none"
    return words.say(f"desk_forms.keeps.{code}{'' if view.is_wide else '-narrow'}")


def put_form_keys(page: Page, view: FormView) -> None:
    """The keys of a form, on the last two rows."""
    wide, field = view.is_wide, view.field
    columns = (FIRST, MIDDLE, THIRD) if wide else (1, NARROW_KEY)
    out = KeyHint("ctrl+q", word(view, "leave" if field else "leave-rounds"))
    lines = KeyHint(words.say("desk_forms.keys.arrows"), word(view, "lines"), ("down",))
    end = word(view, "to-end" if view.form.sentence else "to-answer")
    to_end = KeyHint(words.say("desk_forms.keys.end"), end, ("pagedown",))
    if field is not None:
        leaves = field.leaves(view.values[field.code])
        enter = KeyHint(key_of("begin"), word(view, "take-or-leave" if leaves else "take"))
        upper = [out, lines, to_end] if wide else [out, to_end]
        lower = [enter] if wide else [enter, lines]
    elif view.asks_to_write:
        # the arrows lead back into the lines
        upper = [out, lines] if wide else [out]
        lower = [] if wide else [lines]
    else:
        upper = [KeyHint(key_of("leave"), word(view, "leave-form"))]
        lower = [] if view.answers else [KeyHint(key_of("begin"), word(view, "done"))]
    page.put_keys(page.height - 2, upper, columns)
    page.put_keys(page.height - 1, lower, columns)
