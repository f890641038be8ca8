"""What a measure found, and the table it is printed in."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil
from statistics import median

TITLES = ("measure", "n", "ours", "p99", "against", "p99", "unit", "figure", "goal", "")
MISSING = "-"
GAP = "  "


@dataclass(frozen=True, slots=True)
class Row:
    """One figure and what it was made from.

    `ours` and `against` are in `unit`; `against` is empty where nothing is compared. `figure` has
    the unit of its `goal`, which is the most it may be; None where none was set.
    """

    name: str
    unit: str
    ours: Sequence[float]
    against: Sequence[float]
    figure: float
    goal: float | None

    def cells(self) -> tuple[str, ...]:
        """The row as text, one cell for each title."""
        return (
            self.name,
            str(len(self.ours)),
            *_middle_and_tail(self.ours),
            *_middle_and_tail(self.against),
            self.unit,
            f"{self.figure:.2f}",
            MISSING if self.goal is None else f"{self.goal:g}",
            "above" if self.goal is not None and self.figure > self.goal else "",
        )


def p99(values: Sequence[float]) -> float:
    """The least value that 99 in 100 do not exceed (nearest rank; below 100 values the greatest).

    ValueError if there are no values.
    """
    if not values:
        raise ValueError("no values")
    return sorted(values)[ceil(0.99 * len(values)) - 1]


def ratio_of_medians(ours: Sequence[float], against: Sequence[float]) -> float:
    """How many times as much ours takes."""
    return median(ours) / median(against)


def table(rows: Iterable[Row]) -> str:
    """All rows under their titles; names to the left, numbers to the right."""
    lines = [TITLES, *(row.cells() for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(TITLES))]
    return "\n".join(_line(line, widths) for line in lines)


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    first, *others = zip(cells, widths, strict=True)
    aligned = [first[0].ljust(first[1]), *(text.rjust(width) for text, width in others)]
    return GAP.join(aligned).rstrip()


def _middle_and_tail(values: Sequence[float]) -> tuple[str, str]:
    if not values:
        return MISSING, MISSING
    return f"{median(values):.2f}", f"{p99(values):.2f}"
