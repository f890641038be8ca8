"""Before leaving: what to look at first; the days away are taken back here."""

from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.collection.away_entry import name_of
from rounds.service.logbook.book import Logbook
from rounds.service.plan.leaving import Leaving, before_leaving
from rounds.service.plant.reasons import stretch_text
from rounds.tui.page import Page
from rounds.tui.pages.leaving import LeavingView, leaving_page
from rounds.tui.screens.asking import AskingScreen, asking_bindings
from rounds.tui.screens.plant import PlantScreen


class LeavingScreen(AskingScreen):
    """Enter opens a plant; x takes the next days away back."""

    HELP = "leaving"
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings("leaving", "yes", "no")
    leaving: Leaving

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        self.who = who
        super().__init__(logbook)

    def read(self) -> None:
        """The list as of today."""
        day = self.day
        gap_days = day.choices.rules.gap_days
        self.leaving = before_leaving(day.ordered, day.on, day.next_away, gap_days)

    def list_page(self, width: int, height: int) -> Page:
        """The days away and the list."""
        return leaving_page(
            LeavingView(self.leaving, self.mark, self.said, self.asked), width, height
        )

    def lines_count(self) -> int:
        """As many as must be looked at."""
        return len(self.leaving.lines)

    def open_line(self, index: int) -> None:
        """The page of a plant."""
        code = self.leaving.lines[index].status.code
        self.app.push_screen(PlantScreen(self.logbook, code, self.who))

    def pressed(self, role: str) -> None:
        """x asks about the days away that come next."""
        coming = self.day.away
        if role == "take-back" and coming:
            what = stretch_text(coming[0], self.leaving.on)
            said = words.say("away.leaving.what", away=what)
            self.ask_take_back(str(name_of(coming[0])), said)
        elif role == "take-back":
            self.message = words.say("away.leaving.none")
        else:
            super().pressed(role)
