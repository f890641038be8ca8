"""What can go wrong, as one sentence each: a code into words/, and the values that fill it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from rounds import words
from rounds.words.forms import calendar_day


@dataclass(frozen=True, slots=True)
class Place:
    """Where the trouble is: a file's line and column, or an argument of a command."""

    file: str | None = None
    line: int | None = None
    column: str | None = None
    argument: str | None = None


class RoundsError(Exception):
    """A fault a user can read. `exit_status` is what a command ends with.

    `field` is what of the given is at fault, by its name in the model. `argument` is what its user
    calls it: commands, forms and files each say so before the fault is told.
    """

    exit_status = 1

    def __init__(
        self,
        code: str,
        /,
        *,
        field: str | None = None,
        argument: str | None = None,
        places: Sequence[Place] = (),
        **values: object,
    ) -> None:
        super().__init__(code)
        self.code = code
        self.field = field
        self.argument = argument or field
        self.values: dict[str, Any] = values
        self._places = tuple(places)

    @property
    def places(self) -> tuple[Place, ...]:
        """Where the trouble is; empty where it is nowhere in particular."""
        return self._places or ((Place(argument=self.argument),) if self.argument else ())

    @property
    def message(self) -> str:
        """What is wrong, and where."""
        return self._say("message")

    @property
    def what_to_do(self) -> str:
        """What to do about it."""
        return self._say("what_to_do")

    def __str__(self) -> str:
        return f"{self.message} {self.what_to_do}".strip()

    def _say(self, sentence: str) -> str:
        named = {"argument": self.argument} if self.argument else {}
        values = {name: _written(value) for name, value in self.values.items()}
        return words.say(f"errors.{self.code}.{sentence}", **named, **values)


def _written(value: object) -> object:
    """A day as people write it, with its year, as nothing here says which day is today."""
    return calendar_day(value, date.min) if isinstance(value, date) else value


class BadInput(RoundsError):
    """Something given cannot be used; nothing was written."""

    exit_status = 2


class Refused(RoundsError):
    """The state of things does not allow it."""

    exit_status = 3


class LogbookUnusable(RoundsError):
    """The logbook file cannot be used."""

    exit_status = 4
