"""The first screen."""

from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds import words
from rounds.errors import RoundsError
from rounds.service.logbook import Logbook
from rounds.service.round import begin, is_under_way, left_at, resume
from rounds.service.round.describe import standing_text, where_text
from rounds.service.standing import PlantRecord
from rounds.service.today import DayPlan, plan_day
from rounds.tui.keys import FIGURES, bindings
from rounds.tui.page import FIRST, Page
from rounds.tui.pages.help import help_page
from rounds.tui.pages.parts import say
from rounds.tui.pages.today import TodayView, lines_of, today_page
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.sheet_screen import SheetScreen
from rounds.tui.screens.typing import TypedLine
from rounds.words.forms import number

MOST_MINUTES = 600


class TodayScreen(SheetScreen):
    """Reads the plan again whenever it comes up."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(
        "today", [("leave", "leave"), ("begin", "begin"), ("minutes", "minutes"), ("help", "help")]
    )

    def __init__(self, who: str | None) -> None:
        super().__init__()
        self.who = who
        self.logbook: Logbook | None = None
        self.view: TodayView | None = None
        self.helping = False
        self.line: TypedLine | None = None
        self.number: int | None = None
        self.message = ""

    def open(self, logbook: Logbook) -> None:
        """The logbook is there: from now on there is something to say."""
        self.logbook = logbook
        self.reload()

    def on_screen_resume(self) -> None:
        """Back from a round or a page: the plan may be another."""
        if self.logbook is not None:
            self.reload()

    def reload(self) -> None:
        """Plan again, and paint."""
        if self.logbook is None:
            return
        today = self.logbook.clock.today()
        day = plan_day(self.logbook, today)
        first, why = self._first(self.logbook, day)
        self.view = TodayView(
            day=day,
            first=first,
            why=why,
            where=where_text(first) if first else "",
            standing_text=standing_text(first) if first else "",
            under_way=is_under_way(self.logbook, today) is not None,
            message=self.message,
            asks_minutes=self.line.text if self.line else None,
        )
        self.paint()

    def _first(self, logbook: Logbook, day: DayPlan) -> tuple[PlantRecord | None, str]:
        """Where the round was left, or who comes first; and the sentence why."""
        walk = is_under_way(logbook, day.on)
        left = left_at(logbook, walk) if walk else None
        if left is not None:
            zone = words.say(f"zones.{left.zone}.name")
            record = next((r for r in day.records if r.plant.id == left.plant_id), None)
            return record, say("today.under-way", zone=zone)
        if not day.plan:
            return None, ""
        reason = "; ".join(reason.text for reason in day.plan[0].reasons[:2])
        return day.plan[0].record, say("today.first-because", reason=reason)

    def page(self, width: int, height: int) -> Page:
        """The plan of the day, or help."""
        if self.helping:
            return help_page(say("help.today-title"), "", [], width, height)
        if self.view is None:
            page = Page(width, height)
            page.put(0, FIRST, say("today.opening"), "quiet")
            return page
        return today_page(self.view, width, height)

    def too_small(self) -> str:
        """What is needed."""
        return say("too-small.bare")

    def on_key(self, event: events.Key) -> None:
        """A typed line, or the number of a line to open."""
        if self.line is not None:
            event.stop()
            event.prevent_default()
            self._type(event)
        elif event.key in FIGURES and self.view is not None:
            self.helping = False
            self._choose(int(event.key))
        elif event.key not in ("enter", "h", "H"):
            self.number = None
            self._close_help()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a line is typed, letters are text."""
        return not (self.line is not None and action in ("leave", "begin", "minutes", "help"))

    def action_leave(self) -> None:
        """All is saved."""
        self.app.exit()

    def action_help(self) -> None:
        """Help opens and closes."""
        self.helping = not self.helping
        self.paint()

    def action_minutes(self) -> None:
        """Ask for the minutes there are."""
        self._close_help()
        self.line, self.message = TypedLine(6), ""
        self.reload()

    def action_begin(self) -> None:
        """Open the chosen line; else begin the round, or go on where it was left."""
        self._close_help()
        if self.logbook is None or self.view is None:
            return
        if self.number is not None:
            self._open_line(self.number)
            return
        self.message = ""
        try:
            walk = is_under_way(self.logbook, self.view.day.on)
            if walk is not None:
                self.app.push_screen(RoundScreen(resume(self.logbook, walk)))
            elif self.view.day.plan:
                # planned again: a minute or another hand may have passed since it was painted
                plan = plan_day(self.logbook, self.logbook.clock.today())
                self.app.push_screen(RoundScreen(begin(self.logbook, plan, self.who)))
        except RoundsError as fault:
            self.message = str(fault)
            self.reload()

    def _close_help(self) -> None:
        if self.helping:
            self.helping = False
            self.paint()

    def _choose(self, figure: int) -> None:
        lines = lines_of(self.view.day) if self.view else []
        known = 1 <= figure <= len(lines)
        self.number = figure if known else None
        self.message = say("today.asks-line" if known else "today.no-line", number=figure)
        self.reload()

    def _open_line(self, figure: int) -> None:
        self.number, self.message = None, ""
        if self.logbook is not None and self.view is not None:
            plant = lines_of(self.view.day)[figure - 1].plant
            self.app.push_screen(ReleaseScreen(self.logbook, plant.code))

    def _type(self, event: events.Key) -> None:
        done = self.line.key(event) if self.line else None
        if done is not None:
            self.line = None
            self.message = self._keep_minutes(done) if done else ""
        self.reload()

    def _keep_minutes(self, given: str) -> str:
        try:
            minutes = float(given.replace(",", "."))
        except ValueError:
            return say("today.minutes-bad", given=given)
        if not 1 <= minutes <= MOST_MINUTES:
            return say("today.minutes-bad", given=given)
        if self.logbook is not None:
            try:
                self.logbook.keep_minutes(minutes)
            except RoundsError as fault:
                return str(fault)
        return say("today.minutes-kept", minutes=number(minutes))
