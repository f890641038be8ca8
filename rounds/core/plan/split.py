"""Who fits into the minutes."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Candidate:
    """A plant that could be looked at; `number` is its place in the order of need."""

    number: int
    seconds: float


def fit(candidates: Iterable[Candidate], seconds: float) -> list[int]:
    """The numbers of those that fit, in order of need.

    One that does not fit is passed over, and a smaller one after it may still find room.
    """
    left = seconds
    chosen = []
    for candidate in sorted(candidates, key=lambda c: c.number):
        if candidate.seconds <= left + 1e-9:
            chosen.append(candidate.number)
            left -= candidate.seconds
    return chosen
