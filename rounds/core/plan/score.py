"""The score of what a plant may cost if it is left alone, and what it is made of."""

from dataclasses import dataclass, replace
from typing import Literal

Word = Literal["look first", "today", "can wait"]

TIED_DECIMALS = 9
"""to which risks are compared"""


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A plant that what leaves this one may reach."""

    share: float
    """of the crawlers that leave, those that reach it"""
    value: float
    """what the grower says it is worth; 1 where nothing was said"""


@dataclass(frozen=True, slots=True)
class Part:
    """What one thing adds to the score."""

    code: str
    value: float
    pest: str = ""
    """whose it is, where that is not the first pest of the plant"""


@dataclass(frozen=True, slots=True)
class PlantRisk:
    """A score from 0 to 100; its parts add up to it, greatest first."""

    value: float
    word: Word
    parts: tuple[Part, ...]

    def heeded(self) -> "PlantRisk":
        """The same of a plant that is due or planned: it does not wait."""
        return replace(self, word="today") if self.word == "can wait" else self

    @property
    def place(self) -> float:
        """Sort key, the greatest risk first. Digits that depend on how it was summed up are left
        out, so that equal risks stay ties on every machine."""
        return -round(self.value, TIED_DECIMALS)
