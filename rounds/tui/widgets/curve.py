"""The chance clean by day, drawn: as it was, and as it is expected to go on."""

from collections.abc import Sequence
from datetime import date, timedelta

from rich.cells import cell_len

from rounds import words
from rounds.service.inference.course import Course
from rounds.tui.page import Cell, Spot
from rounds.tui.widgets.painted import Painted
from rounds.words.forms import calendar_day

WAS, AHEAD, ASKED, AXIS, FOOT, TICK = "\u2022", "\u25e6", "\u2504", "\u2502", "\u2500", "\u2534"
"""A full dot, an empty one, a broken line, and the two axes."""
LEFT = 5
"""columns of the figures beside the upright axis, and the axis"""
FRAME_ROWS = 3
"""rows that are no part of the curve: its marks, and under it the axis and the days"""
LEAST_ROWS = 5
LABELLED = (1.0, 0.5, 0.0)
BETWEEN = 2
"""least columns between two days on the axis"""


class Curve(Painted):
    """A curve, its axes, and above it what its marks mean."""

    def __init__(self) -> None:
        super().__init__(classes="curve")
        self._course: Course | None = None

    def show(self, course: Course | None) -> None:
        """Show a course from now on; None while it is not known."""
        if course != self._course:
            self._course = course
            self.refresh()

    def count_rows(self) -> int:
        """All there are, where there is enough room for a curve."""
        has_room = self.size.height >= FRAME_ROWS + LEAST_ROWS
        return self.size.height if self._course is not None and has_room else 0

    def spot_at(self, row: int, column: int) -> Spot | None:
        """Nothing is clicked here."""
        return None

    def cells_of(self, row: int) -> Sequence[Cell]:
        """The marks, the curve, the axis, and its days."""
        course = self._course
        if course is None:
            return ()
        last = self.size.height - 1
        if row == 0:
            return (Cell(0, words.say("course.marks", was=WAS, ahead=AHEAD, asked=ASKED), "quiet"),)
        if row == last:
            return [Cell(at, text, "quiet") for at, text in self._days(course)]
        if row == last - 1:
            return (Cell(LEFT - 1, self._foot(course), "quiet"),)
        return self._plotted(course, row - 1)

    @property
    def _rows(self) -> int:
        return self.size.height - FRAME_ROWS

    @property
    def _columns(self) -> int:
        return self.size.width - LEFT

    def _row_of(self, chance: float) -> int:
        """Counted from the top."""
        return round((1 - chance) * (self._rows - 1))

    def _day_of(self, course: Course, column: int) -> date:
        days = (course.last - course.first).days
        return course.first + timedelta(days=round(days * column / max(1, self._columns - 1)))

    def _column_of(self, course: Course, day: date) -> int:
        days = max(1, (course.last - course.first).days)
        return round((day - course.first).days * (self._columns - 1) / days)

    def _plotted(self, course: Course, row: int) -> Sequence[Cell]:
        cells = [Cell(LEFT - 1, AXIS, "quiet")]
        for chance in (course.asked, *LABELLED):
            if self._row_of(chance) == row:
                figure = str(round(100 * chance))
                cells.append(Cell(LEFT - 2 - len(figure), figure, "quiet"))
                break
        is_asked = self._row_of(course.asked) == row
        for column in range(self._columns):
            day = self._day_of(course, column)
            if self._row_of(course.chance_on(day)) == row:
                is_past = day <= course.on
                mark = WAS if is_past else AHEAD
                cells.append(Cell(LEFT + column, mark, "ink" if is_past else "here"))
            elif is_asked:
                cells.append(Cell(LEFT + column, ASKED, "quiet"))
        return cells

    def _days(self, course: Course) -> list[tuple[int, str]]:
        """The days under the axis: today, the last and the first, as far as there is room."""
        found: list[tuple[int, str]] = []
        for day in (course.on, course.last, course.first):
            text = words.say("forms.today") if day == course.on else calendar_day(day, course.on)
            at = min(LEFT + self._column_of(course, day), self.size.width - cell_len(text))
            end = at + cell_len(text) + BETWEEN
            if all(end <= other or at >= other + cell_len(said) + BETWEEN for other, said in found):
                found.append((at, text))
        return sorted(found)

    def _foot(self, course: Course) -> str:
        today = self._column_of(course, course.on) + 1
        line = "\u2514" + FOOT * self._columns
        return line[:today] + TICK + line[today + 1 :]
