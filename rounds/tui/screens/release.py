"""The page on which a quarantine ends, or says why not yet."""

from collections.abc import Iterable
from typing import ClassVar

from textual import events
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widget import Widget

from rounds import words
from rounds.errors import RoundsError
from rounds.service.charts.chart import Chart
from rounds.service.collection.plants import move_plant
from rounds.service.collection.rejoin import Rejoining, Standing, rejoining
from rounds.service.collection.rejoin_text import offer_text, offers, rejoin_text
from rounds.service.collection.release import end_quarantine
from rounds.service.day.at_hand import record_of, status_on
from rounds.service.inference.course import Course
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.logbook.named import find_plant
from rounds.service.plant.status import PlantStatus
from rounds.service.plant.status_text import where_text
from rounds.tui.keys import bindings
from rounds.tui.page import Page, wrap
from rounds.tui.pages.parts import say, typing_keys
from rounds.tui.pages.release import ReleaseView, notes_of, put_release_keys, release_told
from rounds.tui.pages.told import Said, Told
from rounds.tui.screens.frame import IS_HIGH, Frame
from rounds.tui.screens.page_screen import ReadsAgain
from rounds.tui.widgets.paragraphs import Paragraphs
from rounds.tui.widgets.plotted import Plotted
from rounds.tui.widgets.rows import Heads, Listed, Rows
from rounds.words.forms import calendar_day


class ReleaseScreen(Frame, ReadsAgain, sheet="release"):
    """One plant in quarantine: every criterion, the key that ends it, and the way back."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(
        "release",
        [
            ("leave", "leave"),
            ("yes", "yes"),
            ("no", "no"),
            ("begin", "what_if"),
            ("find", "find"),
            ("help", "help"),
        ],
    )

    HELP = "release"
    COLUMNS = ("name", "short", "now", "bar", "needed", "of", "due")

    def __init__(self, logbook: Logbook, code: str) -> None:
        super().__init__()
        self._heads = Heads(self.COLUMNS)
        self._rows = Rows(self._heads)
        self._notes, self._curve = Paragraphs("notes"), Plotted()
        self.logbook = logbook
        self.code = code
        self.rejoining: Rejoining | None = None
        """what awaits it among the others, once its end is near"""
        self.offered: tuple[Standing, ...] = ()
        """where it may be put, released; the first is asked about"""
        self.day = self.days.today()
        self.status = self._status()
        self._look_ahead()

    def reload(self) -> None:
        """The plant as it stands now."""
        self.day = self.days.after(self.day)
        self.status = self._status()
        self._look_ahead()
        self.paint()

    def _look_ahead(self) -> None:
        """What awaits it where it would go: before it is asked whether quarantine ends."""
        release = self.status.release
        if release is None or not (release.ready or self.line is not None):
            return
        try:
            self.rejoining = rejoining(record_of(self.logbook, find_plant(self.logbook, self.code)))
        except RoundsError as fault:
            self.message = str(fault)

    def _status(self) -> PlantStatus:
        plant = find_plant(self.logbook, self.code)
        record = record_of(self.logbook, plant)
        status = status_on(self.day, record)
        if status.release is None:
            return status
        # the curve takes long, and is drawn only where rows are to spare
        is_high = self.has_class(IS_HIGH)
        return self.days.with_why(self.day, record, status, with_course=is_high)

    def on_resize(self, event: events.Resize) -> None:
        """Where there are rows for the curve now, it may have to be asked for."""
        why = self.status.why
        if why is not None and why.course is None:
            self.reload()

    def _view(self) -> ReleaseView:
        return ReleaseView(
            status=self.status,
            choices=self.day.choices,
            message=self.said,
            asks_reason=self.line is not None,
            rejoin=rejoin_text(self.rejoining) if self.rejoining else "",
            back_to=self._offer(),
        )

    def told(self) -> Told:
        """The criteria, then the question."""
        return release_told(self._view(), Page(*self.app.size, wide=self.is_wide))

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """All that is noted, for which a small page has no room."""
        room = width - 2 * (2 if self.is_wide else 1)
        return [(line, "") for note in notes_of(self._view(), room) for line in wrap(note, room)]

    def body(self) -> Iterable[Widget]:
        """The criteria, what is noted of them, and the chance clean by day."""
        yield Vertical(self._heads, self._rows, self._notes, self._curve, id="criteria")

    def show_body(self, told: Told, frame: Page) -> None:
        """Show the criteria, what is noted of them, and the chance clean by day."""
        listed = Listed(told.lines, -1, told.heads, told.is_numbered)
        self._heads.show(listed)
        self._rows.styles.height = len(told.lines)
        self._rows.show(listed)
        notes: list[Said] = [
            (note, "quiet") for note in notes_of(self._view(), frame.until - frame.edge - 2)
        ]
        course = self.status.why.course if self.status.why else None
        is_drawn = course is not None and self.has_class(IS_HIGH)
        # the curve in words, right above it
        self._notes.show([*notes, (course.text, "ink")] if course and is_drawn else notes)
        self._curve.show(_curve(course) if course and is_drawn else None)
        self._line.stand(told.asks is not None)

    def put_strip(self, page: Page, told: Told) -> None:
        """Put the keys, on the last two rows."""
        if told.asks is not None:
            typing_keys(page)
        else:
            put_release_keys(page, told.opens, told.second)

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.app.pop_screen()

    def action_what_if(self) -> None:
        """When it may rejoin, were something otherwise."""
        # loaded where it is opened
        from rounds.tui.screens.what_if import WhatIfScreen

        if self.status.release is None:
            self.tell(words.say("what_if.not-in-quarantine"))
        else:
            self.app.push_screen(WhatIfScreen(self.logbook, self.code))

    def action_no(self) -> None:
        """It stays in quarantine; or, released, it is not put there: the next place is offered."""
        if not self.offered:
            self.app.pop_screen()
            return
        self.offered = self.offered[1:]
        if not self.offered:
            self.message = say("release.still-there", code=self.code)
        self.paint()

    def action_yes(self) -> None:
        """End it where all is met, else ask why; once released, put it where it is offered."""
        release = self.status.release
        if self.offered:
            self._put_back(self.offered[0])
        elif release is None:
            self.tell(self.why_idle("yes"))
        elif release.ready:
            self._end(None)
        else:
            self.begin_line()
            self.message = ""
            self._look_ahead()
        self.paint()

    def line_taken(self, given: str) -> None:
        """End quarantine for the reason that was typed."""
        self.end_line()
        if given:
            self._end(given)
        self.paint()

    def _end(self, reason: str | None) -> None:
        try:
            decision = end_quarantine(self.logbook, now(self.logbook.clock), self.code, reason)
        except RoundsError as fault:
            self.message = str(fault)
            return
        if decision.refusal is not None:
            self.message = str(decision.refusal)
            return
        until = decision.record.watch_until
        today = decision.record.on
        # whoever goes before all is met goes, and nobody says that it may
        code = "ended-early" if decision.early else "ended"
        if until is None:
            code = "ended-early-no-day" if decision.early else "ended-no-day"
        day = calendar_day(until, today) if until else ""
        said = say(f"release.{code}", code=self.code, day=day)
        found = self.rejoining
        self.offered = offers(found) if found else ()
        still_there = found is not None and found.is_to_be_moved and not self.offered
        moves = [say("release.moves")] if still_there else []
        self.message = words.say("forms.and").join([said, *moves])
        self.reload()

    def _put_back(self, to: Standing) -> None:
        self.offered = ()
        moment = now(self.logbook.clock)
        try:
            move_plant(self.logbook, moment, self.code, to.place, spot=to.spot)
        except RoundsError as fault:
            self.message = str(fault)
            return
        self.reload()
        self.message = say("release.back", code=self.code, where=where_text(self.status))

    def _offer(self) -> str | None:
        """The question whether it is put where it is offered first."""
        if not self.offered or self.rejoining is None:
            return None
        return offer_text(self.rejoining, self.offered[0], self.code)


def _curve(course: Course) -> Chart:
    """The course as it is drawn; what draws it is loaded where there is room."""
    from rounds.service.charts.chance import curve_of

    return curve_of(course)
