"""What if: each line a thing that may be otherwise; the day moves as it is changed."""

from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds import words
from rounds.service.day.at_hand import record_of, status_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant
from rounds.service.plant.status import PlantStatus
from rounds.service.what_if.choices import changed, lines_of
from rounds.service.what_if.supposing import AS_IT_GOES, Supposition, Usual, WhatIf, WhatIfAsked
from rounds.tui.keys import pressed
from rounds.tui.page import KeyHint, Page
from rounds.tui.pages.parts import say
from rounds.tui.pages.told import Told
from rounds.tui.pages.what_if import COLUMNS, WhatIfView, what_if_told
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.list_screen import list_bindings
from rounds.tui.screens.page_screen import ReadsAgain
from rounds.words.forms import calendar_day

STEPS = {"left": -1, "right": 1}
PAGES = {"pageup": -1, "pagedown": 1}


class WhatIfScreen(LaidOut, ReadsAgain, sheet="what_if"):
    """Nothing of it is written; what comes of it is worked out in the day's thread."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings(
        "what_if", [("take-back", "undo"), ("help", "help")]
    )
    HELP = "what_if"
    COLUMNS = COLUMNS

    def __init__(self, logbook: Logbook, code: str) -> None:
        super().__init__()
        self.logbook = logbook
        self.code = code
        self.day = self.days.today()
        self._plant_id = find_plant(logbook, code).id
        self._usual: Usual | None = None
        self._changes: list[WhatIf] = [AS_IT_GOES]
        self.status = self._status()

    def reload(self) -> None:
        """The plant as it stands now."""
        self.day = self.days.after(self.day)
        self.status = self._status()
        self.paint()

    def _status(self) -> PlantStatus:
        return status_on(self.day, record_of(self.logbook, find_plant(self.logbook, self.code)))

    @property
    def what(self) -> WhatIf:
        """What is supposed now."""
        return self._changes[-1]

    def told(self) -> Told:
        """The day, and what is supposed."""
        answered = self.days.answer(self.day, WhatIfAsked(self._plant_id, self.what))
        found: Supposition | None = answered.found if answered else None
        fault = self.days.fault_of(self.day) or (answered.fault if answered else None)
        if found is not None:
            self._usual = found.usual
        return what_if_told(
            WhatIfView(
                status=self.status,
                what=self.what,
                usual=self._usual,
                found=found,
                clock=calendar_day(self.day.on, self.day.on),
                message=self.said or (str(fault) if fault else ""),
                can_undo=len(self._changes) > 1,
                is_wide=self.is_wide,
            )
        )

    def scrolled_by(self) -> str:
        """By the page keys."""
        return words.say("what_if.scroll")

    def put_strip(self, page: Page, told: Told) -> None:
        """The keys of a list; on a narrow page enter says what it does here, too."""
        super().put_strip(page, told)
        if not self.is_wide and told.opens is not None:
            page.rows[page.height - 1].clear()
            page.put_keys(page.height - 1, [told.opens, KeyHint("1-9", say("keys.line"))], (1, 18))

    def lines_count(self) -> int:
        """What may be supposed; nothing before it is known how it goes."""
        return len(lines_of(self._usual)) if self._usual else 0

    def open_line(self, index: int) -> None:
        """The next value of a line."""
        self._change(index, 1)

    def _change(self, index: int, by: int) -> None:
        if self._usual is None:
            return
        line = lines_of(self._usual)[index]
        what = changed(self.what, self._usual, line, by)
        if what == self.what:
            self.message = words.say("what_if.said.no-choice")
        else:
            self._changes.append(what)

    def action_undo(self) -> None:
        """Undo the newest change."""
        self.number = ""
        if len(self._changes) > 1:
            self._changes.pop()
            self.message = "" if self.what != AS_IT_GOES else words.say("what_if.said.as-it-goes")
        else:
            self.message = words.say("what_if.said.nothing")
        self.paint()

    def on_key(self, event: events.Key) -> None:
        """Arrows to the sides step through the values too; page keys show what must be met."""
        if event.key in PAGES:
            # the mark stays among the lines that can be changed
            lines = PAGES[event.key] * self.lines_shown()
            self._rows.scroll_relative(y=lines, animate=False, force=True)
            event.prevent_default()
            return
        super().on_key(event)
        by = STEPS.get(pressed(event))
        if by is not None and self._usual is not None:
            self.number = self.message = ""
            self._change(self.mark, by)
            self.paint()
