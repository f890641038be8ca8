"""A list that typing narrows down; enter takes its marked line."""

from collections.abc import Sequence
from typing import Generic, TypeVar

from rounds.tui.page import Page
from rounds.tui.pages.parts import typing_keys
from rounds.tui.pages.told import Told
from rounds.tui.screens.laid_out import Listing

MOVES = {"up": -1, "down": 1}
MOST_TYPED = 40

T = TypeVar("T")


class NarrowingScreen(Listing, Generic[T]):
    """Letters are text, arrows and the wheel move the mark; a click on a line takes it."""

    def __init__(self) -> None:
        super().__init__()
        self.mark: int | None = None
        """the line that arrows went to; None before they did"""
        self.begin_line(most=MOST_TYPED)

    @property
    def meant(self) -> Sequence[T]:
        """What is meant by what was typed."""
        raise NotImplementedError

    def choose(self, chosen: T) -> None:
        """Do what the line that was taken is for; the screen is gone by then."""
        raise NotImplementedError

    @property
    def text(self) -> str:
        """What was typed so far."""
        return self.typed or ""

    def marked_line(self) -> int:
        """The line that enter takes."""
        return self.mark or 0

    def put_strip(self, page: Page, told: Told) -> None:
        """Put the keys, on the last two rows."""
        typing_keys(page)

    def action_take(self) -> None:
        """Enter."""
        self.line_taken(self.text.strip())

    def line_taken(self, given: str) -> None:
        """Take the marked line; leave all as it was where nothing was typed or marked."""
        meant = self.meant
        if not given and self.mark is None:
            self.app.pop_screen()
        elif meant:
            self._take(meant[self.mark or 0])

    def line_key(self, key: str) -> bool:
        """Arrows move the mark; all else is text."""
        if key not in MOVES:
            return super().line_key(key)
        self._move(MOVES[key])
        return True

    def on_input_changed(self) -> None:
        """Show what is meant now, the first of it marked."""
        self.mark = None
        self.paint()

    def line_clicked(self, index: int) -> None:
        """Take a line."""
        self._take(self.meant[index])

    def on_mouse_scroll_down(self) -> None:
        """The wheel moves the mark."""
        self._move(1)

    def on_mouse_scroll_up(self) -> None:
        """The same, back."""
        self._move(-1)

    def _move(self, lines: int) -> None:
        self.mark = max(0, min(len(self.meant) - 1, (self.mark or 0) + lines))
        self.paint()

    def _take(self, chosen: T) -> None:
        self.app.pop_screen()
        self.choose(chosen)
