"""A page of text, or some rows of one, repainted where it changed."""

from collections.abc import Sequence

from textual.geometry import Region

from rounds.tui.page import Cell, Page, Spot
from rounds.tui.widgets.painted import Painted


class Canvas(Painted):
    """Shows a page; repaints only the lines that changed."""

    def __init__(self, *, classes: str | None = None) -> None:
        super().__init__(classes=classes)
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

    def cells_of(self, row: int) -> Sequence[Cell]:
        """The cells of a row of the page."""
        return self._page.rows[row]

    def count_rows(self) -> int:
        """The rows of the page."""
        return self._page.height

    def spot_at(self, row: int, column: int) -> Spot | None:
        """What the page says is clicked there."""
        return next(
            (s for s in self._page.spots if s.row == row and s.column <= column < s.end), None
        )


class Part(Canvas):
    """Some rows of a page, as high as they are; where it lies the stylesheet says."""

    def show(self, page: Page) -> None:
        """Show these rows from now on."""
        if page.height != self._page.height:
            self.styles.height = page.height
        super().show(page)
