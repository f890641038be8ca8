"""The page of one plant, from which all that can be done with it is reached."""

from typing import ClassVar

from textual.binding import BindingType

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
from rounds.tui.page import Page
from rounds.tui.pages.plant import PlantPageView, behind_text, lines_of, plant_page
from rounds.tui.pages.why import why_behind
from rounds.tui.screens.asking import asking_bindings
from rounds.tui.screens.exposure import ExposureScreen
from rounds.tui.screens.history import HistoryScreen
from rounds.tui.screens.of_plant import OfPlant
from rounds.tui.screens.release import ReleaseScreen

FORMS = {"move": move_form, "divide": divide_form, "edit": edit_form, "gone": gone_form}
"""What asks for no more than the plant, by line."""


class PlantScreen(OfPlant):
    """One plant."""

    HELP = "plant"
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings(
        "plant", "yes", "no", "put-apart", "cannot-move"
    )

    def __init__(self, logbook: Logbook, code: str, who: str | None = None) -> None:
        self.who = who
        super().__init__(logbook, code)

    def status_of(self, record: PlantRecord, status: PlantStatus) -> PlantStatus:
        """With why its figures are what they are; asked for where it is not known."""
        return self.days.with_why(self.day, record, status)

    def list_page(self, width: int, height: int) -> Page:
        """The plant."""
        view = PlantPageView(self.detail, self.mark, self.said, self.asked)
        return plant_page(view, width, height)

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """The zones, for which a narrow page has no room; on a wide one why its figures are so."""
        if Page(width, height).is_wide:
            return why_behind(self.detail.status)
        return [
            (words.say(f"zones.{zone.zone}.name"), behind_text(zone, self.detail))
            for zone in self.detail.zones
        ]

    def lines_count(self) -> int:
        """What can be done with it."""
        return len(lines_of(self.detail.status))

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
        elif line == "exposure":
            self.app.push_screen(
                ExposureScreen(self.logbook, self.code, self.who, self._open_other)
            )
        elif line == "look":
            self.app.push_screen(look_form(self.logbook, self.code, who=self.who))
        elif line == "repot":
            self.app.push_screen(repot_form(self.logbook, self.code, who=self.who))
        else:
            self.app.push_screen(FORMS[line](self.logbook, self.code))

    def _open_other(self, code: str) -> None:
        self.app.push_screen(PlantScreen(self.logbook, code, self.who))

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
