"""Before leaving: what to look at first; the days away are taken back here."""

from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.collection.away_entry import name_of
from rounds.service.logbook.book import Logbook
from rounds.service.plan.leaving import Leaving, LeavingLine, before_leaving
from rounds.service.plant.reasons import stretch_text
from rounds.tui.pages.parts import STANDING_MARK, hint, whole_within
from rounds.tui.pages.told import Fitting, ListLine, Paragraph, Said, Told
from rounds.tui.screens.asking import AskingScreen, asking_bindings
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.plant import PlantScreen
from rounds.words.forms import calendar_day, codes_text, days_text, minutes_seconds

SAYS_WHY = ("quarantine", "watch", "found")
"""Codes of the reasons that name nothing to be done."""
MOST_ROWS = 5
"""of who is looked at meanwhile"""


class LeavingScreen(LaidOut, AskingScreen, sheet="leaving"):
    """Enter opens a plant; x takes the next days away back."""

    HELP = "leaving"
    COLUMNS = ("plant", "code", "time", "reasons", "meanwhile")
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

    def told(self) -> Told:
        """The days away, and what is looked at first, in the order of need."""
        leaving = self.leaving
        return Told(
            title=words.say("away.leaving.title"),
            middle=words.say("away.leaving.total", time=minutes_seconds(leaving.seconds)),
            clock=calendar_day(leaving.on, leaving.on),
            above=[
                Paragraph(_days(leaving), "strong", rows=1),
                Paragraph(_stand_in(leaving), "quiet", rows=MOST_ROWS, may_go=True),
            ],
            lines=[_line(line) for line in leaving.lines],
            message=self.said,
            asked=self.asked,
            second=hint("take-back") if leaving.stretch else None,
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


def _days(leaving: Leaving) -> str:
    if leaving.stretch is None:
        return words.say("away.leaving.none")
    span = stretch_text(leaving.stretch, leaving.on)
    return words.say("away.form.what", away=span, days=days_text(leaving.stretch.days))


def _stand_in(leaving: Leaving) -> str:
    """Who is looked at meanwhile, and by which rule."""
    if leaving.stretch is None:
        return words.say("away.leaving.how")
    if not leaving.lines:
        return words.say("away.list.nothing-before")
    if not leaving.stand_in:
        return words.say("away.leaving.no-stand-in")
    days = leaving.gap_days
    codes = codes_text(leaving.stand_in)
    return words.say("away.leaving.stand-in", codes=codes, days=days_text(days))


def _line(line: LeavingLine) -> ListLine:
    status = line.status
    meanwhile = words.say("away.leaving.meanwhile") if line.stand_in else ""
    # what is to be done comes before why it is looked at, which its sign says too
    reasons = sorted(line.reasons, key=lambda reason: reason.code in SAYS_WHY)
    cells: dict[str, str | Said | Fitting] = {
        "plant": f"{status.code}  {status.name}",
        "code": status.code,
        "time": minutes_seconds(line.seconds),
        "reasons": Fitting(lambda room: whole_within(reasons, room)),
        "meanwhile": (meanwhile, "quiet"),
    }
    return ListLine(cells, (STANDING_MARK.get(status.standing, "").strip(), "apart"))
