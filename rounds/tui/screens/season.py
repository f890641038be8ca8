"""What the grower's own finds say: enter uses it, a key puts back what held before."""

from collections.abc import Sequence
from contextlib import suppress
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.errors import RoundsError
from rounds.service.inference.day import collection_on
from rounds.service.inference.kept import NotKept, only_kept
from rounds.service.learned.season import LearnedSource, Season, group_of, is_learned, revoke, take
from rounds.service.learned.text import (
    Line,
    about_line,
    about_season,
    beside_learned,
    name_of_learned,
    said_of_100,
)
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.laid_out import LaidOut, Paragraph, Told
from rounds.tui.screens.list_screen import list_bindings
from rounds.tui.widgets.rows import ListLine
from rounds.words.forms import calendar_day

MOST_SAID = 6


class SeasonScreen(LaidOut, sheet="season"):
    """Nothing of it is used before the grower says so."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings(
        "season", [("take-back", "revoke"), ("help", "help")]
    )
    HELP = "season"
    COLUMNS = ("name", "said", "beside")

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

    @property
    def told_lines(self) -> Sequence[Line]:
        """The values that can be used, then the sources that are told only."""
        return self.season.lines if self.season else ()

    def told(self) -> Told:
        """The lines, and what the marked one means."""
        today, lines = self.logbook.clock.today(), self.told_lines
        marked = lines[self.mark] if lines else None
        return Told(
            title=words.say("season.title"),
            clock=calendar_day(today, today),
            above=[Paragraph(text, may_go=bool(lines)) for text in self._lead()],
            lines=[
                ListLine(
                    {
                        "name": name_of_learned(line),
                        "said": (said_of_100(line), "strong"),
                        "beside": (beside_learned(line), "quiet"),
                    }
                )
                for line in lines
            ],
            message=self.said,
            otherwise=[about_line(self.season, marked, today)] if self.season and marked else [],
            most=MOST_SAID,
            second=_undo(marked),
            opens=_use(marked),
        )

    def _lead(self) -> list[str]:
        told = about_season(self.season) if self.season else words.say("screens.today.working-out")
        return [words.say("season.lead"), told]

    def lines_count(self) -> int:
        """As many as can be told."""
        return len(self.told_lines)

    def open_line(self, index: int) -> None:
        """Use what was learned, with all of its group."""
        line = self.told_lines[index]
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
        line = self.told_lines[self.mark] if self.told_lines else None
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


def _use(line: Line | None) -> KeyHint | None:
    if line is None or isinstance(line, LearnedSource):
        return None
    return KeyHint(key_of("begin"), words.say("season.keys.take"))


def _undo(line: Line | None) -> KeyHint | None:
    if line is None or isinstance(line, LearnedSource) or not is_learned(line.row):
        return None
    return KeyHint(key_of("take-back"), words.say("season.keys.revoke"))
