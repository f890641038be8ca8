"""Texts one below the other, each whole: one that has no room is left out, not cut."""

from collections.abc import Sequence

from textual.geometry import Size

from rounds.tui.page import Cell, Spot, fit, wrap
from rounds.tui.pages.told import Said
from rounds.tui.widgets.painted import Painted

MOST = 99
"""rows of a text that is shown whole"""


class Paragraphs(Painted):
    """As many of them, the first ones first, as there is room for."""

    def __init__(self, classes: str, most: int = MOST) -> None:
        """`most` rows of a text are shown, with two points where it has more."""
        super().__init__(classes=classes)
        self._most = most
        self._texts: Sequence[Said] = ()

    def show(self, texts: Sequence[Said]) -> None:
        """Show texts from now on."""
        if texts != self._texts:
            self._texts = texts
            self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """The rows of all of them."""
        return len(self._within(width, viewport.height))

    def cells_of(self, row: int) -> Sequence[Cell]:
        """One line of a text."""
        return (Cell(0, *self._lines[row]),)

    def count_rows(self) -> int:
        """The rows of those shown."""
        return len(self._lines)

    def spot_at(self, row: int, column: int) -> Spot | None:
        """Nothing is clicked here."""
        return None

    @property
    def _lines(self) -> Sequence[Said]:
        return self._within(*self.size)

    def _within(self, width: int, height: int) -> Sequence[Said]:
        found: list[Said] = []
        for text, role in self._texts if width else ():
            # a word may be longer than all the room there is
            lines = [fit(line, width) for line in wrap(text, width)]
            if len(lines) > self._most:
                rest = " ".join(lines[self._most - 1 :])
                lines = [*lines[: self._most - 1], fit(rest, width)]
            if len(found) + len(lines) <= height:
                found += [(line, role) for line in lines]
        return found
