"""Open doubts of the whole collection, settled one after the other."""

from datetime import date
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.logbook.book import Logbook
from rounds.service.plant.doubts import DoubtLine, open_doubts
from rounds.service.plant.status_text import where_text
from rounds.service.round.view import Answer
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.parts import hint
from rounds.tui.screens.asking import VERDICTS, AskingScreen, asking_bindings
from rounds.tui.screens.laid_out import LaidOut, Paragraph, Told
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.widgets.rows import ListLine
from rounds.words.forms import calendar_day, day_month


class DoubtsScreen(LaidOut, AskingScreen, sheet="doubts"):
    """The marked doubt is asked about; its answer settles it at once, and x reopens it."""

    HELP = "doubts"
    COLUMNS = ("plant", "code", "doubtful", "zone", "since", "ago", "where")
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings("doubts", "yes", "no", "remains")
    doubts: list[DoubtLine]

    def __init__(self, logbook: Logbook) -> None:
        self.settled: list[tuple[str, str]] = []
        """entries settled here and what was said of them, newest last"""
        super().__init__(logbook)

    def read(self) -> None:
        """All open doubts, oldest first."""
        self.doubts = open_doubts(self.day.ordered)

    def told(self) -> Told:
        """The doubts, and the question about the marked one."""
        # one may have been settled elsewhere while the mark stood on the last
        self.mark = max(0, min(self.mark, len(self.doubts) - 1))
        on, count = self.day.on, len(self.doubts)
        marked = self.doubts[self.mark] if self.doubts else None
        none = [Paragraph(words.say("plant.doubts.none"))]
        names = ("plant", "doubtful", "since")
        heads = {name: words.say(f"plant.doubts.column-{name}") for name in names}
        return Told(
            title=words.say("plant.doubts.title"),
            middle=words.say("plant.doubts.open", count=count),
            clock=calendar_day(on, on),
            status=marked.status if marked else None,
            above=[] if marked else none,
            heads={**heads, "where": words.say("sight.doubts.column-where")} if marked else {},
            lines=[_line(doubt, on) for doubt in self.doubts],
            message=self.said,
            asked=self._asked_of(marked) if marked else None,
            second=hint("take-back") if self.settled else None,
            opens=KeyHint(key_of("begin"), words.say("plant.keys.open-plant")),
        )

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


def _line(doubt: DoubtLine, on: date) -> ListLine:
    status, zone = doubt.status, words.say(f"zones.{doubt.doubt.zone}.name")
    cells = {
        "plant": f"{status.code}  {status.name}",
        "code": status.code,
        "doubtful": words.say("plant.entry.at", what=doubt.doubt.count, zone=zone),
        "zone": zone,
        "since": calendar_day(doubt.doubt.day, on),
        "ago": words.say("plant.doubts.ago", days=(on - doubt.doubt.day).days),
        "where": where_text(status),
    }
    return ListLine(cells, ("?", "doubt"))
