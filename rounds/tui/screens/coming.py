"""The next days, as things stand."""

from datetime import date, timedelta
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.core.away import stretches
from rounds.service.logbook.book import Logbook
from rounds.service.plan.coming import DAYS, Coming, coming
from rounds.service.plant.reasons import stretch_text
from rounds.tui.pages.parts import STANDING_MARK
from rounds.tui.pages.told import ListLine, Paragraph, Said, Told
from rounds.tui.screens.frame import LARGE
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.leaving import LeavingScreen
from rounds.tui.screens.list_screen import list_bindings
from rounds.tui.screens.plant import PlantScreen
from rounds.words.forms import calendar_day, codes_text, days_text, number


class ComingScreen(LaidOut, sheet="coming"):
    """What is expected of which plant, as far as it is worked out."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings("coming", [("help", "help")])
    HELP = "coming"
    COLUMNS = ("day", "code", "who", "what", "brief", "means")

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

    def told(self) -> Told:
        """A line for each thing that is expected; at the foot what the marked one means."""
        on = self.day.on
        heads = {name: _say(f"column-{name}") for name in ("day", "who", "what", "means")}
        return Told(
            title=_say("title"),
            middle=_say("span", day=calendar_day(on + timedelta(days=DAYS), on)),
            clock=calendar_day(on, on),
            above=[
                Paragraph(_say("lead"), may_go=True),
                *([] if self.lines else [Paragraph(_say("none", days=DAYS))]),
            ],
            heads=heads if self.lines else {},
            lines=[_line(line, on) for line in self.lines],
            message=self.said,
            otherwise=self._notes(),
        )

    def _notes(self) -> list[str]:
        """What is not known yet; else what the marked line means, and what is assumed."""
        waiting = [status.code for status in self.day.ordered if not status.is_forecast]
        if waiting:
            return [_say("working-out", codes=codes_text(waiting))]
        notes = []
        if self.lines and self.app.size.width < LARGE:
            marked = self.lines[self.mark]
            meaning = _meaning(marked, self.day.on)
            notes.append(_say("marked", what=_say(marked.kind), meaning=meaning))
        told = (line.status for line in self.lines if line.status is not None)
        if any(status.temperature_assumed for status in told):
            notes.append(_say("assumed", usual=number(self.day.choices.usual_c)))
        return notes

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


def _line(line: Coming, on: date) -> ListLine:
    status = line.status
    away = days_text(line.away.days) if line.away else ""
    sign = STANDING_MARK.get(status.standing, "").strip() if status else ""
    cells: dict[str, str | Said] = {
        "day": calendar_day(line.on, on),
        "code": status.code if status else away,
        "who": f"{status.code}  {status.name}" if status else away,
        "what": _say(line.kind),
        "brief": _say(f"{line.kind}-narrow"),
        "means": (_meaning(line, on), "quiet"),
    }
    return ListLine(cells, (sign, "apart"))


def _meaning(line: Coming, on: date) -> str:
    """What a line means: what is to be done, or what is still waited for."""
    if line.waits:
        what = [words.say(f"quarantine.short.{code}") for code in line.waits]
        return _say("means.then-still", what=", ".join(what))
    if line.brood is not None:
        return _say(f"means.{line.kind}", day=calendar_day(line.brood.laid_by, on))
    if line.away is not None:
        return _say(f"means.{line.kind}", span=stretch_text(line.away, on))
    known = words.section("sight.coming.means")
    return known.get(line.kind) or _say("means.then-all")


def _say(code: str, **values: object) -> str:
    return words.say(f"sight.coming.{code}", **values)
