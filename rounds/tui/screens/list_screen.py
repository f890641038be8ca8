"""A screen with numbered lines and a mark on one of them."""

from collections.abc import Iterable

from textual import events
from textual.binding import BindingType

from rounds.tui.keys import FIGURES, bindings, key_of, pressed
from rounds.tui.pages.parts import say
from rounds.tui.screens.page_screen import PageScreen

MOVES = {"up": -1, "down": 1}
PAGES = {"pageup": -1, "pagedown": 1}
LONGEST_NUMBER = 6


class ListScreen(PageScreen):
    """Space and b, arrows and page keys move the mark; enter opens, a number first chooses.

    Any other key acts on the line of the number typed before it. Subclasses say how many lines
    there are, and what opening one does.
    """

    def __init__(self) -> None:
        super().__init__()
        self.mark = 0
        self.number = ""

    def lines_count(self) -> int:
        """How many lines there are."""
        raise NotImplementedError

    def open_line(self, index: int) -> None:
        """What enter does on a line, counted from 0."""
        raise NotImplementedError

    def open_number_nought(self) -> None:
        """What 0 and enter do; nothing unless a screen says so."""
        self.message = say("list.no-line", number=0)

    def lines_shown(self) -> int:
        """How far a page key goes."""
        raise NotImplementedError

    def move_mark(self, lines: int) -> None:
        """Move the mark, not beyond the ends; after a number, to its line."""
        number, self.number, self.message = self.number, "", ""
        before, last = self.mark, self.lines_count() - 1
        if number:
            self._mark_number(int(number))
        else:
            self.mark = max(0, min(last, self.mark + lines))
            if lines and self.mark == before:
                code = "empty" if last < 0 else "last" if lines > 0 else "first"
                self.message = say(f"list.{code}")
        self.paint()

    def action_next_line(self) -> None:
        """One line down."""
        self.move_mark(1)

    def action_line_back(self) -> None:
        """One line up."""
        self.move_mark(-1)

    def action_open(self) -> None:
        """Open the line whose number was typed, else the one that is marked."""
        number, self.number, self.message = self.number, "", ""
        if number and int(number) == 0:
            self.open_number_nought()
        elif number:
            self._open_number(int(number))
        elif self.lines_count():
            self.open_line(self.mark)
        else:
            self.message = say("list.empty")
        self.paint()

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.app.pop_screen()

    def on_key(self, event: events.Key) -> None:
        """Figures of a line's number; the keys that move the mark on a desk keyboard."""
        if event.key in FIGURES:
            self._add_figure(event.key)
        elif event.key in MOVES:
            self.move_mark(MOVES[event.key])
        elif event.key in PAGES:
            self.move_mark(PAGES[event.key] * self.lines_shown())
        elif event.key == "backspace":
            self.number = self.number[:-1]
            self.message = self._asks_line() if self.number else ""
            self.paint()
        else:
            if self.number:
                self._choose_for(event)
            return
        # so that it is not said to do nothing
        event.prevent_default()

    def line_clicked(self, index: int) -> None:
        """Mark a line; open it where it is marked already."""
        is_marked = index == self.mark
        self.number, self.message = "", ""
        if is_marked:
            self.open_line(index)
        else:
            self.mark = index
        self.paint()

    def on_mouse_scroll_down(self) -> None:
        """The wheel moves the mark, and no line is missed at the end."""
        self._wheel(1)

    def on_mouse_scroll_up(self) -> None:
        """The same, back."""
        self._wheel(-1)

    def _wheel(self, lines: int) -> None:
        if self.line is None and 0 <= self.mark + lines < self.lines_count():
            self.number = ""
            self.move_mark(lines)

    def _add_figure(self, figure: str) -> None:
        """One more figure of a number; after a long one it begins anew."""
        self.number = figure if len(self.number) == LONGEST_NUMBER else self.number + figure
        self.message = self._asks_line()
        self.paint()

    def _asks_line(self) -> str:
        """What enter does after the number typed so far."""
        has_line = int(self.number) <= self.lines_count()
        return say(f"list.{'asks-line' if has_line else 'no-line'}", number=self.number)

    def _choose_for(self, event: events.Key) -> None:
        """Mark the line of the number for the key that follows it; where there is none, say so."""
        key = pressed(event)
        if key in {key_of(role) for role in ("begin", "next", "back")}:
            # they know of the number themselves
            return
        number, self.number, self.message = self.number, "", ""
        leaves = key in (key_of("leave"), key_of("help"))
        if not (leaves or self._mark_number(int(number))):
            self.message = say("list.no-line-for", number=number, key=key)
            event.stop()
            event.prevent_default()
        self.paint()

    def _mark_number(self, number: int) -> bool:
        """Mark the line of a number; whether there is one."""
        if not 1 <= number <= self.lines_count():
            self.message = say("list.no-line", number=number)
            return False
        self.mark = number - 1
        return True

    def _open_number(self, number: int) -> None:
        if self._mark_number(number):
            self.open_line(self.mark)


def list_bindings(screen: str, more: Iterable[tuple[str, str]] = ()) -> list[BindingType]:
    """The keys every list has, and those of one screen."""
    moves = (("next", "next_line"), ("back", "line_back"), ("begin", "open"))
    return bindings(screen, [("leave", "leave"), *moves, ("find", "find"), *more])
