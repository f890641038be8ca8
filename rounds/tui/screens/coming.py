"""Today and the next days, as things stand: what is due, and since when it waits."""

from datetime import date, timedelta
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.core.away import stretches
from rounds.service.courses.together import same_step
from rounds.service.logbook.book import Logbook
from rounds.service.plan.agenda import (
    ROUND,
    AgendaLine,
    agenda,
    shared_by,
    with_round,
    with_shared,
)
from rounds.service.plan.coming import DAYS
from rounds.service.plan.today import ASKS_NEXT
from rounds.tui.pages.parts import STANDING_MARK
from rounds.tui.pages.told import ListLine, Paragraph, Said, Told
from rounds.tui.screens.courses import CoursesScreen
from rounds.tui.screens.frame import LARGE
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.leaving import LeavingScreen
from rounds.tui.screens.list_screen import list_bindings
from rounds.tui.screens.page_screen import ReadsAgain
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.steps import StepsScreen
from rounds.words.forms import (
    brief_day,
    calendar_day,
    codes_text,
    day_month,
    temperature,
)


class ComingScreen(LaidOut, ReadsAgain, sheet="coming"):
    """What is due of which plant, as far as it is worked out; left for the round by its line.

    The same of several plants on one day is one line, which opens the page again with these alone.
    """

    BINDINGS: ClassVar[list[BindingType]] = list_bindings("coming", [("help", "help")])
    HELP = "coming"
    COLUMNS = ("day", "date", "code", "who", "what", "brief", "means")

    def __init__(self, logbook: Logbook, who: str | None, of: AgendaLine | None = None) -> None:
        """`of` stands for several plants, which alone are told."""
        super().__init__()
        self.logbook = logbook
        self.who = who
        self.of = of
        self.each: list[AgendaLine] = []
        """what is expected, none of it taken together"""
        self.day = self.days.today()
        self.lines: list[AgendaLine] = self._expected()

    def reload(self) -> None:
        """What is expected now; the mark stays on its line, or near it."""
        self.day = self.days.after(self.day)
        marked = self.lines[self.mark] if self.lines else None
        self.lines = self._expected()
        at = (index for index, line in enumerate(self.lines) if _is_same(line, marked))
        self.mark = max(0, min(next(at, self.mark), len(self.lines) - 1))
        self.paint()

    def told(self) -> Told:
        """A line for each thing that is expected; at the foot what the marked one means."""
        on, of = self.day.on, self.of
        heads = {name: _say(f"column-{name}") for name in ("day", "who", "what", "means")}
        return Told(
            title=_say("title"),
            middle=of.what if of else _say("span", day=calendar_day(on + timedelta(days=DAYS), on)),
            narrow_title=of.what if of else "",
            clock=calendar_day(on, on),
            above=[
                Paragraph(_say("lead"), may_go=True),
                *([] if self.lines else [Paragraph(self._none())]),
            ],
            heads=heads if self.lines else {},
            lines=[_line(line, on) for line in self.lines],
            message=self.said,
            otherwise=self._notes(),
        )

    def _none(self) -> str:
        return _say("none-then") if self.of else _say("none", days=DAYS)

    def _notes(self) -> list[str]:
        """What is not known yet; else what the marked line means, and what is assumed."""
        waiting = [status.code for status in self.day.ordered if not status.is_forecast]
        if waiting:
            return [_say("working-out", codes=codes_text(waiting))]
        notes = []
        if self.lines and self.app.size.width < LARGE:
            marked = self.lines[self.mark]
            notes.append(_marked_text(marked))
        told = (line.status for line in self.each if line.status is not None)
        if any(status.temperature_assumed for status in told):
            notes.append(_say("assumed", usual=temperature(self.day.choices.usual_c)))
        return notes

    def lines_count(self) -> int:
        """As many as are expected."""
        return len(self.lines)

    def open_line(self, index: int) -> None:
        """The page of the plant, of a step of a course that of its courses, or of all at which it
        is due; who several plants are; the round of today; of days away, what to do before."""
        line = self.lines[index]
        if line.kind == ROUND:
            self.dismiss(None)
            return
        if line.is_shared and line.course is None:
            self.app.push_screen(ComingScreen(self.logbook, self.who, line))
            return
        code = line.code
        if line.course is not None and line.is_shared:
            step = same_step(line.course)
            self.app.push_screen(StepsScreen(self.logbook, step, line.on, self.who))
        elif code is not None and (line.course is not None or line.kind in ASKS_NEXT):
            self.app.push_screen(CoursesScreen(self.logbook, code, self.who))
        elif code is None:
            self.app.push_screen(LeavingScreen(self.logbook, self.who))
        else:
            self.app.push_screen(PlantScreen(self.logbook, code, self.who))

    def _expected(self) -> list[AgendaLine]:
        day = self.day
        each = agenda(day.ordered, day.on, away=stretches(day.away), emptied=day.emptied)
        self.each = shared_by(each, self.of) if self.of else each
        return self.each if self.of else with_round(with_shared(each), day.on)


def _is_same(line: AgendaLine, other: AgendaLine | None) -> bool:
    """Whether two lines tell the same, however much of the plant is known by now."""
    if other is None:
        return False
    same = ((of.on, of.kind, of.code, of.thing) for of in (line, other))
    return next(same) == next(same)


def _line(line: AgendaLine, on: date) -> ListLine:
    status = line.status
    sign = STANDING_MARK.get(status.standing, "").strip() if status else ""
    code = line.code or line.about
    cells: dict[str, str | Said] = {
        "day": day_month(line.on, on),
        "date": brief_day(line.on, on),
        "code": code,
        "who": f"{status.code}  {status.name}" if status else code,
        "what": line.what,
        "brief": line.brief,
        "means": (line.waiting if line.waits else line.means, "quiet"),
    }
    return ListLine(cells, (sign, "apart"))


def _marked_text(line: AgendaLine) -> str:
    """The marked line in full: what is due, since when it waits, what it means."""
    meaning = line.why or line.means
    return _say("marked", what=line.text, meaning=meaning) if meaning else line.text


def _say(code: str, **values: object) -> str:
    return words.say(f"sight.coming.{code}", **values)
