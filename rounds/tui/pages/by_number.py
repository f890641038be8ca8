"""The keys of a round by number, for a hand on a number pad, from which letters are far."""

from dataclasses import dataclass

from rounds import words
from rounds.service.round.shown.questions import BY_FIGURE
from rounds.service.round.view import Answer, Question
from rounds.tui.keys import key_of

ROLES = ("killed", "left", "adult", "young", "eggs", "hidden", "rest", "signs", "pause", "leave")
"""What a round needs besides the keys of the pad, on 1 to 9 and 0."""

RARER_ROLES = ("pest", "plants")
"""What it needs now and then, on the figures of one list more."""


@dataclass(frozen=True, slots=True)
class ByNumber:
    """A list to choose from by one figure, asked like any question."""

    question: Question
    roles: tuple[str, ...]
    """of the figures 1, 2 and so on"""

    def role(self, figure: int) -> str | None:
        """What a figure stands for; None where it stands for nothing."""
        at = (figure or 10) - 1
        return self.roles[at] if at < len(self.roles) else None


def letters_are_far() -> bool:
    """Whether the counting keys are signs, as on a number pad, not letters."""
    return not key_of("removed").isalpha()


def takes_figures(question: Question | None) -> bool:
    """Whether figures answer a question as it is."""
    return question is not None and question.code in BY_FIGURE


def answers_by_number(question: Question) -> ByNumber:
    """The answers of a question that waits."""
    said = [(answer.role, answer.text) for answer in question.answers]
    return _numbered(question.code, question.text, said)


def keys_by_number() -> ByNumber:
    """The other keys of a zone; a count takes the figures typed before."""
    said = [(role, words.say(f"screens.keys.{role}")) for role in ROLES]
    return _numbered("by-number", words.say("pad.ask"), said)


def rarer_by_number() -> ByNumber:
    """The keys of a zone for which the first list has no figure left."""
    said = [(role, words.say(f"pad.{role}")) for role in RARER_ROLES]
    return _numbered("by-number", words.say("pad.ask-rarer"), said)


def _numbered(code: str, text: str, said: list[tuple[str, str]]) -> ByNumber:
    answers = tuple(Answer(str(number % 10), text) for number, (_, text) in enumerate(said, 1))
    return ByNumber(Question(code, text, answers), tuple(role for role, _ in said))
