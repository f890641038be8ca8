"""A list of numbered lines in columns: only what is in sight is painted, however long it is.

Where its columns lie, and which of them there is room for, is said by the stylesheet: of the heads
that stand above the list, hidden or not.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from rich.cells import cell_len
from textual.containers import Horizontal
from textual.geometry import Size
from textual.scroll_view import ScrollView

from rounds.tui.page import Cell, Spot, fit, printable
from rounds.tui.pages.parts import first_shown
from rounds.tui.pages.told import Fitting, ListLine, Said
from rounds.tui.widgets.painted import Painted

LEAST_FIGURES = 2


@dataclass(frozen=True, slots=True)
class Listed:
    """The lines of a list, what stands over their columns, and the one that is marked."""

    lines: Sequence[ListLine]
    mark: int
    heads: Mapping[str, str] = field(default_factory=dict)
    """by column; without any no row is taken for them"""
    is_numbered: bool = True
    most_numbered: int | None = None
    """how many lines have a number, where not all of them do"""
    first: int = 0
    """the number of the first line, counted from 0"""

    @property
    def lead(self) -> int:
        """Columns before the first text: mark; number, sign."""
        if not self.is_numbered:
            return 2
        return 5 + max(LEAST_FIGURES, len(str(len(self.lines))))

    def has_number(self, at: int) -> bool:
        """Whether a line, counted from 0, has a number."""
        return self.is_numbered and (self.most_numbered is None or at < self.most_numbered)


class Head(Painted):
    """What stands over a column; its place is that of the column."""

    def __init__(self, name: str) -> None:
        super().__init__(classes=f"column -{name}")
        self.column = name
        self._text = ""

    def say(self, text: str) -> None:
        """Stand over the column from now on."""
        if text != self._text:
            self._text = text
            self.refresh()

    def cells_of(self, row: int) -> Sequence[Cell]:
        """The text, cut where the column ends."""
        shown = fit(self._text, self.size.width - (0 if self.is_right else 1))
        at = self.size.width - cell_len(shown) if self.is_right else 0
        return (Cell(at, shown, "quiet"),) if shown else ()

    def count_rows(self) -> int:
        """One."""
        return 1

    def spot_at(self, row: int, column: int) -> Spot | None:
        """Nothing is clicked here."""
        return None

    @property
    def is_right(self) -> bool:
        """Whether the texts of the column end where it ends."""
        return self.styles.text_align in ("right", "end")


class Heads(Horizontal):
    """The heads of all columns, from left to right."""

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__(*(Head(name) for name in names), classes="heads")

    def show(self, listed: Listed) -> None:
        """Say what stands over each column."""
        self.set_class(bool(listed.heads), "-said")
        for number, head in enumerate(self.query(Head)):
            text = listed.heads.get(head.column, "")
            head.say(f"{' ' * listed.lead}{text}" if number == 0 and text else text)

    def columns(self) -> list[Head]:
        """Those there is room for."""
        return [head for head in self.query(Head) if head.display]


class Rows(Painted, ScrollView):
    """The lines; keys move the mark, the wheel what is in sight."""

    def __init__(self, heads: Heads, scrolled: Callable[[], None] = lambda: None) -> None:
        super().__init__()
        self._heads = heads
        self._listed = Listed((), 0)
        self._scrolled = scrolled
        self.can_focus = False

    def show(self, listed: Listed) -> None:
        """Show the lines from now on, the marked one in sight."""
        before, self._listed = self._listed, listed
        self.virtual_size = Size(self.size.width, len(listed.lines))
        if (before.mark, len(before.lines)) != (listed.mark, len(listed.lines)):
            self.bring_mark()
        self.refresh()

    def bring_mark(self) -> None:
        """Bring the marked line in sight, page by page."""
        room = max(1, self.size.height)
        first = first_shown(self._listed.mark, len(self._listed.lines), room)
        self.scroll_to(y=first, animate=False, force=True)

    def on_resize(self) -> None:
        """The mark stays in sight."""
        self.bring_mark()
        self._scrolled()

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Tell that other lines are in sight."""
        super().watch_scroll_y(old_value, new_value)
        self._scrolled()

    def in_sight(self) -> range:
        """The lines that are seen."""
        first = round(self.scroll_offset.y)
        return range(first, min(len(self._listed.lines), first + self.size.height))

    def hidden(self) -> tuple[int, int]:
        """How many lines are above and below those in sight."""
        seen = self.in_sight()
        return seen.start, max(0, len(self._listed.lines) - seen.stop)

    def count_rows(self) -> int:
        """A row a line."""
        return len(self._listed.lines)

    def spot_at(self, row: int, column: int) -> Spot | None:
        """The line that is clicked."""
        is_line = row < len(self._listed.lines)
        return Spot(row, 0, self.size.width, line=self._listed.first + row) if is_line else None

    def cells_of(self, row: int) -> Sequence[Cell]:
        """Mark, number, sign, and the texts of the columns, each cut where the next begins."""
        line, lead, at = self._listed.lines[row], self._listed.lead, self._listed.first + row
        number = str(at + 1)
        start = self._heads.columns()[0].region.x - self.region.x if self._heads.columns() else 0
        cells = []
        if self._listed.has_number(at):
            cells.append(Cell(start + lead - 3 - len(number), number, "strong"))
        if at == self._listed.mark:
            cells.append(Cell(start, ">", "here"))
        if line.mark[0]:
            cells.append(Cell(start + lead - 2, *line.mark))
        return [*cells, *self._texts(line, start + lead)]

    def _texts(self, line: ListLine, first: int) -> Sequence[Cell]:
        """From the right to the left, so that a text may run on where nothing stands."""
        found: list[Cell] = []
        until = min(self._heads.content_region.right - self.region.x, self.size.width)
        for number, head in reversed([*enumerate(self._heads.columns())]):
            said = line.cells.get(head.column, "")
            begin = head.region.x - self.region.x if number else first
            if isinstance(said, Fitting):
                said = said.say(until - (first if head.is_right else begin)), said.role
            text, role = said if isinstance(said, tuple) else _ink(said)
            if head.is_right:
                until = min(until, head.region.right - self.region.x)
                begin = max(first, until - cell_len(printable(text)))
            shown = fit(printable(text), max(0, until - begin))
            if shown:
                found.append(Cell(begin, shown, role))
                until = begin - 1
        return found


def _ink(text: str) -> Said:
    return text, "ink"
