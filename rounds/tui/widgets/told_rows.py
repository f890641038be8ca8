"""Rows in columns, each said whole: a long text runs on below itself, and the rest scrolls."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.geometry import Size
from textual.widget import Widget

from rounds import words
from rounds.tui.page import WIDE, Cell, Page, Spot, fit, wrap
from rounds.tui.pages.told import Row, Said
from rounds.tui.widgets.canvas import Part
from rounds.tui.widgets.painted import Painted

SCROLLS = {"up": -1, "down": 1}
PAGES = {"pageup": -1, "pagedown": 1}


@dataclass(frozen=True, slots=True)
class _Line:
    """One row as it is painted, and the keys that its first text names."""

    cells: tuple[Cell, ...]
    press: tuple[str, ...] = ()


class ToldRows(Painted):
    """Rows; `grid-columns` of the stylesheet says how wide its columns are, the last but rest.

    The first is the column of the marks.
    """

    def __init__(self, classes: str) -> None:
        super().__init__(classes=classes)
        self._rows: Sequence[Row] = ()
        self._lines: tuple[int, list[_Line]] = (0, [])

    def show(self, rows: Sequence[Row]) -> None:
        """Show rows from now on."""
        if rows != self._rows:
            self._rows, self._lines = rows, (0, [])
            self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """All of them."""
        return len(self._within(width))

    def count_rows(self) -> int:
        """All of them."""
        return len(self._within(self.size.width))

    def cells_of(self, row: int) -> Sequence[Cell]:
        """The texts of a row."""
        return self._within(self.size.width)[row].cells

    def spot_at(self, row: int, column: int) -> Spot | None:
        """The key that is clicked; beside them that of a row with one."""
        line = self._within(self.size.width)[row]
        spots, at = [], line.cells[0].column if line.press else 0
        for key in line.press:
            spots.append(Spot(row, at, at + cell_len(key), (key,)))
            at += cell_len(key) + 1
        if len(spots) == 1:
            return Spot(row, 0, self.size.width, line.press)
        return next((spot for spot in spots if spot.column <= column < spot.end), None)

    def _within(self, width: int) -> list[_Line]:
        if self._lines[0] != width:
            lines = [line for row in self._rows for line in self._broken(row, width)]
            self._lines = width, lines if width else []
        return self._lines[1]

    def _broken(self, row: Row, width: int) -> list[_Line]:
        """A row as lines of a width."""
        columns = [0]
        for scalar in self.styles.grid_columns or ():
            columns.append(columns[-1] + int(scalar.value))
        texts = [_said(text) for text in row.texts]
        # while the page changes its size, rows of a wide one may meet the columns of a narrow one
        if not texts or len(texts) >= len(columns) or width <= columns[len(texts)]:
            return [_Line(())]
        cells = [Cell(0, *row.mark)] if row.mark[0] else []
        for at, (text, role) in enumerate(texts[:-1], 1):
            shown = fit(text, columns[at + 1] - columns[at] - 1)
            cells += [Cell(columns[at], shown, role)] if shown else []
        begin, (last, role) = columns[len(texts)], texts[-1]
        first, *further = (fit(line, width - begin) for line in wrap(last, width - begin))
        lines = [_Line((*cells, Cell(begin, first, role)), row.press)]
        return [*lines, *(_Line((Cell(begin, text, role),)) for text in further)]


def _said(text: str | Said) -> Said:
    return (text, "ink") if isinstance(text, str) else text


class Scrolled(Vertical):
    """What may be longer than the room there is: keys and wheel scroll it, and how much is told."""

    def __init__(self, *parts: Widget) -> None:
        super().__init__()
        self._within = _Scroll(self.tell_hidden, *parts)
        self._more = Part(classes="more")

    def compose(self) -> ComposeResult:
        """The parts, and how much of them is hidden."""
        yield self._within
        yield self._more

    def scroll_by(self, key: str) -> bool:
        """Scroll as a key says; whether it is one of these keys."""
        if key not in SCROLLS and key not in PAGES:
            return False
        rows = SCROLLS.get(key, 0) + PAGES.get(key, 0) * max(1, self._within.size.height - 1)
        self._within.scroll_relative(y=rows, animate=False, force=True)
        return True

    def show_first(self) -> None:
        """Scroll to the first row."""
        self._within.scroll_home(animate=False, force=True)

    def tell_hidden(self) -> None:
        """Say how many rows are above and below those in sight."""
        within = self._within
        rows, first, seen = within.virtual_size.height, within.scroll_offset.y, within.size.height
        below = max(0, rows - first - seen)
        # the row that says so may itself be what hides a row, unless it says what is above
        is_all_but_that = not first and below <= self._more.page.height
        hidden = {"above": first, "below": 0 if is_all_but_that else below}
        said = [words.say(f"plant.{code}", count=count) for code, count in hidden.items() if count]
        width, _ = self.app.size
        more = Page(width, int(bool(said)), wide=width >= WIDE)
        more.put(0, more.edge + 2, ", ".join(said), "quiet")
        self._more.show(more)


class _Scroll(VerticalScroll, can_focus=False):
    def __init__(self, changed: Callable[[], None], *parts: Widget) -> None:
        super().__init__(*parts)
        self._changed = changed

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Tell that other rows are in sight."""
        super().watch_scroll_y(old_value, new_value)
        self._changed()

    def watch_virtual_size(self) -> None:
        """Tell that there are more rows, or fewer."""
        self._changed()

    def on_resize(self) -> None:
        """Tell that there is another room for them."""
        self._changed()
