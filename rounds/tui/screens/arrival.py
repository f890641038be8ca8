"""A delivery before it is entered: look at those to open, then take it or leave it."""

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from rounds import words
from rounds.errors import RoundsError
from rounds.service.arrival.arrive import Arrived
from rounds.service.arrival.drafted import Draft
from rounds.service.arrival.text import found_lines
from rounds.service.logbook.book import Logbook
from rounds.tui.keys import bindings
from rounds.tui.page import Page
from rounds.tui.pages.told import ListLine, Paragraph, Told
from rounds.tui.screens.asking import AskingScreen
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.list_screen import list_bindings
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.widgets.paragraphs import Paragraphs
from rounds.words.forms import calendar_day, codes_text

DOES = ("look", "take", "leave")
"""What the lines do; below them stands why that is advised."""


class ArrivalScreen(LaidOut, AskingScreen, sheet="arrival"):
    """What can be done, and under it the reasons of what is advised."""

    HELP = "arrival"
    COLUMNS = ("line",)
    BINDINGS: ClassVar[list[BindingType]] = [
        *list_bindings("arrival", [("help", "help")]),
        *bindings("arrival", [(role, f"answer('{role}')") for role in ("yes", "no")]),
    ]
    arrived: Arrived
    done: tuple[int, int]
    """how many were looked at, and how many are to be"""

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        self.who = who
        self.draft = Draft(logbook)
        self.is_decided = False
        """the draft is gone, and so is this page in a moment"""
        super().__init__(logbook)
        self._reasons = Paragraphs("reasons")

    def read(self) -> None:
        """What is advised, by what was looked at so far."""
        if self.is_decided:
            return
        self.arrived, self.done = self.draft.judged(), self.draft.opened()

    def on_screen_resume(self) -> None:
        """Back from the look."""
        self.read()
        self.paint()

    def told(self) -> Told:
        """What came, what is advised; the lines."""
        today = self.logbook.clock.today()
        delivery = self.draft.delivery
        came = words.say("arrival.page.came", units=delivery.units, source=delivery.source)
        verdict = words.say(f"arrival.verdict.{self.arrived.verdict.code}")
        return Told(
            title=words.say("arrival.form.title"),
            clock=calendar_day(today, today),
            above=[
                Paragraph(came, rows=2),
                *(Paragraph(line, "quiet", may_go=True) for line in found_lines(self.arrived)),
                Paragraph(verdict, "strong", rows=2),
            ],
            lines=[ListLine({"line": line}) for line in self._lines()],
            message=self.said,
            asked=self.asked,
        )

    def body(self) -> Iterable[Widget]:
        """The lines, and under them the reasons."""
        yield from super().body()
        yield self._reasons

    def show_body(self, told: Told, frame: Page) -> None:
        """Show them; a reason that has no room stands in help."""
        super().show_body(told, frame)
        self._reasons.show([(reason, "quiet") for reason in self._why()])

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """All reasons."""
        return [(reason, "") for reason in self._why()]

    def lines_count(self) -> int:
        """What can be done."""
        return len(DOES)

    def open_line(self, index: int) -> None:
        """Look, or ask whether to take or leave it."""
        does = DOES[index]
        if does == "look":
            self._look()
            return
        units = self.draft.delivery.units
        said = {
            "take": words.say("arrival.page.ask-take", units=units),
            "leave": words.say("arrival.page.ask-leave"),
        }[does]
        answers = {"yes": does, "no": "not-done"}
        self.ask(said, ("yes", "no"), lambda role: self._decided(does, role), said=answers)

    def action_leave(self) -> None:
        """Back to the menu; the delivery waits there."""
        self.draft.close()
        super().action_leave()

    def _look(self) -> None:
        try:
            walk = self.draft.walk(self.who)
        except RoundsError as fault:
            self.message = sentence_of(fault)
        else:
            self.app.push_screen(RoundScreen(walk, of_delivery=True))

    def _decided(self, does: str, role: str) -> None:
        if role != "yes":
            return
        if does == "take":
            plants = self.draft.take(self.who)
            codes = codes_text(plant.code for plant in plants)
            said = words.say("arrival.page.taken", codes=codes)
        else:
            self.draft.forget()
            said = words.say("arrival.page.left")
        self.is_decided = True
        below = self.app.screen_stack[-2]
        self.app.pop_screen()
        if isinstance(below, PageScreen):
            below.message = said
            below.paint()

    def _lines(self) -> list[str]:
        done, count = self.done
        delivery = self.draft.delivery
        return [
            words.say("arrival.page.look", done=done, count=count),
            words.say("arrival.page.take", units=delivery.units),
            words.say("arrival.page.leave"),
        ]

    def _why(self) -> list[str]:
        return [reason.text for reason in self.arrived.verdict.reasons]
