"""Find: every plant, page and act by its name, from any screen outside the round."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.plant.status import PlantStatus
from rounds.service.plant.status_text import where_text
from rounds.tui.keys import bindings
from rounds.tui.pages.plant import line_text, lines_of
from rounds.tui.pages.told import ListLine, MadeLines, Paragraph, Told
from rounds.tui.screens.desk import LINES, DeskScreen, name_of
from rounds.tui.screens.narrowing import NarrowingScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.words.forms import calendar_day

if TYPE_CHECKING:
    from rounds.tui.screens.today import TodayScreen


@dataclass(frozen=True, slots=True)
class Found:
    """What can be opened by name. `what` it is: a page, an act, or where a plant stands."""

    text: str
    what: str
    opens: Callable[[], object]
    also: str = ""
    """what it is called on other days"""

    def is_meant(self, typed: Sequence[str]) -> bool:
        """Whether each of the words typed begins a word of its name."""
        return not _not_in(f"{self.text} {self.also}", typed)


class FindScreen(NarrowingScreen[Found], sheet="find"):
    """Words that begin a name, in any order; of one plant, all that can be done with it."""

    COLUMNS = ("text", "what")

    BINDINGS: ClassVar[list[BindingType]] = bindings("find", [("begin", "take")])

    def __init__(self, today: "TodayScreen") -> None:
        super().__init__()
        self._today = today
        self._pages = [*self._own_pages(), *self._desk_pages(), *self._acts()]
        self._meant: tuple[str, list[Found]] | None = None

    def day_came(self) -> None:
        """A plant that was entered a moment ago is found as soon as it is read."""
        self._today.day, self._meant = self.days.after(self._today.day), None
        self.paint()

    @property
    def meant(self) -> list[Found]:
        """Pages, acts and plants of the words typed; what was typed last is kept."""
        if self._meant is None or self._meant[0] != self.text:
            typed = self.text.casefold().split()
            pages = [page for page in self._pages if page.is_meant(typed)]
            self._meant = self.text, [*pages, *self._of_plants(typed)]
        return self._meant[1]

    def told(self) -> Told:
        """What is called like that."""
        on = self._today.day.on
        return Told(
            title=words.say("find.title"),
            clock=calendar_day(on, on),
            above=() if self.meant else [Paragraph(words.say("find.none"))],
            lines=MadeLines(self.meant, _line_of),
            is_numbered=False,
            asks=words.say("find.ask"),
        )

    def choose(self, chosen: Found) -> None:
        """Open it."""
        chosen.opens()

    def _own_pages(self) -> Iterator[Found]:
        today = self._today
        openers: dict[str, Callable[[], None]] = {
            "today": lambda: None,
            "plants": today.action_plants,
            "doubts": today.action_doubts,
            "coming": today.action_coming,
            "desk": today.open_desk,
        }
        for code, name in words.section("find.pages").items():
            yield Found(name, words.say("find.page"), self._from_today(openers[code]))

    def _desk_pages(self) -> Iterator[Found]:
        for index, (code, _) in enumerate(LINES):
            opens = self._from_today(partial(self._open_desk_line, index))
            yield Found(name_of(code), words.say("find.page"), opens)

    def _acts(self) -> Iterator[Found]:
        today = self._today
        acts = {
            "begin": today.action_begin,
            "minutes": today.action_minutes,
            "order": today.action_order,
        }
        for code, name in words.section("find.acts").items():
            yield Found(name, words.say("find.act"), self._from_today(acts[code]))

    def _of_plants(self, typed: Sequence[str]) -> list[Found]:
        """The plants named, then what can be done with them where an act is named, or one plant."""
        named: list[PlantStatus] = []
        acts: list[Found] = []
        for status in self._today.day.ordered:
            rest = _not_in(f"{status.code} {status.name}", typed)
            if not rest:
                named.append(status)
            elif len(rest) < len(typed):
                acts += (act for act in self._acts_of(status) if act.is_meant(typed))
        if len(named) == 1:
            acts = [*self._acts_of(named[0]), *acts]
        return [*map(self._plant, named), *acts]

    def _plant(self, status: PlantStatus) -> Found:
        name = f"{status.code}  {status.name}"
        return Found(name, where_text(status), partial(self._open_plant, status))

    def _acts_of(self, status: PlantStatus) -> Iterator[Found]:
        for index, code in enumerate(lines_of(status)):
            said = {"code": status.code, "name": status.name, "act": line_text(code, status)}
            name = words.say("find.of-plant", **said)
            line_opens = partial(self._open_line_of, status, index)
            # a course that is due stands in place of what its line is usually called
            also = words.say("plant.lines.courses") if code == "courses" else ""
            yield Found(name, words.say("find.act"), line_opens, also)
        pages = [(words.say("charts.of-plant"), PlantScreen.action_charts)]
        if status.standing == "quarantine":
            pages.append((words.say("what_if.title"), PlantScreen.action_what_if))
        for title, opens in pages:
            said = {"code": status.code, "name": status.name, "act": title}
            name = words.say("find.of-plant", **said)
            yield Found(name, words.say("find.page"), partial(self._open_from, status, opens))

    def _open_plant(self, status: PlantStatus) -> PlantScreen:
        screen = PlantScreen(self._today.logbook, status.code, self._today.who)
        self.app.push_screen(screen)
        return screen

    def _open_line_of(self, status: PlantStatus, index: int) -> None:
        """A page or form of a plant, and below it the plant's own page to come back to."""
        self._open_plant(status).open_line(index)

    def _open_from(self, status: PlantStatus, opens: Callable[[PlantScreen], None]) -> None:
        """A page that a key of the plant's own page opens, and that page below it."""
        opens(self._open_plant(status))

    def _open_desk_line(self, index: int) -> None:
        self._today.open_desk()
        assert isinstance(self.app.screen, DeskScreen)
        self.app.screen.open_line(index)

    def _from_today(self, opens: Callable[[], None]) -> Callable[[], None]:
        """Back to today first, so that leaving a page leads there."""

        def goes() -> None:
            while self.app.screen is not self._today:
                self.app.pop_screen()
            opens()

        return goes


def _line_of(found: Found) -> ListLine:
    return ListLine({"text": found.text, "what": (found.what, "quiet")})


def _not_in(name: str, typed: Sequence[str]) -> list[str]:
    """The words typed that begin no word of a name."""
    of_name = name.casefold().replace(":", " ").split()
    return [word for word in typed if not any(part.startswith(word) for part in of_name)]
