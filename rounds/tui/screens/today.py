"""The first screen."""

from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds import words
from rounds.errors import RoundsError
from rounds.service.day.day import Day
from rounds.service.day.work import unread_day
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.settings import LEAST_MINUTES, MOST_MINUTES, keeper
from rounds.service.plan.away import keep_minutes
from rounds.service.plan.price import change_text
from rounds.service.plan.today import DayPlan
from rounds.service.round import begin, resume
from rounds.service.round.shown.questions import ask_to_take_over
from rounds.service.round.view import Answer, Question
from rounds.service.round.walker import WALKED_ELSEWHERE
from rounds.tui.forms.plant import new_plant_form
from rounds.tui.keys import FIGURES, bindings, key_of, pressed
from rounds.tui.page import Page
from rounds.tui.pages.help import help_page
from rounds.tui.pages.parts import say
from rounds.tui.pages.today import TodayView, lines_of, today_page
from rounds.tui.screens.coming import ComingScreen
from rounds.tui.screens.desk import DeskScreen
from rounds.tui.screens.doubts import DoubtsScreen
from rounds.tui.screens.first_start import FirstStartScreen
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.round import RoundScreen
from rounds.words.forms import minutes_text

MOST_TYPED = 6
"""Characters of the minutes."""


class TodayScreen(PageScreen):
    """Shows what is known of today; what is not known yet comes while keys are answered."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(
        "today",
        [
            ("leave", "leave"),
            ("begin", "begin"),
            ("minutes", "minutes"),
            ("order", "order"),
            ("plants", "plants"),
            ("doubts", "doubts"),
            ("coming", "coming"),
            ("find", "find"),
            ("help", "help"),
            ("yes", "yes"),
            ("no", "no"),
        ],
    )

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        super().__init__()
        self.logbook = logbook
        self._who = who
        self.number: int | None = None
        self._chosen: str | None = None
        """the plant of the line with that number"""
        self.asked: Question | None = None
        self._then: Callable[[], None] = self.refresh_view
        """what a yes does"""
        self.begins = False
        """whether a round is to begin as soon as its plan is there"""
        self._compares: tuple[DayPlan, str] | None = None
        """the plan before other minutes were asked for, and what was said of these"""
        self.day: Day = self.days.after(unread_day(logbook, logbook.clock.today()))
        self.view = self._view()

    @property
    def who(self) -> str | None:
        """Who is at the keyboard."""
        return keeper(self.logbook, self._who)

    def on_screen_resume(self) -> None:
        """Back from a round or a page: the day may be another."""
        self.reload()

    def day_came(self) -> None:
        """Show the fuller day that was worked out."""
        self.reload()

    def day_failed(self, fault: RoundsError) -> None:
        """Say that the day cannot be planned for what was entered."""
        self.message, self.begins = sentence_of(fault), False
        self.refresh_view()

    def reload(self) -> None:
        """Show what is known now; begin the round that waited for its plan."""
        self.day = self.days.after(self.day)
        if self.begins and self.day.plan is not None:
            self.begins, self.message = False, ""
            self._walk(take_over=False)
        self._tell_change()
        self.refresh_view()

    def refresh_view(self) -> None:
        """Show what is planned, with what is asked and said now."""
        self.view = self._view()
        self.paint()

    def _view(self) -> TodayView:
        return TodayView(self.day, self.message, self.number, self.typed, self.asked)

    def page(self, width: int, height: int) -> Page:
        """The plan of the day, or help."""
        if self.helping:
            return help_page("today", "", [], width, height)
        view = replace(self.view, message=self.note) if self.note else self.view
        return today_page(view, width, height)

    def too_small(self) -> str:
        """The sentence shown where the terminal is too small."""
        return say("too-small.bare")

    def on_key(self, event: events.Key) -> None:
        """The number of a line to open; any other key closes what it does not answer."""
        key = pressed(event)
        if self.begins and key != key_of("begin"):
            self.begins, self.message = False, ""
            self.refresh_view()
        if self.asked is not None and not any(key == key_of(a.role) for a in self.asked.answers):
            self.asked = None
            self.refresh_view()
        if key in FIGURES:
            self.helping = False
            self._choose(int(key))
            event.prevent_default()
        elif key not in (key_of("begin"), key_of("help")):
            self._close_help()
            self._forget_number()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a line is typed, letters are text; answers count where something is asked."""
        is_idle = self.asked is None and action in ("yes", "no")
        return not is_idle and super().check_action(action, parameters)

    def action_leave(self) -> None:
        """End the program, as all is saved; where a round is open only when asked once more."""
        is_asked = self.asked is not None and self.asked.takes("leave")
        if self.day.under_way is None or is_asked:
            self.app.exit()
            return
        roles = ("yes", "no", "leave")
        answers = tuple(Answer(role, say(f"today.leave-{role}")) for role in roles)
        self._ask(Question("leave-open", say("today.leave-open"), answers), self.app.exit)

    def _ask(self, question: Question, then: Callable[[], None]) -> None:
        """Ask what a yes answers by doing something."""
        self.asked, self._then = question, then
        self.refresh_view()

    def action_minutes(self) -> None:
        """Ask for the minutes there are."""
        self._close_help()
        self.begin_line(most=MOST_TYPED)
        self.message = ""
        self.refresh_view()

    def action_order(self) -> None:
        """Switch the order of the round: from the clean side, or strictly by risk."""
        self._close_help()
        by_risk = not self.day.choices.by_risk
        try:
            self.logbook.walk_by_risk(by_risk)
            self.message = words.say("plan.by-risk-said" if by_risk else "plan.clean-first-said")
        except RoundsError as fault:
            self.message = str(fault)
        self.reload()

    def action_plants(self) -> None:
        """All plants."""
        self._close_help()
        self.message = ""
        self.app.push_screen(PlantsScreen(self.logbook, self.who))

    def action_doubts(self) -> None:
        """All doubts that are open."""
        self._close_help()
        self.message = ""
        self.app.push_screen(DoubtsScreen(self.logbook))

    def action_coming(self) -> None:
        """What the next days bring."""
        self._close_help()
        self.message = ""
        self.app.push_screen(ComingScreen(self.logbook, self.who), self._begin_now)

    def action_begin(self) -> None:
        """Open the chosen line; else begin the round, or go on where it was left."""
        self._close_help()
        if self.number is not None:
            self._open_line()
            return
        self.message = ""
        if not self.day.here:
            self.app.push_screen(new_plant_form(self.logbook))
        else:
            self._walk(take_over=False)

    def _begin_now(self, _: None) -> None:
        """Begin the round, as was chosen on the page of the next days."""
        self.number = None
        self.action_begin()

    def action_yes(self) -> None:
        """Do what was asked: take the round over from another window, or leave."""
        self.asked = None
        self._then()

    def action_no(self) -> None:
        """Leave the round to the other window, or stay."""
        self.asked = None
        self.refresh_view()

    def _walk(self, *, take_over: bool) -> None:
        """Go on with the round, or begin it; the day or the round may have changed meanwhile."""
        day = self.day = self.days.after(self.day)
        try:
            if day.under_way is not None:
                walk = resume(self.logbook, day.under_way.walk, self.who, take_over=take_over)
            elif day.plan is None:
                self._wait_for_plan(day)
                return
            elif day.plan.plan:
                walk = begin(self.logbook, day.plan, self.who)
            else:
                self.message = say("today.none-left")
                self.refresh_view()
                return
            self.app.push_screen(RoundScreen(walk))
        except RoundsError as fault:
            if fault.code in WALKED_ELSEWHERE:
                question = ask_to_take_over(fault.message)
                self._ask(question, lambda: self._walk(take_over=True))
            else:
                self.message = str(fault)
                self.refresh_view()

    def _wait_for_plan(self, day: Day) -> None:
        """Begin the round once its plan is there; say why where there can be none."""
        fault = self.days.fault_of(day)
        self.begins = fault is None
        self.message = sentence_of(fault) if fault else words.say("calculating.begins")
        self.refresh_view()

    def start_collection(self) -> None:
        """Lead through the first start, and into the first round."""
        self.app.push_screen(FirstStartScreen(self.logbook, self._who, self._first_round))

    def _first_round(self) -> None:
        self.reload()
        self._walk(take_over=False)

    def _close_help(self) -> None:
        if self.helping:
            self.helping = False
            self.paint()

    def _forget_number(self) -> None:
        if self.number is not None:
            self.number, self.message = None, ""
            self.refresh_view()

    def _choose(self, figure: int) -> None:
        further = 10 * (self.number or 0) + figure
        self._choose_number(further if further <= len(lines_of(self.day)) else figure)

    def _choose_number(self, number: int) -> None:
        lines = lines_of(self.day)
        known = number <= len(lines)
        self.number = number if known else None
        # lines may change places while figures come in: what was chosen is what is opened
        self._chosen = lines[number - 1].code if known and number else None
        code = "asks-desk" if number == 0 else "asks-line" if known else "no-line"
        self.message = say(f"today.{code}", number=number)
        self.refresh_view()

    def line_clicked(self, index: int) -> None:
        """Choose a line, as its number does; open it where it is chosen already."""
        if self.line is not None:
            return
        if self.number == index + 1:
            self._open_line()
        else:
            self._close_help()
            self._choose_number(index + 1)

    def _open_line(self) -> None:
        self.number, self.message = None, ""
        if self._chosen is None:
            self.open_desk()
        else:
            self.app.push_screen(PlantScreen(self.logbook, self._chosen, self.who))

    def on_input_changed(self) -> None:
        """Show the minutes typed so far."""
        self.refresh_view()

    def open_desk(self) -> None:
        """What is done now and then."""
        self.app.push_screen(DeskScreen(self.logbook, self._who))

    def line_taken(self, given: str) -> None:
        """Keep the minutes; an empty line leaves them."""
        self.end_line()
        self.message = self._keep_minutes(given) if given else ""
        if self.day.plan is not None:
            self._compares = self.day.plan, self.message
        self.reload()

    def _tell_change(self) -> None:
        """What other minutes change, as soon as the plan for them is there."""
        if self._compares is None or self.day.plan is None:
            return
        (before, said), self._compares = self._compares, None
        if self.message == said:
            parts = [said, change_text(before, self.day.plan)]
            self.message = words.say("forms.and").join(filter(None, parts))

    def _keep_minutes(self, given: str) -> str:
        try:
            minutes = float(given.replace(",", "."))
        except ValueError:
            return say("today.minutes-bad", given=given)
        if not LEAST_MINUTES <= minutes <= MOST_MINUTES:
            return say("today.minutes-bad", given=given)
        try:
            is_for_today = keep_minutes(self.logbook, self.day.on, minutes)
        except RoundsError as fault:
            return str(fault)
        code = "minutes-today" if is_for_today else "minutes-kept"
        return say(f"today.{code}", minutes=minutes_text(minutes))
