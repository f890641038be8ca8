"""Open doubts of the whole collection, settled one after the other."""

from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.logbook.book import Logbook
from rounds.service.plant.doubts import DoubtLine, open_doubts
from rounds.service.round.view import Answer
from rounds.tui.page import Page
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.doubts import DoubtsView, doubts_page
from rounds.tui.screens.asking import VERDICTS, AskingScreen, asking_bindings
from rounds.tui.screens.plant import PlantScreen
from rounds.words.forms import day_month


class DoubtsScreen(AskingScreen):
    """The marked doubt is asked about; its answer settles it at once, and x reopens it."""

    HELP = "doubts"
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings("doubts", "yes", "no", "remains")
    doubts: list[DoubtLine]

    def __init__(self, logbook: Logbook) -> None:
        self.settled: list[tuple[str, str]] = []
        """entries settled here and what was said of them, newest last"""
        super().__init__(logbook)

    def read(self) -> None:
        """All open doubts, oldest first."""
        self.doubts = open_doubts(self.day.ordered)

    def list_page(self, width: int, height: int) -> Page:
        """The doubts, and the question about the marked one."""
        # one may have been settled elsewhere while the mark stood on the last
        self.mark = max(0, min(self.mark, len(self.doubts) - 1))
        view = DoubtsView(
            on=self.day.on,
            doubts=self.doubts,
            mark=self.mark,
            message=self.said,
            asked=self._asked_of(self.doubts[self.mark]) if self.doubts else None,
            can_take_back=bool(self.settled),
        )
        return doubts_page(view, width, height)

    def lines_count(self) -> int:
        """Those still open."""
        return len(self.doubts)

    def open_line(self, index: int) -> None:
        """The plant's own page."""
        self.app.push_screen(PlantScreen(self.logbook, self.doubts[index].status.code))

    def pressed(self, role: str) -> None:
        """y g n settle the marked doubt; x opens the one settled last again."""
        if role in VERDICTS and self.doubts:
            doubt = self.doubts[self.mark]
            what = self._what(doubt)
            self.settle_as(doubt.entry, role, what)
            self.settled.append((doubt.entry, what))
        elif role == "take-back" and self.settled:
            entry, what = self.settled.pop()
            self.settle_as(entry, "doubtful", what)
            self.read_if_old()
            at = (n for n, doubt in enumerate(self.doubts) if doubt.entry == entry)
            self.mark = next(at, self.mark)
        elif role == "take-back":
            self.message = words.say("plant.said.nothing")
        else:
            super().pressed(role)

    def _what(self, doubt: DoubtLine) -> str:
        zone = words.say(f"zones.{doubt.doubt.zone}.name")
        values = {"count": doubt.doubt.count, "code": doubt.status.code}
        return words.say("plant.doubts.what", zone=zone, **values)

    def _asked_of(self, doubt: DoubtLine) -> Asked:
        day = day_month(doubt.doubt.day, self.day.on)
        return Asked(
            words.say("plant.doubts.ask", what=self._what(doubt), day=day),
            tuple(
                Answer(role, words.say(f"plant.answers.{verdict}"))
                for role, verdict in VERDICTS.items()
            ),
            words.say("plant.doubts.aid"),
        )
