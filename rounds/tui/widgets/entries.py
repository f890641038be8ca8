"""Lines with a label and a value each, into one of which is typed; and what one may choose."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.geometry import Size
from textual.scroll_view import ScrollView

from rounds import words
from rounds.tui.forms.fields import Choice
from rounds.tui.page import Cell, Page, Spot, fit, printable
from rounds.tui.pages.told import ListLine
from rounds.tui.widgets.canvas import Part
from rounds.tui.widgets.line import Line
from rounds.tui.widgets.painted import Painted
from rounds.tui.widgets.rows import Heads, Listed, Rows


@dataclass(frozen=True, slots=True)
class Entered:
    """The lines, the one that is typed into, and what it keeps while nothing is typed."""

    lines: Sequence[ListLine]
    at: int | None
    kept: str = ""
    in_sight: int = 0
    """the line that is in sight where none is typed into"""


class Entries(Vertical):
    """The lines; the one typed into is always in sight, and what follows them scrolls along."""

    def __init__(self, columns: Sequence[str], line: Line, changed: Callable[[], None]) -> None:
        """
        Args:
            columns: from left to right; where they lie, and where is typed, the stylesheet says.
            line: that is typed.
            changed: called where more or fewer of them are in sight.
        """
        super().__init__()
        self._heads = Heads(columns)
        self._before, self._here, self._after = (Rows(self._heads) for _ in range(3))
        self._line, self._tail = line, Part(classes="tail")
        self._scroll = _Scroll(changed)
        self._entered = Entered((), None)

    def compose(self) -> ComposeResult:
        """Those before, the one that is typed, those after, and what follows."""
        yield self._heads
        with self._scroll:
            yield self._before
            yield Horizontal(self._here, self._line, classes="here")
            yield self._after
            yield self._tail

    @property
    def room(self) -> int:
        """Rows for the lines."""
        return self._scroll.size.height

    @property
    def are_all_in_sight(self) -> bool:
        """Whether there is room for every line."""
        return len(self._entered.lines) <= self.room

    def show(self, entered: Entered, tail: Page) -> None:
        """Show lines from now on, and rows that follow them."""
        self._entered, at = entered, entered.at
        lines, count = entered.lines, len(entered.lines)
        self.set_class(at is not None, "-typed")
        self._line.stand(at is not None, entered.kept)
        first = count if at is None else at
        listed = Listed(lines, -1, is_numbered=False)
        _show_part(self._before, listed, 0, first)
        _show_part(self._here, replace(listed, mark=first), first, first + 1)
        _show_part(self._after, listed, first + 1, count)
        self._tail.show(tail)
        self.bring_here()

    def bring_here(self) -> None:
        """Bring the line that is typed into in sight."""
        entered = self._entered
        at = entered.in_sight if entered.at is None else entered.at
        y = max(0, at - self.room // 2)
        # once as it is laid out, and once as it will be
        for is_now in (True, False):
            self._scroll.scroll_to(y=y, animate=False, force=True, immediate=is_now)


class _Scroll(VerticalScroll, can_focus=False):
    def __init__(self, changed: Callable[[], None]) -> None:
        super().__init__()
        self._changed = changed

    def on_resize(self) -> None:
        """Another part of the lines is in sight."""
        self._changed()


def _show_part(rows: Rows, listed: Listed, first: int, end: int) -> None:
    part = replace(listed, lines=listed.lines[first:end], first=first)
    rows.styles.height = len(part.lines)
    rows.show(part)


GAP = 2
"""columns between the names of choices that stand side by side"""


class Choices(Painted, ScrollView):
    """Numbered choices, column by column; how many columns there are, the stylesheet says."""

    def __init__(self) -> None:
        super().__init__(classes="choices")
        self.can_focus = False
        self._shown: Sequence[tuple[int, Choice]] = ()

    def show(self, shown: Sequence[tuple[int, Choice]], most: int) -> None:
        """Show choices with their numbers; `most` is how many there may be while one types."""
        self.display, self._shown = bool(shown), shown
        if shown:
            self.styles.min_height = -(-most // self._columns)
            self.virtual_size = Size(self.size.width, self.count_rows())
            self.refresh()

    @property
    def _columns(self) -> int:
        return self.styles.grid_size_columns or 1

    def count_rows(self) -> int:
        """As many as the longest column has."""
        return -(-len(self._shown) // self._columns)

    def spot_at(self, row: int, column: int) -> Spot | None:
        """The choice that is clicked."""
        before = sum(1 for begin, _ in self._bounds() if begin <= column) - 1
        place = before * self.count_rows() + row
        chosen = self._shown[place : place + 1]
        return Spot(row, 0, self.size.width, choice=chosen[0][1].code) if chosen else None

    def cells_of(self, row: int) -> Sequence[Cell]:
        """A number and a name in each column; in the last row in sight how many are hidden."""
        rows, hidden = self.count_rows(), self._hidden()
        figures = len(str(self._shown[-1][0]))
        if hidden and row == self._last_in_sight():
            width = self.size.width // self._columns
            more = fit(words.say("desk_forms.keeps.more", count=hidden), width)
            return [Cell(figures + 1, more, "quiet")]
        cells = []
        for column, (begin, end) in enumerate(self._bounds()):
            for number, choice in self._shown[column * rows + row : column * rows + row + 1]:
                if row < rows:
                    at = begin + figures
                    name = fit(printable(choice.name), end - at - 2)
                    cells += [Cell(at - len(str(number)), str(number), "strong")]
                    cells += [Cell(at + 1, name)]
        return cells

    def _bounds(self) -> list[tuple[int, int]]:
        """Where columns begin and end: all alike, or as wide as its names where that helps."""
        width, rows = self.size.width // self._columns, self.count_rows()
        even = [(column * width, (column + 1) * width) for column in range(self._columns)]
        beside = len(str(self._shown[-1][0])) + 1 + GAP
        names = [cell_len(printable(choice.name)) for _, choice in self._shown]
        needs = [beside + max(names[at : at + rows]) for at in range(0, len(names), rows)]
        if max(needs) <= width + GAP - 1 or sum(needs) - GAP > self.size.width:
            return even
        ends = list(accumulate(needs))
        return list(zip([0, *ends[:-1]], ends, strict=True))

    def _last_in_sight(self) -> int:
        return self.scroll_offset.y + self.size.height - 1

    def _hidden(self) -> int:
        """How many choices stand on rows below those in sight, and on the one that says so."""
        last = self._last_in_sight()
        if last >= self.count_rows() - 1:
            return 0
        rows = self.count_rows()
        return sum(1 for place in range(len(self._shown)) if place % rows >= last)
