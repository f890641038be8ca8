"""A form on the screen: one line is typed at a time, and at the end it asks whether to write."""

from collections.abc import Iterable
from typing import ClassVar, Literal

from textual import events
from textual.binding import BindingType
from textual.containers import Container
from textual.widget import Widget

from rounds import words
from rounds.errors import LogbookUnusable, RoundsError
from rounds.tui.forms.at_fault import at_fault
from rounds.tui.forms.fields import Field, FieldFault, Form, take
from rounds.tui.keys import bindings, key_of
from rounds.tui.page import Page
from rounds.tui.pages.form import FormView, cautions_page, form_told, put_form_keys
from rounds.tui.pages.told import Told
from rounds.tui.screens.frame import Frame
from rounds.tui.widgets.entries import Choices, Entered, Entries

MOVES = {"up": -1, "down": 1}

Stage = Literal["lines", "question", "leaving", "refused", "written"]
"""Typing; asked whether to write, or to leave; asked what to do as it cannot be written; done."""

ANSWERS: dict[Stage, tuple[tuple[str, str], ...]] = {
    "lines": (),
    "question": (("yes", "write"), ("no", "back"), ("leave", "unwritten")),
    "leaving": (("yes", "leave-typed"), ("no", "back")),
    "refused": (("no", "back"), ("leave", "unwritten")),
    "written": (),
}
DOES = ("leave", "yes", "no", "done")
DOES_IN: dict[Stage, tuple[str, ...]] = {
    "lines": (),
    "question": ("yes", "no", "leave"),
    "leaving": ("yes", "no", "leave"),
    "refused": ("no", "leave"),
    "written": ("leave", "done"),
}
"""The actions of keys, by stage."""
AGAIN = (("yes", "again"), ("no", "enough"))


class FormScreen(Frame, sheet="form"):
    """Letters are text until the last line is taken; nothing is written before a yes."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(
        "form", [("leave", "leave"), ("yes", "yes"), ("no", "no"), ("begin", "done")]
    )

    TYPES_IN_BODY = True

    def __init__(self, form: Form) -> None:
        super().__init__()
        self._entries = Entries(("label", "value"), self._line, self.paint)
        self._choices = Choices()
        self._open(form)

    def _open(self, form: Form, message: str = "") -> None:
        self.form = form
        self.entered = {field.code: field.value for field in form.fields}
        self.stage: Stage = "lines"
        self.marked = 0
        self.is_fresh = True
        self.is_leaving = False
        self.message = message
        self.begin_line()

    @property
    def field(self) -> Field:
        """The field the mark is on."""
        return self.form.fields[self.marked]

    def _view(self) -> FormView:
        """The form as it stands."""
        asks_again = self.stage == "written" and self.form.again is not None
        return FormView(
            form=self.form,
            values=self.entered,
            at=self.marked if self.stage == "lines" else None,
            typed=self.typed or "",
            message=self.message,
            are_all_in_sight=self._entries.are_all_in_sight,
            is_wide=self.is_wide,
            note=self.note,
            answers=AGAIN if asks_again else self._answers(),
        )

    def _answers(self) -> tuple[tuple[str, str], ...]:
        """The keys that answer what is asked now, each with the word of what it does."""
        told = ANSWERS[self.stage]
        return tuple((role, self.form.does if what == "write" else what) for role, what in told)

    def told(self) -> Told:
        """The form as it stands."""
        return form_told(self._view())

    def body(self) -> Iterable[Widget]:
        """The lines, and what may be chosen."""
        yield Container(self._entries, self._choices, id="lines")

    def show_body(self, told: Told, frame: Page) -> None:
        """Show the lines, and what the one that is typed may still become."""
        field = self.field if self.stage == "lines" else None
        offered = field.offered(self.typed or "") if field else []
        self.set_class(bool(offered), "-offers")
        self._choices.show(offered, len(field.choices) if field else 0)
        kept = field.shown(self.entered[field.code]) if field else ""
        at = self.marked if field else None
        beside = bool(offered) and not (self.has_class("-narrow") or self.has_class("-named"))
        cautions = cautions_page(self.form, frame, beside=beside)
        # what is asked says what was typed; what to mind at it is in sight with it
        is_asked = bool(self.form.cautions) and self.stage == "question"
        in_sight = len(told.lines) + cautions.height if is_asked else 0
        self._entries.show(Entered(told.lines, at, kept, in_sight), cautions)

    def put_strip(self, page: Page, told: Told) -> None:
        """Put the keys, on the last two rows."""
        put_form_keys(page, self._view())

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Whether an action is allowed: while a line is typed, letters are text."""
        does = action not in DOES or action in self._does()
        return does and super().check_action(action, parameters)

    def _does(self) -> tuple[str, ...]:
        """What keys do now."""
        if self.stage == "written" and self.form.again is not None:
            return ("yes", "no", "leave")
        return DOES_IN[self.stage]

    def why_idle(self, role: str) -> str:
        """A key that answers at another stage has no meaning at this one."""
        return self.why_unknown(key_of(role))

    def on_key(self, event: events.Key) -> None:
        """From a question the arrows lead back into the lines."""
        if self.stage in ("question", "leaving", "refused") and event.key in MOVES:
            self._mark(len(self.form.fields) - 1 if event.key == "up" else 0)
        self.paint()

    def action_yes(self) -> None:
        """Write; leave; or go on with the form that follows."""
        if self.stage == "leaving":
            self.app.pop_screen()
        elif self.stage == "question":
            self._write()
        elif self.stage == "written" and self.form.again is not None:
            self._open(self.form.again.form(self.entered))
        self.paint()

    def action_no(self) -> None:
        """Back to the lines; or enough of it."""
        if self.stage in ("question", "leaving", "refused"):
            self._mark(self.marked)
            self.paint()
        elif self.form.again is not None:
            self.app.pop_screen()

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.app.pop_screen()

    def action_done(self) -> None:
        """Back after writing; enter never answers a question."""
        self.app.pop_screen()

    def line_key(self, key: str) -> bool:
        """Arrows and page down go to other lines; the first backspace edits what is kept."""
        was_fresh, was_leaving = self.is_fresh, self.is_leaving
        if key == "enter":
            return super().line_key(key)
        self.is_fresh = self.is_leaving = False
        if was_leaving:
            self.message = ""
        if key in MOVES:
            self._go(self.marked + MOVES[key])
        elif key == "pagedown":
            self._go(len(self.form.fields))
        elif key == "backspace" and was_fresh:
            self.begin_line(self.field.shown(self.entered[self.field.code]))
        else:
            return super().line_key(key)
        self.paint()
        return True

    def line_taken(self, given: str) -> None:
        """Go on to the next line; an empty one may lead out."""
        if given:
            self._go(self.marked + 1)
        else:
            self._end_empty()
        self.paint()

    def line_clicked(self, index: int) -> None:
        """Go to a line; from a question back to it."""
        if self.stage == "lines":
            self._go(index)
        elif self.stage != "written":
            self._mark(index)
        self.paint()

    def choice_clicked(self, code: str) -> None:
        """Take a choice."""
        if self.stage == "lines":
            self._line.text = self.field.shown(code)
            self.line_taken(self._line.text)

    def _end_empty(self) -> None:
        """Go on with what stands there; but lead out where nothing can, or the line was emptied.

        Who erased a value may have meant to be rid of it, so that is told first, and the form is
        left by another empty line.
        """
        value = self.entered[self.field.code]
        if self.is_leaving or self.field.leaves(value):
            self._leave_lines()
        elif self.is_fresh:
            self._go(self.marked + 1)
        else:
            self._mark(self.marked, once_more_text(self.field, value))
            self.is_leaving = True

    def _leave_lines(self) -> None:
        """Leave, after asking where something was typed that would be lost."""
        if self.entered == {field.code: field.value for field in self.form.fields}:
            self.app.pop_screen()
            return
        self._stop("leaving", words.say("desk_forms.leaves"))

    def _go(self, to: int) -> None:
        """Take what was typed and go to another line, or beyond the lines to the question."""
        if not self._take():
            return
        if 0 <= to < len(self.form.fields):
            self._mark(to)
        else:
            self._ask()

    def _take(self) -> bool:
        """Keep what was typed; an empty line keeps what stood there. False where it cannot be."""
        given = (self.typed or "").strip()
        if given:
            try:
                self.entered[self.field.code] = take(self.field, given)
            except (FieldFault, RoundsError) as fault:
                self.message = sentence_of(fault)
                return False
        return True

    def _mark(self, index: int, message: str = "", typed: str = "") -> None:
        self.stage, self.marked, self.message = "lines", index, message
        self.begin_line(typed)
        self.is_fresh, self.is_leaving = not typed, False

    def _ask(self) -> None:
        """Say what will be written; or what stands against it. A sum is answered at once."""
        if self.form.sentence is None:
            self._write()
            return
        try:
            sentence = self.form.sentence(self.entered)
        except (FieldFault, RoundsError) as fault:
            self.marked = at_fault(self.form, fault) or 0
            self._stop("refused", sentence_of(fault))
        else:
            self.marked = 0
            self._stop(
                "question", words.say(f"desk_forms.asks.{self.form.does}", sentence=sentence)
            )

    def _stop(self, stage: Stage, message: str) -> None:
        """No line is typed any more."""
        self.stage, self.message = stage, message
        self.end_line()

    def _write(self) -> None:
        try:
            self.message = self.form.write(self.entered)
        except (FieldFault, RoundsError) as fault:
            at = at_fault(self.form, fault)
            if at is None:
                self._blame_no_field(fault)
                return
            field = self.form.fields[at]
            self._mark(at, sentence_of(fault), field.shown(self.entered[field.code]))
            return
        self._stop("written", self.message)
        if self.form.again is not None:
            self.message = f"{self.message}. {self.form.again.question}"

    def _blame_no_field(self, fault: FieldFault | RoundsError) -> None:
        """Tell a fault of no field: one of the file can be tried again, any other cannot."""
        self.message = sentence_of(fault)
        if isinstance(fault, LogbookUnusable):
            self.message = words.say("desk_forms.retry", fault=self.message)
        else:
            self.marked = 0
            self._stop("refused", self.message)


def once_more_text(field: Field, value: str) -> str:
    """What stands in a field although its line was emptied, and that another empty one leaves."""
    if not value:
        return words.say("desk_forms.keeps.once-more-none")
    code = "once-more-empties" if field.may_be_empty else "once-more"
    return words.say(f"desk_forms.keeps.{code}", label=field.label, value=field.shown(value))


def sentence_of(fault: FieldFault | RoundsError) -> str:
    """What is wrong and what to do about it here, where there are no options to give."""
    if isinstance(fault, FieldFault):
        return str(fault)
    instead = words.section("desk_forms.instead").get(fault.code)
    return str(fault) if instead is None else f"{fault.message} {instead}"
