"""The first start: an empty logbook leads through one page to the first round."""

from collections.abc import Callable, Iterable, Sequence
from typing import ClassVar

from textual import events
from textual.binding import BindingType
from textual.widget import Widget

from rounds import words
from rounds.core.collection import Plant
from rounds.errors import RoundsError
from rounds.service.collection import first_start
from rounds.service.collection.first_start import STARTS, STEPS, Step
from rounds.service.collection.plant_line import size_named
from rounds.service.entries import removal_line
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, now
from rounds.service.logbook.settings import LEAST_MINUTES, MOST_MINUTES, keeper
from rounds.tui.forms.fields import FieldFault
from rounds.tui.forms.values import celsius_of, number_of
from rounds.tui.keys import bindings
from rounds.tui.page import Page
from rounds.tui.pages.first_start import (
    FirstStartView,
    first_start_told,
    put_first_start_keys,
)
from rounds.tui.pages.told import Told
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.frame import Frame
from rounds.tui.widgets.entries import Entered, Entries
from rounds.words.forms import codes_text, number, temperature, time_of_day


class FirstStartScreen(Frame):
    """Letters are text until the last line is taken; every line is written when it is taken."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(
        "first-start", [("leave", "leave"), ("begin", "begin")]
    )
    TYPES_IN_BODY = True

    def __init__(self, logbook: Logbook, who: str | None, begin: Callable[[], None]) -> None:
        super().__init__()
        self.logbook = logbook
        self._who = who
        self._begin = begin
        self._entries = Entries(("label", "value"), self._line, self.paint)
        self.waiting: list[Plant] = []
        """plants named for quarantine, while the place for it is asked for"""
        self.start = first_start.begin(logbook)
        # asked of the file, so not while painting
        self._usual_c = logbook.parameters.usual_c
        self._next_line()

    def _next_line(self) -> None:
        """An empty line to type; none once all is taken."""
        if self.step == "end":
            self.end_line()
        else:
            self.begin_line()

    @property
    def step(self) -> Step:
        """The line that is typed."""
        return self.start.step

    @property
    def _asks_start_of(self) -> Plant | None:
        """The plant of which it is asked whether it is new, or has insects."""
        return self.start.unsaid if self.step == "apart" and not self.waiting else None

    @property
    def _view(self) -> FirstStartView:
        return FirstStartView(
            start=self.start,
            usual_c=self._usual_c,
            message=self.said,
            asks_place_apart=bool(self.waiting),
            is_wide=self.is_wide,
            is_roomy=self.is_roomy,
            room=self._entries.room,
        )

    def told(self) -> Told:
        """The lines as they stand."""
        return first_start_told(self._view)

    def body(self) -> Iterable[Widget]:
        """The lines."""
        yield self._entries

    def show_body(self, told: Told, frame: Page) -> None:
        """Show the lines."""
        self._entries.show(Entered(told.lines, self._view.at), frame.part(0, 0))

    def put_strip(self, page: Page, told: Told) -> None:
        """Put the keys, on the last two rows."""
        put_first_start_keys(page, self._view)

    def reload(self) -> None:
        """Read and show again, as others have written."""
        self.start = first_start.read(self.logbook)
        self._usual_c = self.logbook.parameters.usual_c
        if self.step == "end" or self.line is None:
            self._next_line()
        self.paint()

    def on_key(self, event: events.Key) -> None:
        """The arrow leads back to the lines."""
        if event.key == "up":
            self._go(-1)
            self.paint()

    def line_key(self, key: str) -> bool:
        """The arrow leads to the line before."""
        if key != "up":
            return super().line_key(key)
        self._go(-1)
        self.paint()
        return True

    def line_taken(self, given: str) -> None:
        """Keep a line."""
        self._take([given])
        self.paint()

    def lines_pasted(self, lines: Sequence[str]) -> None:
        """Several lines are taken one after the other, all or none; a single one is typed."""
        if self.step == "plants" and len(lines) > 1:
            self._take([f"{self.typed}{lines[0]}", *lines[1:]])
            self.paint()
        else:
            super().lines_pasted(lines)

    def action_leave(self) -> None:
        """On to today."""
        self.app.pop_screen()

    def action_begin(self) -> None:
        """The first round."""
        self.app.pop_screen()
        self._begin()

    def _take(self, lines: list[str]) -> None:
        """Keep what was typed; where it cannot be kept it stays in the line, and is said."""
        try:
            if lines[0] or self.waiting or self._asks_start_of:
                self.message = self._keep(lines)
            else:
                self._go_on()
        except (FieldFault, RoundsError) as fault:
            self.message = sentence_of(fault)
            return
        self.start = first_start.read(self.logbook)
        self._next_line()

    def _go_on(self) -> None:
        """Go on to the next line after an empty one, once there is a place, and a plant."""
        lacks_plant = self.step == "plants" and not self.start.plants
        if self.step == "place" and not self.start.places:
            self.message = words.say("first_start.said.needs-place")
        elif lacks_plant:
            self.message = words.say("first_start.said.needs-plant")
        else:
            self._go(1)

    def _go(self, steps: int) -> None:
        """Another line; how far it has come is kept too."""
        self.waiting, self.message = [], ""
        to = max(0, min(len(STEPS) - 1, STEPS.index(self.step) + steps))
        if STEPS[to] != self.step:
            first_start.go_to(self.logbook, STEPS[to])
            self.start = first_start.read(self.logbook)
            self._next_line()

    def _keep(self, lines: list[str]) -> str:
        """Write a line, or several plants; what was written."""
        moment = now(self.logbook.clock, keeper(self.logbook, self._who))
        keep = {
            "place": self._keep_place,
            "size": self._keep_size,
            "apart": self._keep_apart,
            "minutes": self._keep_minutes,
            "warmth": self._keep_warmth,
            "removed": self._keep_removal,
        }
        if self.step == "plants":
            return self._keep_plants(moment, lines)
        return keep[self.step](moment, lines[0])

    def _keep_place(self, moment: Moment, given: str) -> str:
        place = first_start.name_place(self.logbook, moment, given)
        first_start.go_to(self.logbook, "plants")
        return words.say("first_start.said.place", name=place.name)

    def _keep_plants(self, moment: Moment, lines: list[str]) -> str:
        place = self.start.place or self.start.places[-1]
        added = first_start.add_plants(self.logbook, moment, place, lines)
        if len(added) > 1:
            return words.say("first_start.said.plants", count=len(added), place=place.name)
        name = added[0].fact("name", moment.day)
        said = {"code": added[0].code, "name": name, "place": place.name}
        return words.say("first_start.said.plant", **said)

    def _keep_size(self, moment: Moment, given: str) -> str:
        size = size_named(given)
        if size is None:
            raise FieldFault(words.say("first_start.said.no-size", given=given))
        sized = first_start.keep_size(self.logbook, moment, size)
        first_start.go_to(self.logbook, "apart")
        place = self.start.place
        if not sized or place is None:
            return words.say("first_start.said.size-none")
        word = words.say(f"desk_forms.sizes.{size}")
        if len(sized) == len(self.start.plants):
            return words.say("first_start.said.size", size=word)
        codes = codes_text(plant.code for plant in sized)
        return words.say("first_start.said.size-here", size=word, place=place.name, codes=codes)

    def _keep_apart(self, moment: Moment, given: str) -> str:
        """Put them in quarantine, its place asked for first; then say of each what it came with."""
        asked = self._asks_start_of
        if asked is not None:
            return self._keep_start(moment, asked, given)
        named = self.waiting or removal_line.plants_named(self.start.plants, given)
        if not self.waiting and self.start.place_apart is None:
            self.waiting = named
            codes = codes_text(plant.code for plant in named)
            return words.say("first_start.said.to-stand-apart", codes=codes)
        place = first_start.put_apart(self.logbook, moment, named, given)
        self.waiting = []
        codes = codes_text(plant.code for plant in named)
        if place is None:
            return words.say("first_start.said.apart", codes=codes)
        return words.say("first_start.said.apart-at", codes=codes, place=place.name)

    def _keep_start(self, moment: Moment, plant: Plant, given: str) -> str:
        """That a plant in quarantine is new, or that insects were seen on it."""
        typed, starts = given.strip().casefold(), words.section("first_start.starts")
        meant = [start for start in STARTS if typed and starts[start].startswith(typed)]
        if len(meant) != 1:
            raise FieldFault(words.say("first_start.said.no-start", code=plant.code))
        first_start.keep_start(self.logbook, moment, plant, meant[0])
        return words.say(f"first_start.said.start-{meant[0]}", code=plant.code)

    def _keep_minutes(self, moment: Moment, given: str) -> str:
        minutes = number_of(given, "minutes")
        if not LEAST_MINUTES <= minutes <= MOST_MINUTES:
            raise FieldFault(words.say("first_start.said.no-minutes", given=given))
        self.logbook.keep_minutes(minutes)
        first_start.go_to(self.logbook, "warmth")
        return words.say("first_start.said.minutes", minutes=number(minutes))

    def _keep_warmth(self, moment: Moment, given: str) -> str:
        usual_c = celsius_of(given, "usual_c")
        first_start.keep_warmth(self.logbook, moment, usual_c)
        first_start.go_to(self.logbook, "removed")
        return words.say("first_start.said.warmth", usual=temperature(usual_c))

    def _keep_removal(self, moment: Moment, given: str) -> str:
        removal = removal_line.read_removal(self.logbook, self.start.plants, given)
        removal_line.enter_removal(self.logbook, removal, moment.who)
        plant = removal.plant
        what = words.say(
            "first_start.said.removed",
            count=removal.count,
            zone=words.say(f"zones.{removal.zone}.name"),
            code=plant.code,
            time=time_of_day(removal.at),
        )
        if plant.quarantine(moment.day) is not None:
            return what
        return words.say("first_start.said.removed-not-apart", what=what, code=plant.code)
