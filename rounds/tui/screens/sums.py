"""Published sums: a list of them, the form of each, and its result with method and source."""

from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.calculate.calculated import Calculated
from rounds.service.logbook.book import Logbook
from rounds.tui.forms.dilution import dilution_form
from rounds.tui.forms.sums import SUMS, answer_lines, sum_form
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Page, wrap
from rounds.tui.pages.told import ListLine, Told
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.list_screen import list_bindings
from rounds.words.forms import calendar_day

DILUTION = "dilution"
NAMES = (*SUMS, DILUTION)
"""Of all sums, as they are listed."""

BEFORE_LINE = 8
"""columns of a list before its first column"""


class SumsScreen(LaidOut):
    """Numbered sums; each opens its form."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings("sums", [("help", "help")])
    HELP = "sums"
    COLUMNS = ("line",)

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        super().__init__()
        self.logbook = logbook

    def told(self) -> Told:
        """The sums, and what the marked one is for."""
        today = self.logbook.clock.today()
        return Told(
            title=words.say("sums.title"),
            clock=calendar_day(today, today),
            lines=[ListLine({"line": words.section("sums.name")[name]}) for name in NAMES],
            message=self.said,
            otherwise=[words.section("sums.about")[NAMES[self.mark]]],
        )

    def lines_count(self) -> int:
        """As many as there are sums."""
        return len(NAMES)

    def open_line(self, index: int) -> None:
        """The form of a sum."""
        name = NAMES[index]
        is_mixed = name == DILUTION
        self.app.push_screen(
            dilution_form(self.logbook) if is_mixed else SumScreen(self.logbook, name)
        )


class SumScreen(FormScreen):
    """The form of a sum; its result lies over it, and leaves what was typed in place."""

    def __init__(self, logbook: Logbook, name: str) -> None:
        self._logbook, self._sum = logbook, name
        super().__init__(sum_form(logbook, name, self._show_answer))

    def _show_answer(self, found: Calculated) -> None:
        self.app.push_screen(SumAnswerScreen(self._logbook, self._sum, found))


class SumAnswerScreen(LaidOut):
    """What a sum comes to, line by line: the result, what was given, the method, the source."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings("sums", [("help", "help")])
    HELP = "sums"
    COLUMNS = ("line",)

    def __init__(self, logbook: Logbook, name: str, found: Calculated) -> None:
        super().__init__()
        self.logbook, self._sum = logbook, name
        self._lines = list(answer_lines(name, found))

    def told(self) -> Told:
        """All of it, as many rows as it takes."""
        today = self.logbook.clock.today()
        return Told(
            title=words.section("sums.name")[self._sum],
            clock=calendar_day(today, today),
            lines=self._rows_told(),
            is_numbered=False,
            message=self.said,
            opens=KeyHint(key_of("begin"), words.say("sums.page.back")),
        )

    def _rows_told(self) -> list[ListLine]:
        frame = Page(*self.app.size, wide=self.is_wide)
        width = frame.until - frame.edge - BEFORE_LINE
        return [
            ListLine({"line": (row, "strong" if is_result else "quiet")})
            for text, is_result in self._lines
            for row in wrap(text, width)
        ]

    def lines_count(self) -> int:
        """As many rows as it takes."""
        return len(self._rows_told())

    def open_line(self, index: int) -> None:
        """Back to the form."""
        self.app.pop_screen()
