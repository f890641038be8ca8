"""The first screen."""

from collections.abc import Callable
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
from rounds.service.round.view import Answer
from rounds.service.round.walker import WALKED_ELSEWHERE
from rounds.tui.forms.plant import new_plant_form
from rounds.tui.keys import FIGURES, bindings, key_of, pressed
from rounds.tui.page import Page
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.parts import say
from rounds.tui.pages.today import TodayView, put_today_keys, today_told
from rounds.tui.pages.today_lines import COLUMNS, Numbered, Sections, lines_of
from rounds.tui.pages.told import Told
from rounds.tui.screens.coming import ComingScreen
from rounds.tui.screens.courses import CoursesScreen
from rounds.tui.screens.desk import DeskScreen
from rounds.tui.screens.doubts import DoubtsScreen
from rounds.tui.screens.first_start import FirstStartScreen
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.frame import KEY_ROWS
from rounds.tui.screens.laid_out import Listing
from rounds.tui.screens.page_screen import ReadsAgain
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.steps import StepsScreen
from rounds.tui.widgets.rows import Listed
from rounds.tui.widgets.sections import ListSections
from rounds.words.forms import minutes_text

MOST_TYPED = 6
"""Characters of the minutes."""


SCROLLS = {"up": -1, "down": 1}
PAGES = {"pageup": -1, "pagedown": 1}


class TodayScreen(Listing, ReadsAgain, sheet="today"):
    """Shows what is known of today; what is not known yet comes while keys are answered."""

    HELP = "today"
    COLUMNS = COLUMNS
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
        self._rows: ListSections = ListSections(self._heads, self._tell_hidden)
        self.logbook = logbook
        self._who = who
        self.number: int | None = None
        self._chosen: Numbered | None = None
        """what the line with that number opens"""
        self.asked: Asked | None = None
        self._then: Callable[[], None] = self.paint
        """what a yes does"""
        self.begins = False
        """whether a round is to begin as soon as its plan is there"""
        self._compares: tuple[DayPlan, str] | None = None
        """the plan before other minutes were asked for, and what was said of these"""
        self.day: Day = self.days.after(unread_day(logbook, logbook.clock.today()))

    @property
    def who(self) -> str | None:
        """Who is at the keyboard."""
        return keeper(self.logbook, self._who)

    def day_failed(self, fault: RoundsError) -> None:
        """Say that the day cannot be planned for what was entered."""
        self.message, self.begins = sentence_of(fault), False
        self.paint()

    def reload(self) -> None:
        """Show what is known now; begin the round that waited for its plan."""
        self.day = self.days.after(self.day)
        if self.begins and self.day.plan is not None:
            self.begins, self.message = False, ""
            self._walk(take_over=False)
        self._tell_change()
        self.paint()

    @property
    def view(self) -> TodayView:
        """What is known, asked and said now."""
        is_typed = self.line is not None
        failed = self.backup_fault
        return TodayView(self.day, self.said, self.number, is_typed, self.asked, failed)

    def told(self) -> Told:
        """The next plant and why, and what is asked or said."""
        width, height = self.app.size
        self.set_class(self.line is not None, "-typing")
        return today_told(self.view, Page(width, height, wide=self.is_wide))

    def show_body(self, told: Told, frame: Page) -> None:
        """The lists of the day, as long as there are rows for them; the rest scrolls."""
        lines = Sections(self.day, frame, self._rows_of_lists()).lines()
        numbers = [line.number for line in lines]
        chosen = str(self.number)
        mark = numbers.index(chosen) if chosen in numbers else -1
        self._rows.show(Listed(lines, mark))
        self._line.stand(told.asks is not None)
        self._tell_hidden()

    def _rows_of_lists(self) -> int:
        """The rows between what stands above and the foot, as the stylesheet lays them out."""
        gap = int(self.is_roomy)
        foot = max(self._foot.page.height, 3 * gap)
        taken = (1 + gap, self._above.page.height + gap, foot + gap, KEY_ROWS)
        return max(0, self.app.size.height - sum(taken))

    def _tell_hidden(self) -> None:
        counts = zip(("above", "below"), self._rows.numbered_hidden(), strict=True)
        said = [words.say(f"plant.{code}", count=count) for code, count in counts if count]
        # the row that says so, as it lies now, may itself hide the only line that is hidden
        is_said = bool(said) and sum(self._rows.hidden()) > self._more.size.height
        more = Page(self.app.size.width, int(is_said), wide=self.is_wide)
        more.put(0, more.edge + 4, ", ".join(said), "quiet")
        self._more.show(more)

    def put_strip(self, page: Page, told: Told) -> None:
        """The keys of today."""
        put_today_keys(page, self.view)

    def on_key(self, event: events.Key) -> None:
        """The number of a line to open; any other key closes what it does not answer."""
        key = pressed(event)
        if self.begins and key != key_of("begin"):
            self.begins, self.message = False, ""
            self.paint()
        if self.asked is not None and not any(key == key_of(a.role) for a in self.asked.answers):
            self.asked = None
            self.paint()
        if key in FIGURES:
            self._choose(int(key))
            event.prevent_default()
        elif key in SCROLLS or key in PAGES:
            self._forget_number()
            self._scroll_by(PAGES.get(key, 0) * self.lines_shown() + SCROLLS.get(key, 0))
        elif key not in (key_of("begin"), key_of("help")):
            self._forget_number()

    def on_mouse_scroll_down(self) -> None:
        """The wheel moves what is in sight of the lists."""
        self._scroll_by(1)

    def on_mouse_scroll_up(self) -> None:
        """The same, back."""
        self._scroll_by(-1)

    def _scroll_by(self, lines: int) -> None:
        self._rows.scroll_relative(y=lines, animate=False, force=True)

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
        self._ask(Asked(say("today.leave-open"), answers), self.app.exit)

    def _ask(self, asked: Asked, then: Callable[[], None]) -> None:
        """Ask what a yes answers by doing something."""
        self.asked, self._then, self.message = asked, then, ""
        self.paint()

    def action_minutes(self) -> None:
        """Ask for the minutes there are."""
        self.begin_line(most=MOST_TYPED)
        self.message = ""
        self.paint()

    def action_order(self) -> None:
        """Switch the order of the round: from the clean side, or strictly by risk."""
        by_risk = not self.day.choices.by_risk
        try:
            self.logbook.walk_by_risk(by_risk)
            self.message = words.say("plan.by-risk-said" if by_risk else "plan.clean-first-said")
        except RoundsError as fault:
            self.message = str(fault)
        self.reload()

    def action_plants(self) -> None:
        """All plants."""
        self.message = ""
        self.app.push_screen(PlantsScreen(self.logbook, self.who))

    def action_doubts(self) -> None:
        """All doubts that are open."""
        self.message = ""
        self.app.push_screen(DoubtsScreen(self.logbook))

    def action_coming(self) -> None:
        """What the next days bring."""
        self.message = ""
        self.app.push_screen(ComingScreen(self.logbook, self.who), self._begin_now)

    def action_begin(self) -> None:
        """Open the chosen line; else begin the round, or go on where it was left."""
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
        self.paint()

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
                self.paint()
                return
            self.app.push_screen(RoundScreen(walk))
        except RoundsError as fault:
            if fault.code in WALKED_ELSEWHERE:
                question = ask_to_take_over(fault.message)
                asked = Asked(question.text, question.answers)
                self._ask(asked, lambda: self._walk(take_over=True))
            else:
                self.message = str(fault)
                self.paint()

    def _wait_for_plan(self, day: Day) -> None:
        """Begin the round once its plan is there; say why where there can be none."""
        fault = self.days.fault_of(day)
        self.begins = fault is None
        self.message = sentence_of(fault) if fault else words.say("calculating.begins")
        self.paint()

    def start_collection(self) -> None:
        """Lead through the first start, and into the first round."""
        self.app.push_screen(FirstStartScreen(self.logbook, self._who, self._first_round))

    def _first_round(self) -> None:
        self.reload()
        self._walk(take_over=False)

    def _forget_number(self) -> None:
        if self.number is not None:
            self.number, self.message = None, ""
            self.paint()

    def _choose(self, figure: int) -> None:
        further = 10 * (self.number or 0) + figure
        self._choose_number(further if further <= len(lines_of(self.day)) else figure)

    def _choose_number(self, number: int) -> None:
        lines = lines_of(self.day)
        known = number <= len(lines)
        self.number = number if known else None
        # lines may change places while figures come in: what was chosen is what is opened
        self._chosen = lines[number - 1] if known and number else None
        code = "asks-desk" if number == 0 else "asks-line" if known else "no-line"
        self.message = say(f"today.{code}", number=number)
        self.paint()

    def line_clicked(self, index: int) -> None:
        """Choose a line, as its number does; open it where it is chosen already."""
        if self.line is not None:
            return
        if self.number == index + 1:
            self._open_line()
        else:
            self._choose_number(index + 1)

    def _open_line(self) -> None:
        self.number, self.message = None, ""
        chosen = self._chosen
        if chosen is None:
            self.open_desk()
        elif chosen.step is not None and chosen.is_shared:
            self.app.push_screen(StepsScreen(self.logbook, chosen.step, self.day.on, self.who))
        elif chosen.step is not None or chosen.asks_what_next:
            self.app.push_screen(CoursesScreen(self.logbook, chosen.code, self.who))
        else:
            self.app.push_screen(PlantScreen(self.logbook, chosen.code, self.who))

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
