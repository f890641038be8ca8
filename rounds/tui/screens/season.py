"""What the grower's own finds say: enter uses it, a key puts back what held before."""

from contextlib import suppress
from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds import words
from rounds.errors import RoundsError
from rounds.service.inference.day import collection_on
from rounds.service.inference.kept import NotKept, only_kept
from rounds.service.learned.season import LearnedSource, Season, group_of, is_learned, revoke, take
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.tui.keys import key_of, pressed
from rounds.tui.page import Page
from rounds.tui.pages.help import help_page
from rounds.tui.pages.season import SeasonView, season_page
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.list_screen import ListScreen, list_bindings


class SeasonScreen(ListScreen):
    """Nothing of it is used before the grower says so."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings(
        "season", [("take-back", "revoke"), ("help", "help")]
    )

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        """`who` is at the keyboard."""
        super().__init__()
        self.logbook = logbook
        self._who = who
        self.season: Season | None = None
        self.read()

    def read(self) -> None:
        """What the day's thread has worked out of it."""
        with only_kept(self.logbook), suppress(NotKept):
            self.season = collection_on(self.logbook, self.logbook.clock.today()).season
        self.mark = min(self.mark, max(0, self.lines_count() - 1))

    def reload(self) -> None:
        """Others have entered something."""
        self.read()
        self.paint()

    def page(self, width: int, height: int) -> Page:
        """The lines, or help."""
        if self.helping:
            return help_page("season", "", [], width, height)
        return season_page(self._view(), width, height)

    def _view(self) -> SeasonView:
        return SeasonView(self.season, self.mark, self.said, self.logbook.clock.today())

    def lines_count(self) -> int:
        """As many as can be told."""
        return len(SeasonView(self.season, 0, "", self.logbook.clock.today()).lines)

    def open_line(self, index: int) -> None:
        """Use what was learned, with all of its group."""
        line = self._view().lines[index]
        if isinstance(line, LearnedSource) or self.season is None:
            self.message = words.say("season.said.only-told")
            return
        group = group_of(line.row)
        try:
            take(self.logbook, now(self.logbook.clock, self._who), self.season, group)
        except RoundsError as fault:
            self.message = sentence_of(fault)
            return
        self._say(f"taken-{group}")

    def action_revoke(self) -> None:
        """Take back that it is used."""
        lines = self._view().lines
        line = lines[self.mark] if lines else None
        if line is None or isinstance(line, LearnedSource) or not is_learned(line.row):
            self.message = words.say("season.said.none-taken")
            self.paint()
            return
        group = group_of(line.row)
        try:
            revoke(self.logbook, now(self.logbook.clock, self._who), group)
        except RoundsError as fault:
            self.message = sentence_of(fault)
        else:
            self._say(f"revoked-{group}")
        self.paint()

    def _say(self, code: str) -> None:
        self.read()
        self.message = words.say(f"season.said.{code}")

    def on_key(self, event: events.Key) -> None:
        """Close help on any key but its own."""
        if pressed(event) != key_of("help"):
            self.helping = False
            self.paint()
