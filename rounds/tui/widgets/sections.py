"""Several lists below each other in one that scrolls: their heads are lines without a number."""

from collections.abc import Sequence

from rounds.tui.page import Cell, Spot
from rounds.tui.widgets.rows import Rows

LEAD = 4
"""Columns before the first text: number, sign."""


class ListSections(Rows):
    """Lines of which some have a number of their own, by which they are opened."""

    def bring_mark(self) -> None:
        """Bring the marked line in sight; where none is, what is in sight stays there."""
        if self._listed.mark >= 0:
            super().bring_mark()

    def cells_of(self, row: int) -> Sequence[Cell]:
        """Number and sign, where there are some, and the texts of the columns."""
        line, columns = self._listed.lines[row], self._heads.columns()
        start = columns[0].region.x - self.region.x if columns else 0
        cells = []
        if line.number:
            is_marked = row == self._listed.mark
            at = start + 1 - len(line.number)
            cells.append(Cell(at, line.number, "here" if is_marked else "strong"))
        if line.mark[0]:
            cells.append(Cell(start + LEAD - 2, *line.mark))
        return [*cells, *self._texts(line, start + LEAD)]

    def spot_at(self, row: int, column: int) -> Spot | None:
        """The line that is clicked, by its number."""
        number = self._listed.lines[row].number if row < self.count_rows() else ""
        return Spot(row, 0, self.size.width, line=int(number) - 1) if number else None

    def numbered_hidden(self) -> tuple[int, int]:
        """How many lines with a number are above and below those in sight."""
        seen, lines = self.in_sight(), self._listed.lines
        above, below = lines[: seen.start], lines[seen.stop :]
        return sum(bool(of.number) for of in above), sum(bool(of.number) for of in below)
