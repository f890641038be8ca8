"""The page on which a quarantine ends, or says why not yet."""

from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds.errors import RoundsError
from rounds.service.logbook import Logbook
from rounds.service.moment import now
from rounds.service.named import find_plant
from rounds.service.release import end_quarantine
from rounds.service.round.describe import standing_text, where_text
from rounds.service.round.finish import streak_words
from rounds.service.standing import PlantRecord
from rounds.tui.keys import bindings
from rounds.tui.page import Page
from rounds.tui.pages.parts import say
from rounds.tui.pages.release import ReleaseView, release_page
from rounds.tui.screens.sheet_screen import SheetScreen
from rounds.tui.screens.typing import TypedLine
from rounds.words.forms import calendar_day


class ReleaseScreen(SheetScreen):
    """One plant apart: every criterion, and the key that ends it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(
        "release", [("leave", "leave"), ("yes", "yes"), ("no", "leave")]
    )

    def __init__(self, logbook: Logbook, code: str) -> None:
        super().__init__()
        self.logbook = logbook
        self.code = code
        self.line: TypedLine | None = None
        self.message = ""

    def record(self) -> PlantRecord:
        """The plant as it stands now."""
        plant = find_plant(self.logbook, self.code)
        return PlantRecord(self.logbook, plant, self.logbook.clock.today())

    def page(self, width: int, height: int) -> Page:
        """The criteria, then the question."""
        record = self.record()
        view = ReleaseView(
            record=record,
            where=where_text(record),
            standing_text=standing_text(record),
            streak_text=streak_words(record.streak),
            message=self.message,
            reason=self.line.text if self.line else None,
        )
        return release_page(view, width, height)

    def too_small(self) -> str:
        """What is needed."""
        return say("too-small.bare")

    def on_key(self, event: events.Key) -> None:
        """A typed reason."""
        if self.line is None:
            return
        event.stop()
        event.prevent_default()
        done = self.line.key(event)
        if done is not None:
            self.line = None
            if done:
                self._end(done)
        self.paint()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a reason is typed, letters are text."""
        return not (self.line is not None and action in ("leave", "yes"))

    def action_leave(self) -> None:
        """Back to today."""
        self.app.pop_screen()

    def action_yes(self) -> None:
        """End it where all is met; else ask for the reason."""
        record = self.record()
        if record.forecast is None:
            return
        if all(criterion.met is True for criterion in record.forecast.criteria):
            self._end(None)
        else:
            self.line, self.message = TypedLine(), ""
        self.paint()

    def _end(self, reason: str | None) -> None:
        try:
            decision = end_quarantine(self.logbook, now(self.logbook.clock), self.code, reason)
        except RoundsError as fault:
            self.message = str(fault)
            return
        if decision.refusal is not None:
            self.message = str(decision.refusal)
            return
        until = decision.record.watch_until
        today = decision.record.on
        said = (
            say("release.ended-no-day", code=self.code)
            if until is None
            else say("release.ended", code=self.code, day=calendar_day(until, today))
        )
        early = [say("release.ended-early")] if decision.early else []
        self.message = "; ".join([*early, said, say("release.put-back", code=self.code)])
