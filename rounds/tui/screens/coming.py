"""The next days, as things stand."""

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds.core.away import stretches
from rounds.service.logbook.book import Logbook
from rounds.service.plan.coming import Coming, coming
from rounds.service.plant.record import PlantRecord
from rounds.tui.keys import key_of, pressed
from rounds.tui.page import Page
from rounds.tui.pages.coming import ComingView, coming_page
from rounds.tui.pages.help import help_page
from rounds.tui.screens.leaving import LeavingScreen
from rounds.tui.screens.list_screen import ListScreen, list_bindings
from rounds.tui.screens.plant import PlantScreen

WORK_OUT_AFTER = 0.05
"""Seconds left to the keys before each piece of a forecast that is worked out."""


class ComingScreen(ListScreen):
    """What is expected of which plant, from the records today has planned with."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings("coming", [("help", "help")])

    def __init__(self, logbook: Logbook, records: Sequence[PlantRecord], who: str | None) -> None:
        super().__init__()
        self.logbook = logbook
        self.records = records
        self.who = who
        self.on = logbook.clock.today()
        self.lines: list[Coming] = self._expected()

    def on_mount(self) -> None:
        """Paint; then what takes longer, piece by piece."""
        super().on_mount()
        self._work_out_soon()

    def on_screen_resume(self) -> None:
        """Back from a plant, or from the days away, which may have been taken back there."""
        self._read_again()
        self._work_out_soon()

    def page(self, width: int, height: int) -> Page:
        """The list, or help."""
        if self.helping:
            return help_page("coming", "", [], width, height)
        told = (line.record for line in self.lines if line.record is not None)
        is_assumed = any(record.temperature_assumed for record in told)
        view = ComingView(
            on=self.on,
            lines=self.lines,
            waiting=[record.plant.code for record in self._waiting()],
            usual_c=self.logbook.parameters.usual_c if is_assumed else None,
            mark=self.mark,
            message=self.message,
        )
        return coming_page(view, width, height)

    def on_key(self, event: events.Key) -> None:
        """Any key but its own closes help."""
        if pressed(event) != key_of("help"):
            self.helping = False
            self.paint()

    def lines_count(self) -> int:
        """As many as are expected."""
        return len(self.lines)

    def open_line(self, index: int) -> None:
        """The page of the plant; of days away, what to do before leaving."""
        record = self.lines[index].record
        if record is None:
            self.app.push_screen(LeavingScreen(self.logbook, self.who))
        else:
            self.app.push_screen(PlantScreen(self.logbook, record.plant.code, self.who))

    def _expected(self) -> list[Coming]:
        away = stretches(self.logbook.collection().away)
        return coming(self.records, self.on, away=away)

    def _read_again(self) -> None:
        """What is expected now; the mark stays on its line, or near it."""
        marked = self.lines[self.mark] if self.lines else None
        self.lines = self._expected()
        if marked in self.lines:
            self.mark = self.lines.index(marked)
        self.mark = max(0, min(self.mark, len(self.lines) - 1))
        self.paint()

    def _waiting(self) -> list[PlantRecord]:
        return [record for record in self.records if not record.forecast_is_quick]

    def _work_out_soon(self) -> None:
        if self._waiting():
            self.set_timer(WORK_OUT_AFTER, self._work_out_one)

    def _work_out_one(self) -> None:
        """A piece of the forecast of one plant; the mark stays on its line."""
        waiting = self._waiting()
        if not (waiting and self.is_current):
            return
        if waiting[0].work_on_forecast():
            self._read_again()
        self._work_out_soon()
