"""What a page asks of a day besides what every day has: worked out for it alone, once."""

from collections.abc import Generator
from dataclasses import dataclass
from typing import Any, Protocol

from rounds.errors import RoundsError
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook.book import Written


class Question(Protocol):
    """Frozen and hashable, so that the same question is answered once for a state of the file."""

    def in_steps(self, day: CollectionDay) -> Generator[None, None, Any]:
        """The answer, a frozen value, in steps so short that no key waits."""


@dataclass(frozen=True, slots=True)
class Answered:
    """A question, and what came of it in one state of the file."""

    written: Written
    question: Question
    found: Any
    """the answer; None where there is none"""
    fault: RoundsError | None = None
    """why there is none"""
