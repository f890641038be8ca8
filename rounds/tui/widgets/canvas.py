"""The one widget that paints: a page of text, line by line, in the colours of its roles."""

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from rounds.tui.page import Cell, Page, ordered

ROLES = ("ink", "quiet", "strong", "here", "find", "apart", "doubt", "ask")


class Canvas(Widget):
    """Shows a page; repaints only the lines that changed."""

    COMPONENT_CLASSES = {f"canvas--{role}" for role in ROLES}  # noqa: RUF012 - Textual's own form

    def __init__(self) -> None:
        super().__init__()
        self._page = Page(0, 0)

    @property
    def page(self) -> Page:
        """The page shown."""
        return self._page

    def show(self, page: Page) -> None:
        """Show a page from now on."""
        before, self._page = self._page, page
        if (before.width, before.height) != (page.width, page.height):
            self.refresh()
            return
        changed = [
            Region(0, row, page.width, 1)
            for row, cells in enumerate(page.rows)
            if cells != before.rows[row]
        ]
        if changed:
            self.refresh(*changed)

    def render_line(self, y: int) -> Strip:
        """One line of the page."""
        # asked once a line: it is worked out from the stylesheet each time
        width, ground = self.size.width, self._ground
        if y >= self._page.height:
            return Strip.blank(width, ground)
        segments = self._segments(self._page.rows[y], ground)
        return Strip(segments).adjust_cell_length(width, ground)

    def _segments(self, cells: list[Cell], ground: Style) -> list[Segment]:
        segments: list[Segment] = []
        column = 0
        for cell in ordered(cells):
            if cell.column > column:
                segments.append(Segment(" " * (cell.column - column), ground))
            segments.append(Segment(cell.text, self._style(cell)))
            column = cell.end
        return segments

    @property
    def _ground(self) -> Style:
        """The background style; the terminal's own where no colour is wanted."""
        return Style() if self.app.no_color else self.rich_style

    def _style(self, cell: Cell) -> Style:
        style = self.get_component_rich_style(f"canvas--{cell.role}")
        # Textual would use greys; without colour only bold and reverse remain
        return style.without_color if self.app.no_color else style
