"""The next days, as things stand."""

from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds.core.away import stretches
from rounds.service.logbook.book import Logbook
from rounds.service.plan.coming import Coming, coming
from rounds.tui.keys import key_of, pressed
from rounds.tui.page import Page
from rounds.tui.pages.coming import ComingView, coming_page
from rounds.tui.pages.help import help_page
from rounds.tui.screens.leaving import LeavingScreen
from rounds.tui.screens.list_screen import ListScreen, list_bindings
from rounds.tui.screens.plant import PlantScreen


class ComingScreen(ListScreen):
    """What is expected of which plant, as far as it is worked out."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings("coming", [("help", "help")])

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        super().__init__()
        self.logbook = logbook
        self.who = who
        self.day = self.days.today()
        self.lines: list[Coming] = self._expected()

    def on_screen_resume(self) -> None:
        """Back from a plant, or from the days away, which may have been taken back there."""
        self.reload()

    def day_came(self) -> None:
        """Show the fuller day that was worked out."""
        self.reload()

    def reload(self) -> None:
        """What is expected now; the mark stays on its line, or near it."""
        self.day = self.days.after(self.day)
        marked = self.lines[self.mark] if self.lines else None
        self.lines = self._expected()
        at = (index for index, line in enumerate(self.lines) if _is_same(line, marked))
        self.mark = max(0, min(next(at, self.mark), len(self.lines) - 1))
        self.paint()

    def page(self, width: int, height: int) -> Page:
        """The list, or help."""
        if self.helping:
            return help_page("coming", "", [], width, height)
        told = (line.status for line in self.lines if line.status is not None)
        is_assumed = any(status.temperature_assumed for status in told)
        view = ComingView(
            on=self.day.on,
            lines=self.lines,
            waiting=[status.code for status in self.day.ordered if not status.is_forecast],
            usual_c=self.day.choices.usual_c if is_assumed else None,
            mark=self.mark,
            message=self.said,
        )
        return coming_page(view, width, height)

    def on_key(self, event: events.Key) -> None:
        """Close help on any key but its own."""
        if pressed(event) != key_of("help"):
            self.helping = False
            self.paint()

    def lines_count(self) -> int:
        """As many as are expected."""
        return len(self.lines)

    def open_line(self, index: int) -> None:
        """The page of the plant; of days away, what to do before leaving."""
        status = self.lines[index].status
        if status is None:
            self.app.push_screen(LeavingScreen(self.logbook, self.who))
        else:
            self.app.push_screen(PlantScreen(self.logbook, status.code, self.who))

    def _expected(self) -> list[Coming]:
        return coming(self.day.ordered, self.day.on, away=stretches(self.day.away))


def _is_same(line: Coming, other: Coming | None) -> bool:
    """Whether two lines tell the same, however much of the plant is known by now."""
    if other is None or (line.on, line.kind) != (other.on, other.kind):
        return False
    code, other_code = (of.status and of.status.code for of in (line, other))
    return code == other_code
