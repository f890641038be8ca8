"""All plants: in one order or another, all or some, each a step from its own page."""

from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds.service.day.day import Day
from rounds.service.logbook.book import Logbook
from rounds.service.plan.ranking import (
    CHOICES,
    ORDERS,
    PlantLine,
    Ranking,
    chosen_lines,
    matching_lines,
    rank,
    sorted_lines,
)
from rounds.tui.forms.plant import new_plant_form
from rounds.tui.keys import bindings, key_of, pressed
from rounds.tui.page import Page
from rounds.tui.pages.parts import say, typing_keys
from rounds.tui.pages.plants import PlantsView, plants_told, put_plants_keys
from rounds.tui.pages.risk import parts_behind, put_bars
from rounds.tui.pages.told import Told
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.list_screen import list_bindings
from rounds.tui.screens.page_screen import ReadsAgain
from rounds.tui.screens.plant import PlantScreen

MOST_TYPED = 80
NOT_LISTED = 14
"""Rows of a page that are not those of its list."""


class PlantsScreen(LaidOut, ReadsAgain, sheet="plants"):
    """The ranking of today's plants."""

    HELP = "plants"
    COLUMNS = ("plant", "told", "streak", "last-look", "last-find", "risk", "was", "looked")
    BINDINGS: ClassVar[list[BindingType]] = [
        *list_bindings("plants", [("order", "order"), ("plants", "which"), ("help", "help")]),
        *bindings("plants", [("yes", "yes"), ("no", "no")]),
    ]

    def __init__(self, logbook: Logbook, who: str | None = None) -> None:
        super().__init__()
        self.logbook = logbook
        self.who = who
        self.order = next(iter(ORDERS))
        self.which = next(iter(CHOICES))
        self.asks_new: str | None = None
        self.day = self.days.today()
        self.ranking = self._ranked()
        self.shown: list[PlantLine] = []
        self._choose()

    def _ranked(self) -> Ranking:
        return rank(self.day.ordered, self.day.plan, self.day.on)

    def _in_sight(self) -> list[int]:
        """The plants of the lines that are shown, the marked one first."""
        seen = self._rows.in_sight()
        lines = self.shown[seen.start : seen.stop]
        marked = self.shown[self.mark : self.mark + 1]
        return [line.status.plant_id for line in (*marked, *lines)]

    def _tell_hidden(self) -> None:
        """Other lines may have come in sight, whose risks were not looked up."""
        super()._tell_hidden()
        self.days.look_back(self.day, self._in_sight())

    def reload(self) -> None:
        """Show what is known now."""
        day = self.days.after(self.day)
        if day is not self.day:
            self._read_again(day)
        self.paint()

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """What the risk of the marked plant is made of, where a page has no room for bars."""
        if self.is_wide or not self.shown:
            return []
        return parts_behind(self.shown[self.mark].status.risk)

    def told(self) -> Told:
        """The marked plant, and the list."""
        return plants_told(self.view(), Page(*self.app.size, wide=self.is_wide))

    def put_beside(self, page: Page) -> int:
        """Put what the risk of the marked plant is made of."""
        if not self.shown:
            return 0
        return put_bars(page, page.height - NOT_LISTED, self.shown[self.mark].status.risk)

    def put_strip(self, page: Page, told: Told) -> None:
        """Put the keys, on the last two rows."""
        if told.asks is not None:
            typing_keys(page)
        else:
            put_plants_keys(page, self.view())

    def view(self) -> PlantsView:
        """What the page says."""
        return PlantsView(
            on=self.day.on,
            lines=self.shown,
            plants=len(self.ranking.lines),
            mark=self.mark,
            order=self.order,
            which=self.which,
            message=self.said,
            is_wide=self.is_wide,
            is_typing=self.line is not None,
            asks_new=self.asks_new,
            before=self.day.before,
            misfit=self.day.misfit,
        )

    def lines_count(self) -> int:
        """Those chosen."""
        return len(self.shown)

    def open_line(self, index: int) -> None:
        """A plant's own page."""
        self.app.push_screen(PlantScreen(self.logbook, self.shown[index].status.code, self.who))

    def open_number_nought(self) -> None:
        """Ask for a name or a code."""
        self.begin_line(most=MOST_TYPED)

    def new_plant(self, typed: str) -> None:
        """The form of a new plant, with what was typed in it."""
        self.app.push_screen(new_plant_form(self.logbook, typed))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a name is typed, letters are text; answers count where something is asked."""
        is_idle = self.asks_new is None and action in ("yes", "no")
        return not is_idle and super().check_action(action, parameters)

    def on_key(self, event: events.Key) -> None:
        """A key closes the question it does not answer."""
        if pressed(event) not in (key_of("help"), key_of("yes"), key_of("no")):
            self.asks_new = None
            self.paint()

    def action_order(self) -> None:
        """The next order, from its first line."""
        self.order = _after(self.order, list(ORDERS))
        self._choose()
        self.move_mark(-self.mark)

    def action_which(self) -> None:
        """The next choice, from its first line."""
        self.which = _after(self.which, list(CHOICES))
        self._choose()
        self.move_mark(-self.mark)

    def action_yes(self) -> None:
        """Enter a plant of the name nobody has."""
        typed, self.asks_new = self.asks_new, None
        self.paint()
        if typed is not None:
            self.new_plant(typed)

    def action_no(self) -> None:
        """Do not enter a new plant of that name."""
        self.asks_new = None
        self.paint()

    def line_taken(self, given: str) -> None:
        """Find a plant of that name or code."""
        self.end_line()
        if given:
            self._find(given)
        self.paint()

    def _find(self, typed: str) -> None:
        """Mark the next plant of that name or code; among all where those chosen have none."""
        if not matching_lines(self.shown, typed):
            if not matching_lines(self.ranking.lines, typed):
                self._not_here(typed)
                return
            self.which = next(iter(CHOICES))
            self._choose()
        found = {line.status.plant_id for line in matching_lines(self.shown, typed)}
        at = [index for index, line in enumerate(self.shown) if line.status.plant_id in found]
        number = next((n for n, index in enumerate(at) if index > self.mark), 0)
        self.mark = at[number]
        if len(at) > 1:
            values = {"number": number + 1, "count": len(at), "typed": typed}
            self.message = say("plants.found-several", **values)

    def _not_here(self, typed: str) -> None:
        """Open the page of a plant that is gone; else ask whether to enter a new one."""
        gone = self.logbook.collection().plant(typed)
        if gone is not None:
            self.app.push_screen(PlantScreen(self.logbook, gone.code, self.who))
        else:
            self.asks_new = typed

    def _choose(self) -> None:
        self.shown = sorted_lines(chosen_lines(self.ranking.lines, self.which), self.order)

    def _read_again(self, day: Day) -> None:
        """Show another or a fuller day; the mark stays on its plant, or goes to a new one."""
        before = {line.status.plant_id for line in self.ranking.lines}
        marked = self.shown[self.mark].status.plant_id if self.shown else None
        self.day = day
        self.ranking = self._ranked()
        new = [
            line.status.plant_id
            for line in self.ranking.lines
            if line.status.plant_id not in before
        ]
        if new:
            marked, self.which = new[0], next(iter(CHOICES))
        self._choose()
        at = (index for index, line in enumerate(self.shown) if line.status.plant_id == marked)
        self.mark = next(at, max(0, min(self.mark, len(self.shown) - 1)))


def _after(code: str, codes: list[str]) -> str:
    """The code after one, the first after the last."""
    return codes[(codes.index(code) + 1) % len(codes)]
