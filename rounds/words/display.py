"""How the screens write days and temperatures: set once for a running program, by its settings.

What is stored, and what commands print for other programs, is never touched by it.
"""

from dataclasses import dataclass
from typing import Literal

DateStyle = Literal["day-month", "month-day", "iso"]


@dataclass(frozen=True, slots=True)
class Display:
    """4 May, May 4 or 2026-05-04; degC or degF."""

    dates: DateStyle = "day-month"
    fahrenheit: bool = False


_shown = Display()


def display() -> Display:
    """How things are written now."""
    return _shown


def show_as(wanted: Display) -> None:
    """Write them so from now on."""
    global _shown
    _shown = wanted
