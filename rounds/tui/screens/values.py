"""The values the sums run on: enter changes one, a key puts one back to the usual one."""

from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.errors import RoundsError
from rounds.service.entries.value_changes import reset_value
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.logbook.parameter_rows import ValueRow, value_rows
from rounds.tui.forms.change_value import change_value_form
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint
from rounds.tui.pages.told import ListLine, Paragraph, Told
from rounds.tui.pages.values import about_value
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.list_screen import list_bindings
from rounds.tui.screens.page_screen import ReadsAgain
from rounds.words.forms import calendar_day
from rounds.words.parameters import group_of_value, name_of_value, unit_of_value, written_value

CHANGED = "="
"""Stands before a changed value."""
IN_LIST = 4
"""Figures of a value in the list; the foot has all."""
MOST_SAID = 7


class ValuesScreen(LaidOut, ReadsAgain, sheet="values"):
    """All values in the order of their files; what is changed holds at once."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings(
        "values", [("take-back", "reset"), ("help", "help")]
    )
    HELP = "values"
    COLUMNS = ("name", "value", "usual", "unit")

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        """`who` is at the keyboard."""
        super().__init__()
        self.logbook = logbook
        self._who = who
        self.read()

    def read(self) -> None:
        """All values as they hold today."""
        self.rows = value_rows(self.logbook, self.logbook.clock.today())
        self._lines = [_line(row) for row in self.rows]

    def reload(self) -> None:
        """Others may have changed one."""
        self.read()
        self.paint()

    def told(self) -> Told:
        """The lines, and what is known of the marked one."""
        today, marked = self.logbook.clock.today(), self.rows[self.mark]
        group = group_of_value(marked.code)
        about = f"{name_of_value(marked.code)}: {about_value(marked, today)}"
        return Told(
            title=words.say("parameters.title"),
            clock=calendar_day(today, today),
            middle=group,
            above=[Paragraph(words.say("parameters.lead"), may_go=True)],
            lines=self._lines,
            message=self.said,
            otherwise=[about],
            most=MOST_SAID,
            second=_back_to_usual(marked),
            opens=_opens(marked),
        )

    def lines_count(self) -> int:
        """As many as there are values."""
        return len(self.rows)

    def open_line(self, index: int) -> None:
        """Ask for another value, where it may be another."""
        row = self.rows[index]
        if row.fixed is not None:
            fixed = words.say("parameters.said.fixed", name=name_of_value(row.code))
            self.message = f"{fixed}. {words.say(f'parameters.fixed.{row.fixed}')}"
            return
        self.app.push_screen(change_value_form(self.logbook, row, self._who))

    def action_reset(self) -> None:
        """Back to the usual value."""
        row = self.rows[self.mark]
        name = name_of_value(row.code)
        if row.change is None:
            self.message = words.say("parameters.said.not-changed", name=name)
            self.paint()
            return
        try:
            reset_value(self.logbook, now(self.logbook.clock, self._who), row.code)
        except RoundsError as fault:
            self.message = sentence_of(fault)
        else:
            self.read()
            usual = written_value(row.default)
            self.message = words.say("parameters.said.reset", name=name, value=usual)
        self.paint()


def _line(row: ValueRow) -> ListLine:
    """Its name, its value, and beside a changed one the usual one."""
    is_changed = row.value != row.default or row.change is not None
    # what is no number is read in the foot
    is_number = isinstance(row.value, int | float)
    value = f"{CHANGED if is_changed else ''}{written_value(row.value, IN_LIST)}"
    usual = f"{words.say('parameters.usual')} {written_value(row.default, IN_LIST)}"
    return ListLine(
        {
            "name": name_of_value(row.code),
            "value": (value if is_number else "", "strong" if is_changed else "ink"),
            # a blank holds the place, so that all values end in one column
            "usual": (usual if is_changed else " ", "quiet"),
            "unit": (unit_of_value(row.unit) if is_number else "", "quiet"),
        }
    )


def _back_to_usual(row: ValueRow) -> KeyHint | None:
    """The key that puts the marked value back, where it was changed."""
    if row.change is None:
        return None
    return KeyHint(key_of("take-back"), words.say("parameters.reset"))


def _opens(row: ValueRow) -> KeyHint | None:
    if row.fixed is not None:
        return None
    return KeyHint(key_of("begin"), words.say("parameters.type"))
