"""Who stood near a plant with insects, and the spots it left; one key puts all on watch."""

from collections.abc import Callable
from datetime import date
from typing import ClassVar

from textual.binding import BindingType
from textual.screen import Screen

from rounds import words
from rounds.service.day.at_hand import status_on
from rounds.service.exposure.cleaning import enter_cleaned
from rounds.service.exposure.emptied import EmptiedSpot, spot_text, where_text
from rounds.service.exposure.exposed import (
    ExposedPlant,
    ExposureList,
    exposed_text,
    exposure_to,
    lead_text,
)
from rounds.service.exposure.watching import watch_all
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plant.status_text import clean_in_column
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint
from rounds.tui.pages.parts import STANDING_MARK, hint
from rounds.tui.pages.told import ListLine, Paragraph, Said, Told
from rounds.tui.screens.asking import AskingScreen, asking_bindings
from rounds.tui.screens.laid_out import LaidOut
from rounds.words.forms import calendar_day, codes_text


class ExposureScreen(LaidOut, AskingScreen, sheet="exposure"):
    """The plants, then the spots; what is marked is told in full at the foot."""

    HELP = "exposure"
    COLUMNS = ("plant", "code", "near", "until", "clean")
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings("exposure", "yes", "no")
    found: ExposureList

    def __init__(
        self, logbook: Logbook, code: str, who: str | None, page_of: Callable[[str], Screen[None]]
    ) -> None:
        """`page_of` makes the page of another plant; that page leads here."""
        self.code, self.who = code, who
        self._page_of = page_of
        self.entered = ""
        """the newest entry made here: of those put on watch, or of a spot that was cleaned"""
        self.what = ""
        """what that was"""
        super().__init__(logbook)

    def read(self) -> None:
        """Who was exposed up to today, with the figures that are known."""
        day = self.day
        self.found = exposure_to(
            self.logbook, self.code, day.on, status_of=lambda record: status_on(day, record)
        )

    def told(self) -> Told:
        """Since when, and who; the marked line in full."""
        on, found = self.day.on, self.found
        names = ("plant", "near", "until", "clean")
        return Told(
            title=words.say("exposure.title"),
            middle=self.code,
            clock=calendar_day(on, on),
            above=[
                Paragraph(lead_text(found), "quiet", may_go=True),
                *([] if found.plants else [Paragraph(words.say("exposure.none"))]),
            ],
            heads={n: words.say(f"exposure.column.{n}") for n in names} if found.plants else {},
            lines=[
                *(_plant_line(plant, on) for plant in found.plants),
                *(_spot_line(spot, on) for spot in found.emptied),
            ],
            message=self.said,
            asked=self.asked,
            otherwise=self._marked(on),
            second=hint("take-back") if self.entered else None,
            third=self._watch_hint(),
        )

    def _watch_hint(self) -> KeyHint | None:
        count = len(self.found.to_watch)
        return KeyHint(key_of("yes"), words.say("exposure.watch-all")) if count else None

    def _marked(self, on: date) -> list[str]:
        plants, emptied = self.found.plants, self.found.emptied
        if self.mark < len(plants):
            marked = plants[self.mark]
            return [words.say("exposure.marked", code=marked.status.code,
                              text=exposed_text(marked, on))]  # fmt: skip
        spots = emptied[self.mark - len(plants) :]
        return [spot_text(spots[0], on)] if spots else []

    def lines_count(self) -> int:
        """Plants and spots."""
        return len(self.found.plants) + len(self.found.emptied)

    def open_line(self, index: int) -> None:
        """The plant's own page; of a spot it is asked whether it was cleaned."""
        plants = self.found.plants
        if index < len(plants):
            self.app.push_screen(self._page_of(plants[index].status.code))
        else:
            self._ask_cleaned(self.found.emptied[index - len(plants)])

    def _ask_cleaned(self, spot: EmptiedSpot) -> None:
        where = where_text(spot)

        def then(role: str) -> None:
            if role == "yes":
                moment = now(self.logbook.clock, self.who)
                name, _ = enter_cleaned(self.logbook, moment, spot.place, spot.spot)
                self.entered, self.what = str(name), words.say("exposure.that-cleaning")
                day = calendar_day(moment.day, self.day.on)
                self.message = words.say("exposure.cleaned", where=where, day=day)

        said = {"yes": "done", "no": "not-done"}
        self.ask(words.say("exposure.ask-cleaned", where=where), ("yes", "no"), then, said=said)

    def pressed(self, role: str) -> None:
        """y puts all on watch that can be; x takes that back."""
        if role == "yes":
            self._watch_all()
        elif role == "take-back" and self.entered:
            self.take_back(self.entered, self.what)
            self.entered = ""
        elif role == "take-back":
            self.message = words.say("plant.said.nothing")
        else:
            super().pressed(role)

    def _watch_all(self) -> None:
        codes = [plant.status.code for plant in self.found.to_watch]
        if not codes:
            self.message = words.say("exposure.none-to-watch")
            return
        written = watch_all(self.logbook, now(self.logbook.clock, self.who), self.found)
        self.entered, self.what = str(written[0]), words.say("exposure.their-watch")
        self.message = words.say("exposure.watched", codes=codes_text(codes))


def _plant_line(found: ExposedPlant, on: date) -> ListLine:
    status = found.status
    sign = STANDING_MARK.get(status.standing, "").strip()
    until = words.say("exposure.brief-still") if found.is_near_now else calendar_day(found.last, on)
    cells: dict[str, str | Said] = {
        "plant": f"{status.code}  {status.name}",
        "code": status.code,
        "near": words.say(f"exposure.brief.{found.how}"),
        "until": words.say("exposure.brief-given-away") if found.gone_on else until,
        "clean": clean_in_column(status, ""),
    }
    return ListLine(cells, (sign, "apart"))


def _spot_line(spot: EmptiedSpot, on: date) -> ListLine:
    where = where_text(spot)
    free = calendar_day(spot.free_on, on) if spot.free_on else words.say("exposure.no-day")
    cells: dict[str, str | Said] = {
        "plant": where,
        "code": where,
        "near": words.say("exposure.brief-empty"),
        "until": free,
        "clean": "",
    }
    return ListLine(cells)
