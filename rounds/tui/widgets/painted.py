"""What every widget of ours shares: cells in the colours of their roles, selected as text."""

from collections.abc import Sequence

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Offset
from textual.message import Message
from textual.selection import Selection
from textual.strip import Strip
from textual.widget import Widget

from rounds.tui.page import Cell, Spot, ordered, plain

ROLES = frozenset(
    f"painted--{role}"
    for role in ("ink", "quiet", "strong", "here", "find", "apart", "doubt", "ask")
)
"""The styles of the roles, by which the library knows them."""
SELECTED = "screen--selection"


class Painted(Widget):
    """Paints rows of cells; subclasses say which. Its screen has the styles of the roles."""

    class Clicked(Message):
        """A spot was clicked."""

        def __init__(self, spot: Spot) -> None:
            super().__init__()
            self.spot = spot

    def __init__(self, *, classes: str | None = None) -> None:
        super().__init__(classes=classes)
        self._pressed_at: Offset | None = None

    def cells_of(self, row: int) -> Sequence[Cell]:
        """The cells of a row, counted from the first there is, in sight or not."""
        raise NotImplementedError

    def count_rows(self) -> int:
        """How many rows there are."""
        raise NotImplementedError

    def spot_at(self, row: int, column: int) -> Spot | None:
        """What is clicked there."""
        raise NotImplementedError

    def render_line(self, y: int) -> Strip:
        """One row in sight."""
        # asked once a line: it is worked out from the stylesheet each time
        width, ground = self.size.width, self._ground
        row = y + self.scroll_offset.y
        if row >= self.count_rows():
            return Strip.blank(width, ground)
        segments = self._segments(self.cells_of(row), ground)
        strip = Strip(segments).adjust_cell_length(width, ground)
        selection = self.text_selection
        span = selection.get_span(row) if selection is not None else None
        if span is not None:
            strip = self._selected(strip, *span)
        return strip.apply_offsets(0, row)

    def get_selection(self, selection: Selection) -> tuple[str, str] | None:
        """What was selected, as text without blanks at the ends of its lines."""
        rows = (plain(self.cells_of(row), self.size.width) for row in range(self.count_rows()))
        text = selection.extract("\n".join(rows))
        return "\n".join(line.rstrip() for line in text.splitlines()), "\n"

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Note where the mouse went down: a click elsewhere ends a selection."""
        self._pressed_at = event.offset

    def on_click(self, event: events.Click) -> None:
        """Tell of a spot that was clicked; a second click is no wish to select everything."""
        event.prevent_default()
        if event.offset == self._pressed_at:
            column, row = event.offset
            spot = self.spot_at(row + self.scroll_offset.y, column)
            if spot is not None:
                self.post_message(self.Clicked(spot))

    def _segments(self, cells: Sequence[Cell], ground: Style) -> list[Segment]:
        segments: list[Segment] = []
        column = 0
        for cell in ordered(cells):
            if cell.column > column:
                segments.append(Segment(" " * (cell.column - column), ground))
            segments.append(Segment(cell.text, self._style(cell)))
            column = cell.end
        return segments

    def _selected(self, strip: Strip, start: int, end: int) -> Strip:
        """A line with its characters from `start` to before `end`, or all of it, as selected."""
        text = strip.text
        first = cell_len(text[:start])
        after = strip.cell_length if end == -1 else cell_len(text[:end])
        style = self.screen.get_component_rich_style(SELECTED)
        style = Style(reverse=True) if self.app.no_color else style
        marked = Segment.apply_style(strip.crop(first, after), post_style=style)
        return Strip.join([strip.crop(0, first), Strip(marked), strip.crop(after)])

    @property
    def _ground(self) -> Style:
        """The background style; the terminal's own where no colour is wanted."""
        return Style() if self.app.no_color else self.rich_style

    def _style(self, cell: Cell) -> Style:
        style = self.screen.get_component_rich_style(f"painted--{cell.role}")
        # Textual would use greys; without colour only bold and reverse remain
        return style.without_color if self.app.no_color else style
