"""What can go wrong, as one sentence each: a code into words/, and the values that fill it."""

from collections.abc import Sequence
from dataclasses import dataclass

from rounds import words


@dataclass(frozen=True, slots=True)
class Place:
    """Where the trouble is: a file's line and column, or an argument of a command."""

    file: str | None = None
    line: int | None = None
    column: str | None = None
    argument: str | None = None


class RoundsError(Exception):
    """A fault a user can read. `exit_status` is what a command ends with."""

    exit_status = 1

    def __init__(self, code: str, /, *, places: Sequence[Place] = (), **values: object) -> None:
        super().__init__(code)
        self.code = code
        self.places = tuple(places)
        self.values = values

    @property
    def message(self) -> str:
        """What is wrong, and where."""
        return words.say(f"errors.{self.code}.message", **self.values)

    @property
    def what_to_do(self) -> str:
        """What to do about it."""
        return words.say(f"errors.{self.code}.what_to_do", **self.values)

    def __str__(self) -> str:
        return f"{self.message} {self.what_to_do}".strip()


class BadInput(RoundsError):
    """Something given cannot be used; nothing was written."""

    exit_status = 2


class Refused(RoundsError):
    """The state of things does not allow it."""

    exit_status = 3


class LogbookUnusable(RoundsError):
    """The logbook file cannot be used."""

    exit_status = 4
