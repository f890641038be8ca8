"""The page of one plant, from which all that can be done with it is reached."""

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widget import Widget

from rounds import words
from rounds.service.collection.apart import put_apart, said_apart
from rounds.service.day.at_hand import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus
from rounds.service.plant.timeline import gone_entry
from rounds.tui.forms.look import look_form
from rounds.tui.forms.plant import divide_form, edit_form, gone_form, move_form, repot_form
from rounds.tui.keys import bindings
from rounds.tui.page import Page, wrap
from rounds.tui.pages.bars import WORST, put_worst
from rounds.tui.pages.parts import TALL
from rounds.tui.pages.picture import HEIGHT as PICTURE_HEIGHT
from rounds.tui.pages.plant import (
    MOST_EXTRA,
    PlantPageView,
    behind_text,
    coming_on,
    extra_told,
    lines_of,
    plant_told,
    put_lately,
    put_picture,
    put_zones,
    seen_text,
    sentence_within,
    why_told,
)
from rounds.tui.pages.risk import put_bars
from rounds.tui.pages.told import Said, Told
from rounds.tui.pages.why import put_why, why_behind
from rounds.tui.screens.asking import asking_bindings
from rounds.tui.screens.courses import CoursesScreen
from rounds.tui.screens.exposure import ExposureScreen
from rounds.tui.screens.frame import IS_HIGH
from rounds.tui.screens.history import HistoryScreen
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.of_plant import OfPlant
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.widgets.canvas import Canvas, Part
from rounds.tui.widgets.paragraphs import Paragraphs

FORMS = {"move": move_form, "divide": divide_form, "edit": edit_form, "gone": gone_form}
"""What asks for no more than the plant, by line."""


BAR_ROWS = 10
"""Rows of what the risk is made of: those of the numbered lines, and one."""
COLUMN = 26
"""Columns of the drawing, and of the list of its zones."""


class PlantScreen(LaidOut, OfPlant, sheet="plant"):
    """One plant, drawn where there is room, beside what is known and can be done."""

    HELP = "plant"
    COLUMNS = ("line",)
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings(
        "plant", "yes", "no", "put-apart", "cannot-move"
    ) + bindings("plant", [("coming", "charts")])

    def __init__(self, logbook: Logbook, code: str, who: str | None = None) -> None:
        self.who = who
        super().__init__(logbook, code)
        self._picture, self._zones, self._worst, self._why = (
            Part(classes=name) for name in ("picture", "zones", "worst", "why")
        )
        self._lately = Canvas(classes="lately")
        self._extra = Paragraphs("extra", MOST_EXTRA)

    def status_of(self, record: PlantRecord, status: PlantStatus) -> PlantStatus:
        """With why its figures are what they are; asked for where it is not known."""
        return self.days.with_why(self.day, record, status)

    @property
    def _is_spread(self) -> bool:
        return Page(*self.app.size, wide=self.is_wide).is_spread

    def _view(self) -> PlantPageView:
        is_spread, is_gone = self._is_spread, self.detail.is_gone
        in_columns = is_spread and self.has_class(IS_HIGH)
        has_bars = is_spread and not is_gone
        return PlantPageView(self.detail, self.mark, self.said, self.asked, in_columns, has_bars)

    def told(self) -> Told:
        """The plant."""
        return plant_told(self._view(), Page(*self.app.size, wide=self.is_wide))

    def body(self) -> Iterable[Widget]:
        """The drawing with its zones, what can be done, what the risk is made of; the rest."""
        lines = (self._heads, self._rows, self._more)
        does = Vertical(*lines, self._worst, self._extra, classes="does")
        drawn = Horizontal(self._picture, self._zones, does, self._beside, classes="drawn")
        yield Vertical(drawn, self._why, self._lately, id="plant")

    def put_beside(self, page: Page) -> int:
        """Put what the risk is made of."""
        return 0 if self.detail.is_gone else put_bars(page, BAR_ROWS, self.detail.status.risk)

    def show_body(self, told: Told, frame: Page) -> None:
        """Show all of it; what there is no room for, the stylesheet leaves out."""
        super().show_body(told, frame)
        detail, view = self.detail, self._view()
        self.set_class(self.asked is not None, "-asked")
        self._rows.styles.max_height = len(told.lines)
        for part, puts in ((self._picture, put_picture), (self._zones, put_zones)):
            drawn = Page(COLUMN, PICTURE_HEIGHT + 1)
            puts(drawn, detail)
            part.show(drawn)
        worst = frame.blank()
        zones = [(zone, seen_text(zone, detail, is_brief=False)) for zone in detail.zones]
        # on few rows what can be done comes first
        has_room = frame.height >= TALL and not detail.is_gone
        self._worst.show(worst.part(0, put_worst(worst, 0, WORST, zones) if has_room else 0))
        width = frame.until - frame.edge
        reasons = () if self.is_wide else why_told(view, width, with_brood=False)
        told_besides: list[Said] = [(text, "quiet") for text in reasons if text]
        self._extra.show([*told_besides, *extra_told(detail, is_wide=self.is_wide)])
        why = frame.blank()
        self._why.show(why.part(0, put_why(why, 0, detail.status) if view.in_columns else 0))
        lately = frame.blank()
        put_lately(lately, detail)
        self._lately.show(lately)

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """The zones, for which a narrow page has no room; on a wide one why its figures are so."""
        frame = Page(width, height, wide=self.is_wide)
        whole, room = self.detail.sentence, frame.until - frame.edge
        is_whole = sentence_within(self.detail, room, is_wide=self.is_wide) == whole
        texts = [*coming_on(self.detail), *([] if is_whole else [whole])]
        sentence = [(line, "") for text in texts for line in wrap(text, room)]
        if self.is_wide:
            return [*sentence, *why_behind(self.detail.status)]
        return [
            *((words.say(f"zones.{zone.zone}.name"), behind_text(zone, self.detail))
              for zone in self.detail.zones),
            *sentence,
        ]  # fmt: skip

    def lines_count(self) -> int:
        """What can be done with it."""
        return len(lines_of(self.detail.status))

    def _page_of(self, code: str) -> "PlantScreen":
        return PlantScreen(self.logbook, code, self.who)

    def open_line(self, index: int) -> None:
        """Each line is a page, a form, or a question."""
        line = lines_of(self.detail.status)[index]
        if line == "put-apart":
            self._ask_apart()
        elif line == "end-quarantine":
            self.app.push_screen(ReleaseScreen(self.logbook, self.code))
        elif line == "not-gone":
            self._ask_not_gone()
        elif line == "history":
            self.app.push_screen(HistoryScreen(self.logbook, self.code))
        elif line == "courses":
            self.app.push_screen(CoursesScreen(self.logbook, self.code, self.who))
        elif line == "exposure":
            self.app.push_screen(ExposureScreen(self.logbook, self.code, self.who, self._page_of))
        elif line == "look":
            self.app.push_screen(look_form(self.logbook, self.code, who=self.who))
        elif line == "repot":
            self.app.push_screen(repot_form(self.logbook, self.code, who=self.who))
        else:
            self.app.push_screen(FORMS[line](self.logbook, self.code))

    def action_charts(self) -> None:
        """Its charts."""
        # loaded where they are opened, so that a start does not pay for it
        from rounds.tui.screens.charts import ChartsScreen

        self.app.push_screen(ChartsScreen(self.logbook, self.code))

    def action_what_if(self) -> None:
        """When it may rejoin, were something otherwise; of a plant in quarantine."""
        # loaded where it is opened
        from rounds.tui.screens.what_if import WhatIfScreen

        self.app.push_screen(WhatIfScreen(self.logbook, self.code))

    def pressed(self, role: str) -> None:
        """x takes the newest entry back, p puts the plant apart; both ask first."""
        newest = self.detail.newest
        if role == "put-apart":
            self._ask_apart()
        elif role == "take-back" and newest is None:
            self.message = words.say("plant.said.nothing")
        elif role == "take-back" and newest is not None:
            self.ask_take_back(newest.entry, newest.text)
        else:
            super().pressed(role)

    def _ask_not_gone(self) -> None:
        entry = gone_entry(self.plant())
        if entry is not None:
            self.ask_take_back(entry, words.say("plant.history.gone"))

    def _ask_apart(self) -> None:
        """Whether it is put apart; put_apart itself says where it stands so already."""
        if self.detail.is_gone or self.detail.status.standing == "quarantine":
            self._put_apart("put-apart")
            return
        text = words.say("plant.ask.apart", code=self.code)
        roles = ("put-apart", "cannot-move", "no")
        self.ask(text, roles, self._put_apart, said={"no": "no-apart"})

    def _put_apart(self, role: str) -> None:
        if role == "no":
            return
        cannot_move = role == "cannot-move"
        moment = now(self.logbook.clock)
        watched = put_apart(self.logbook, moment, self.code, cannot_move=cannot_move)
        record = record_of(self.logbook, self.plant())
        self.message = said_apart(record, watched, cannot_move=cannot_move)
