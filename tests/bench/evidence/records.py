"""What a season and a habit tell each other. Days are whole numbers, the first of a season is 0."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

SHELVES = ("north shelf", "south shelf", "long shelf")
APART = "apart"
"""the place where plants stand apart"""
ROOTS = "roots"


@dataclass(frozen=True, slots=True)
class Stand:
    """Where a plant stands; the spot next to one has the next number."""

    place: str
    spot: int


@dataclass(frozen=True, slots=True)
class Pot:
    """A plant as anybody can see it."""

    code: str
    size: str
    home: Stand
    """where it stands when it stands among the others"""
    came_on: int
    is_new: bool
    """it was bought, and is not one of those that were always there"""
    source: str | None = None
    """from where, if it came with others"""


@dataclass(frozen=True, slots=True)
class Visit:
    """A plant of a round, and the seconds of looking at each of its zones, in their order."""

    code: str
    zones: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Look:
    """One zone that was looked at; all that was found is taken off."""

    code: str
    zone: str
    seconds: float
    """of looking, without handling"""
    found: Mapping[str, int] = field(default_factory=dict)
    """number by group: eggs, young or adult"""

    @property
    def count(self) -> int:
        """How many were found."""
        return sum(self.found.values())


@dataclass(frozen=True, slots=True)
class Decisions:
    """What is done in the evening."""

    apart: tuple[str, ...] = ()
    """codes of plants that are carried to the place apart"""
    back: tuple[str, ...] = ()
    """codes of those that go home from there"""


class Habit(Protocol):
    """A way of going about it. It learns what a grower sees, never what is there."""

    every: int
    """days from one round to the next, which has the minutes of so many days"""

    def comes(self, pot: Pot) -> None:
        """A plant is there from the morning of `came_on`; a new one stands apart."""

    def goes(self, day: int, code: str) -> None:
        """A plant died."""

    def morning(self, day: int, seconds: float) -> tuple[Visit, ...]:
        """The round of a day in walking order; what lies beyond the seconds is not reached."""

    def saw(self, day: int, looks: tuple[Look, ...]) -> None:
        """What the round came to, in the order of the looks."""

    def evening(self, day: int, least_c: float, greatest_c: float) -> Decisions:
        """The day ends; its temperatures are read."""

    def close(self) -> None:
        """The season is over."""
