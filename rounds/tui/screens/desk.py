"""The desk: the way to what is done now and then."""

from collections.abc import Callable
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.arrival.drafted import is_drafted
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.settings import keeper
from rounds.tui.forms.away import away_form
from rounds.tui.forms.delivery import delivery_form
from rounds.tui.forms.dilution import dilution_form
from rounds.tui.forms.place import new_place_form
from rounds.tui.forms.plant import new_plant_form
from rounds.tui.forms.temperatures import temperatures_form
from rounds.tui.pages.told import ListLine, Paragraph, Told
from rounds.tui.screens.arrival import ArrivalScreen
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.leaving import LeavingScreen
from rounds.tui.screens.list_screen import list_bindings
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.screens.season import SeasonScreen
from rounds.tui.screens.settings import SettingsScreen
from rounds.tui.screens.sheet_entry import SheetEntryScreen
from rounds.tui.screens.sums import SumsScreen
from rounds.tui.screens.values import ValuesScreen
from rounds.words.forms import calendar_day

Opener = Callable[[Logbook, str | None], PageScreen]
"""From the logbook, and who is at the keyboard, to the page a line opens."""

OF_SETTINGS = ("who", "settings")
"""Lines whose pages are told who was named at the start, as they change who is kept."""

LINES: tuple[tuple[str, Opener], ...] = (
    ("new-plant", lambda logbook, _: new_plant_form(logbook)),
    ("delivery", lambda logbook, who: _delivery(logbook, who)),
    ("new-place", lambda logbook, _: new_place_form(logbook)),
    ("from-sheet", SheetEntryScreen),
    ("away", away_form),
    ("leaving", LeavingScreen),
    ("temperatures", lambda logbook, _: temperatures_form(logbook)),
    ("dilution", lambda logbook, _: dilution_form(logbook)),
    ("sums", SumsScreen),
    ("who", lambda logbook, given: SettingsScreen(logbook, given, "who")),
    ("settings", SettingsScreen),
    ("values", ValuesScreen),
    ("season", SeasonScreen),
    ("charts", lambda logbook, _: _charts(logbook)),
)
"""What is to be had, most wanted first."""


def _delivery(logbook: Logbook, who: str | None) -> PageScreen:
    """The delivery that is being looked at; else the form that begins one."""
    return ArrivalScreen(logbook, who) if is_drafted(logbook) else delivery_form(logbook, who)


def _charts(logbook: Logbook) -> PageScreen:
    """The charts of all plants; loaded where they are opened."""
    from rounds.tui.screens.charts import ChartsScreen

    return ChartsScreen(logbook)


def name_of(code: str) -> str:
    """A line in words: of its own, or the title of its page."""
    return words.section("desk.line").get(code) or words.title(code)


class DeskScreen(LaidOut):
    """Numbered lines; each opens a page or a form."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings("desk", [("help", "help")])
    HELP = "desk"
    COLUMNS = ("line",)

    def __init__(self, logbook: Logbook, given: str | None) -> None:
        """`given` is who was named at the start, if anybody was."""
        super().__init__()
        self.logbook = logbook
        self.given = given

    def told(self) -> Told:
        """What is done now and then."""
        today = self.logbook.clock.today()
        return Told(
            title=words.say("desk.title"),
            clock=calendar_day(today, today),
            above=[Paragraph(words.say("desk.lead"), may_go=True)],
            lines=[ListLine({"line": name_of(code)}) for code, _ in LINES],
            message=self.said,
        )

    def lines_count(self) -> int:
        """As many as there are openers."""
        return len(LINES)

    def open_line(self, index: int) -> None:
        """The page or form of a line."""
        code, opener = LINES[index]
        who = self.given if code in OF_SETTINGS else keeper(self.logbook, self.given)
        self.app.push_screen(opener(self.logbook, who))
