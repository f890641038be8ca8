"""A list that asks: a question stands until one of its answers, or any other key, closes it."""

from collections.abc import Callable, Sequence

from textual import events
from textual.binding import BindingType

from rounds import words
from rounds.errors import RoundsError
from rounds.service.entries.corrections import reopen_doubt, settle, withdraw
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.round.view import Answer
from rounds.tui.keys import bindings, key_of, pressed
from rounds.tui.pages.asked import Asked
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.list_screen import ListScreen, list_bindings
from rounds.tui.screens.page_screen import ReadsAgain

VERDICTS = {"yes": "alive", "remains": "remains", "no": "not-an-insect"}
"""What a doubt is settled as, by the role of the key."""


class AskingScreen(ListScreen, ReadsAgain):
    """Reads again what was written elsewhere; takes entries back and settles doubts."""

    def __init__(self, logbook: Logbook) -> None:
        super().__init__()
        self.logbook = logbook
        self.asked: Asked | None = None
        self._then: Callable[[str], None] = self.pressed
        self.day = self.days.today()
        self.read()

    def read(self) -> None:
        """Take what is shown from the day and, where it is not in that, from the logbook."""
        raise NotImplementedError

    def pressed(self, role: str) -> None:
        """Act on the key of an answer, pressed while nothing is asked, or say that it does nothing.

        Subclasses override it for keys that act by themselves.
        """
        self.tell(self.why_idle(role))

    def reload(self) -> None:
        """Read and show again, as others have written."""
        self.read_if_old()
        self.paint()

    def read_if_old(self) -> None:
        """Read again where the day is another, or a fuller one; the mark stays inside."""
        day = self.days.after(self.day)
        if day is not self.day:
            self.day = day
            self.read()
            self.mark = max(0, min(self.mark, self.lines_count() - 1))

    def ask(self, text: str, roles: Sequence[str], then: Callable[[str], None], *,
            said: dict[str, str] | None = None, aid: str = "",
            count: int = 0) -> None:  # fmt: skip
        """Ask, and do `then` with the role of the answer.

        `said` are answers in other words; `count` is the number that one of them names.
        """
        other = said or {}
        answers = tuple(
            Answer(role, words.say(f"plant.answers.{other.get(role, role)}", count=count))
            for role in roles
        )
        self.asked, self._then, self.message = Asked(text, answers, aid), then, ""

    def on_key(self, event: events.Key) -> None:
        """Any key but an answer closes the question."""
        key = pressed(event)
        if self.asked is not None and not any(key == key_of(a.role) for a in self.asked.answers):
            self.asked = None
        self.paint()

    def action_answer(self, role: str) -> None:
        """The answer to what is asked; else what the key does by itself."""
        answers_question = self.asked is not None and self.asked.takes(role)
        then = self._then if answers_question else self.pressed
        self.asked, self.number, self.message = None, "", ""
        try:
            then(role)
        except RoundsError as fault:
            self.message = sentence_of(fault)
        self.read_if_old()
        self.paint()

    def action_open(self) -> None:
        """Enter may be an answer too."""
        if self.asked is not None and self.asked.takes("begin"):
            self.action_answer("begin")
        else:
            super().action_open()

    # what several of them do

    def ask_take_back(self, entry: str, what: str) -> None:
        """Ask whether an entry is taken back."""

        def then(role: str) -> None:
            if role == "yes":
                self.take_back(entry, what)

        self.ask(words.say("plant.ask.take-back", what=what), ("yes", "no"), then)

    def take_back(self, entry: str, what: str) -> None:
        """Take an entry back and say so."""
        gone, _ = withdraw(self.logbook, now(self.logbook.clock), entry)
        counts = len(gone) - 1
        code = {0: "taken-back", 1: "taken-with-one"}.get(counts, "taken-with")
        self.message = words.say(f"plant.said.{code}", what=what, count=counts)

    def settle_as(self, entry: str, role: str, what: str) -> None:
        """Settle a doubt by the key that says what it was; `doubtful` opens it again."""
        moment = now(self.logbook.clock)
        if role == "doubtful":
            reopen_doubt(self.logbook, moment, entry)
        else:
            settle(self.logbook, moment, entry, VERDICTS[role])
        said = VERDICTS.get(role, role)
        self.message = words.say(f"plant.said.{said}", what=what)


def asking_bindings(screen: str, *answers: str) -> list[BindingType]:
    """The keys of a list that asks, with the roles that answer its questions."""
    return [
        *list_bindings(screen, [("help", "help")]),
        *bindings(screen, [(role, f"answer('{role}')") for role in ("take-back", *answers)]),
    ]
