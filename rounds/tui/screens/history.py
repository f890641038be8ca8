"""The history of one plant, and one visit of it where single entries are put right."""

from datetime import date
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.logbook.book import Logbook
from rounds.service.plant.detail import PlantDetail, entry_sentence
from rounds.service.plant.timeline import HistoryLine
from rounds.service.plant.visits import EntryLine, Visit
from rounds.tui.forms.correct import replace_form
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Role
from rounds.tui.pages.parts import STANDING_MARK, as_many_as_fit, hint
from rounds.tui.pages.told import Fitting, ListLine, Paragraph, Said, Told
from rounds.tui.screens.asking import asking_bindings
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.of_plant import EVER, OfPlant
from rounds.words.forms import calendar_day, day_month, looks_text

MARKS: dict[str, Said] = {
    "apart": (STANDING_MARK["quarantine"].strip(), "apart"),
    "watch": (STANDING_MARK["watch"].strip(), "apart"),
}


class HistoryScreen(LaidOut, OfPlant, sheet="history"):
    """A line opens a visit, one of the plant it came from too; a move is taken back from here."""

    HELP = "history"
    COLUMNS = ("when", "day", "what", "brief", "who")
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings("history", "yes", "no")
    days_told = EVER

    def told(self) -> Told:
        """One line a visit, a move, a time apart, a change; newest first."""
        detail, lines = self.detail, self.detail.history
        return Told(
            title=words.say("plant.history-title"),
            clock=calendar_day(detail.on, detail.on),
            status=detail.status,
            above=[Paragraph(_counted(detail), rows=2)],
            lines=[_history_line(line, detail) for line in lines],
            message=self.said,
            asked=self.asked,
            # whole, as its row may have no room for all of it
            otherwise=[lines[self.mark].text] if lines else [],
            second=hint("take-back"),
        )

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


class VisitScreen(LaidOut, OfPlant, sheet="visit"):
    """The entries of one visit; enter on one asks what is wrong with it."""

    HELP = "visit"
    COLUMNS = ("zone", "text", "state", "brief")
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

    def told(self) -> Told:
        """The looks of one visit, each with its counts, and whether they still stand."""
        on, visit = self.detail.on, self.visit
        day = calendar_day(visit.day, on)
        code = "visit-title-time" if visit.time else "visit-title"
        return Told(
            title=words.say(f"plant.{code}", day=day, time=visit.time),
            middle=words.say("plant.by", who=visit.who) if visit.who else "",
            clock=calendar_day(on, on),
            status=self.detail.status,
            above=[Paragraph(visit.text, rows=2)],
            lines=[_entry_line(entry) for entry in self.entries],
            message=self.said,
            asked=self.asked,
            second=hint("take-back"),
            opens=KeyHint(key_of("begin"), words.say("plant.keys.correct")),
        )

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


def _counted(detail: PlantDetail) -> str:
    visits = [line.visit for line in detail.history if line.visit and not line.is_withdrawn]
    if not visits:
        return words.say("plant.never-looked")
    found = sum(1 for visit in visits if visit.found)
    looks = looks_text(len(visits))
    return words.say("plant.looked" if found else "plant.looked-nothing", looks=looks, found=found)


def _history_line(line: HistoryLine, detail: PlantDetail) -> ListLine:
    day = calendar_day(line.day, detail.on)
    ink: Role = "quiet" if line.is_withdrawn else "ink"
    cells: dict[str, str | Said | Fitting] = {
        "when": (f"{day} {line.time}".strip(), ink),
        "day": (day, ink),
        "what": _whole_parts(line.text, words.say("forms.and"), ink),
        "brief": _whole_parts(line.short, words.say("desk_forms.parts.list"), ink),
        "who": (line.who or "", "quiet"),
    }
    return ListLine(cells, _mark_of(line))


def _whole_parts(text: str, joint: str, role: Role) -> Fitting:
    """A text by its parts, none of them cut in its middle: what has no room is counted."""
    return Fitting(lambda room: as_many_as_fit(text.split(joint), joint, room), role)


def _mark_of(line: HistoryLine) -> Said:
    """Found alive, doubtful, a wall; each has its word in the line."""
    if line.visit is not None and line.visit.found:
        return "*", "find"
    if line.visit is not None and line.visit.open_doubts:
        return "?", "doubt"
    return MARKS.get(line.kind, ("", "ink"))


def _entry_line(entry: EntryLine) -> ListLine:
    """A look with its zone; under it, further in, what was counted."""
    state = state_text(entry)
    stands = entry.state in ("stands", "open")
    is_look = entry.kind == "look"
    ink: Role = "ink" if stands else "quiet"
    # where room is short the state comes first: an end may be cut
    brief = words.say("plant.state.and-text", state=state, text=entry.text) if state else entry.text
    indent = "" if is_look else "  "
    cells: dict[str, str | Said] = {
        "zone": (entry.zone_name() if is_look else "", ink),
        "text": (f"{indent}{entry.text}", ink),
        "state": (state, "doubt" if entry.is_open_doubt else "quiet"),
        "brief": (f"{indent}{brief}", ink),
    }
    return ListLine(cells, _sign_of(entry) if stands and not is_look else ("", "ink"))


def _sign_of(entry: EntryLine) -> Said:
    """Doubtful, or found alive."""
    if entry.is_open_doubt:
        return "?", "doubt"
    return ("*", "find") if entry.kind == "tally" and entry.is_find else ("", "ink")


def state_text(entry: EntryLine) -> str:
    """What became of an entry; empty where it simply stands."""
    if entry.state in ("stands", "open") and entry.is_doubt:
        return words.say(f"plant.state.{entry.settled_as or 'doubt'}")
    if entry.state == "stands":
        return ""
    return words.say(f"plant.state.{entry.state}")
