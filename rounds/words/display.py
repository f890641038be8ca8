"""How the screens write days, temperatures and volumes: set once for a running program.

What is stored, and what commands print for other programs, is never touched by it.
"""

from dataclasses import dataclass
from typing import Literal

DateStyle = Literal["day-month", "month-day", "iso"]


@dataclass(frozen=True, slots=True)
class Display:
    """4 May, May 4 or 2026-05-04; degC or degF; ml or US fluid ounces."""

    dates: DateStyle = "day-month"
    fahrenheit: bool = False
    fluid_ounces: bool = False


_shown = Display()


def display() -> Display:
    """How things are written now."""
    return _shown


def show_as(wanted: Display) -> None:
    """Write them so from now on."""
    global _shown
    _shown = wanted
