"""The values the sums run on: enter changes one, a key puts one back to the usual one."""

from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds import words
from rounds.errors import RoundsError
from rounds.service.entries.value_changes import reset_value
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.logbook.parameter_rows import value_rows
from rounds.tui.forms.change_value import change_value_form
from rounds.tui.keys import key_of, pressed
from rounds.tui.page import Page
from rounds.tui.pages.help import help_page
from rounds.tui.pages.values import ValuesView, values_page
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.list_screen import ListScreen, list_bindings
from rounds.words.parameters import name_of_value, written_value


class ValuesScreen(ListScreen):
    """All values in the order of their files; what is changed holds at once."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings(
        "values", [("take-back", "reset"), ("help", "help")]
    )

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        """`who` is at the keyboard."""
        super().__init__()
        self.logbook = logbook
        self._who = who
        self.read()

    def read(self) -> None:
        """All values as they hold today."""
        self.rows = value_rows(self.logbook, self.logbook.clock.today())

    def reload(self) -> None:
        """Others may have changed one."""
        self.read()
        self.paint()

    def on_screen_resume(self) -> None:
        """A form may have changed one."""
        self.reload()

    def page(self, width: int, height: int) -> Page:
        """The lines, or help."""
        if self.helping:
            return help_page("values", "", [], width, height)
        view = ValuesView(self.rows, self.mark, self.said, self.logbook.clock.today())
        return values_page(view, width, height)

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

    def on_key(self, event: events.Key) -> None:
        """Close help on any key but its own."""
        if pressed(event) != key_of("help"):
            self.helping = False
            self.paint()
