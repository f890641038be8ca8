"""The history of one plant, and one visit of it where single entries are put right."""

from datetime import date
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.logbook.book import Logbook
from rounds.service.plant.detail import entry_sentence
from rounds.service.plant.visits import EntryLine, Visit
from rounds.tui.forms.correct import replace_form
from rounds.tui.page import Page
from rounds.tui.pages.history import (
    HistoryView,
    VisitView,
    history_page,
    state_text,
    visit_page,
)
from rounds.tui.screens.asking import asking_bindings
from rounds.tui.screens.of_plant import EVER, OfPlant
from rounds.words.forms import day_month


class HistoryScreen(OfPlant):
    """A line opens a visit, one of the plant it came from too; a move is taken back from here."""

    HELP = "history"
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings("history", "yes", "no")
    days_told = EVER

    def list_page(self, width: int, height: int) -> Page:
        """The history."""
        view = HistoryView(self.detail, self.mark, self.said, self.asked)
        return history_page(view, width, height)

    def lines_count(self) -> int:
        """All that happened."""
        return len(self.detail.history)

    def open_line(self, index: int) -> None:
        """A visit has its own page."""
        line = self.detail.history[index]
        visit = line.visit
        if visit is not None:
            code = line.of or self.code
            self.app.push_screen(VisitScreen(self.logbook, code, visit.day, visit.round_id))
        else:
            self._take_back(index)

    def pressed(self, role: str) -> None:
        """x takes back what is marked where that is a single entry."""
        if role == "take-back" and self.lines_count():
            self._take_back(self.mark)
        else:
            super().pressed(role)

    def _take_back(self, index: int) -> None:
        line = self.detail.history[index]
        if line.of is not None:
            self.message = words.say("origins.history.put-right-there", code=line.of)
        elif line.visit is not None:
            changeable = [entry for entry in line.visit.entries() if entry.can_change]
            if len(changeable) == 1:
                what = entry_sentence(changeable[0], line.day, self.detail.on)
                self.ask_take_back(changeable[0].id, what)
            else:
                self.message = words.say("plant.said.open-first")
        elif line.entry is not None:
            day = day_month(line.day, self.detail.on)
            what = words.say("plant.entry.when-day", what=line.text, day=day)
            self.ask_take_back(line.entry, what)
        else:
            self.message = words.say("plant.said.not-this")


class VisitScreen(OfPlant):
    """The entries of one visit; enter on one asks what is wrong with it."""

    HELP = "visit"
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings(
        "visit", "yes", "no", "remains", "doubtful", "not-now"
    )
    visit: Visit
    entries: tuple[EntryLine, ...]

    def __init__(self, logbook: Logbook, code: str, day: date, round_id: int) -> None:
        self._day, self._round_id = day, round_id
        self.days_told = day, day
        super().__init__(logbook, code)

    def read(self) -> None:
        """The visit as it stands: nothing that was entered ever leaves it."""
        super().read()
        self.visit = next(
            line.visit
            for line in self.detail.history
            if line.visit is not None
            # a round may have looked at the plant it came from on the same day
            and line.of is None
            and (line.visit.day, line.visit.round_id) == (self._day, self._round_id)
        )
        self.entries = self.visit.entries()

    def list_page(self, width: int, height: int) -> Page:
        """The entries."""
        view = VisitView(self.detail, self.visit, self.entries, self.mark, self.said, self.asked)
        return visit_page(view, width, height)

    def lines_count(self) -> int:
        """Looks and counts."""
        return len(self.entries)

    def open_line(self, index: int) -> None:
        """Ask what is wrong with an entry, or what a doubt was."""
        entry = self.entries[index]
        what = entry_sentence(entry, self.visit.day, self.detail.on)
        if not entry.can_change:
            self._say_why_not(entry, what)
            return
        if entry.kind == "sign":
            self.ask_take_back(entry.id, what)
            return
        roles = ("take-back", "begin", "not-now")
        if not entry.is_doubt:
            self.ask(words.say("plant.ask.entry", what=what), roles, self._correct)
            return
        verdicts = ("yes", "remains", "no")
        aid = words.say("plant.doubts.aid")
        said = {"yes": "alive", "no": "not-an-insect"}
        if entry.settled_as is None:
            text = words.say("plant.ask.doubt", what=what)
            self.ask(text, (*verdicts, *roles), self._correct, said=said, aid=aid)
        else:
            text = words.say("plant.ask.settled", what=what, state=state_text(entry))
            self.ask(text, (*verdicts, "doubtful", *roles), self._correct, said=said, aid=aid)

    def pressed(self, role: str) -> None:
        """x takes the marked entry back, after asking."""
        if role != "take-back":
            super().pressed(role)
            return
        entry = self.entries[self.mark]
        what = entry_sentence(entry, self.visit.day, self.detail.on)
        if entry.can_change:
            self.ask_take_back(entry.id, what)
        else:
            self._say_why_not(entry, what)

    def _say_why_not(self, entry: EntryLine, what: str) -> None:
        if entry.state == "open":
            self.message = words.say("plant.said.still-open", what=what)
        else:
            state = state_text(entry)
            self.message = words.say("plant.said.no-more", what=what, state=state)

    def _correct(self, role: str) -> None:
        entry = self.entries[self.mark]
        what = entry_sentence(entry, self.visit.day, self.detail.on)
        if role == "take-back":
            self.take_back(entry.id, what)
        elif role == "begin":
            self.app.push_screen(replace_form(self.logbook, entry.id))
        elif role != "not-now":
            self.settle_as(entry.id, role, what)
