"""The line that is typed: the library's input without a frame, where the stylesheet has its place.

Enter, and what only one screen reads, is done at once and in the order of the keys: keys that
follow quickly find the next line open.
"""

from collections.abc import Sequence
from typing import Protocol

from textual import events
from textual.widgets import Input

from rounds.tui.page import fit, printable

MOST = 200
"""Characters of a line, unless a screen asks for fewer."""

KEPT_AFTER = 3
"""Columns from an empty line to what it keeps."""


class Typist(Protocol):
    """The screen that is told what happens to its line."""

    def line_key(self, key: str) -> bool:
        """Act on a key before the line does; whether it did."""

    def line_taken(self, given: str) -> None:
        """Enter was pressed on the text, given without blanks around it."""

    def lines_pasted(self, lines: Sequence[str]) -> None:
        """At least one line with text was pasted."""


class Line(Input):
    """Is seen while it is open; letters are text meanwhile."""

    def __init__(self, typist: Typist) -> None:
        super().__init__(compact=True, select_on_focus=False, max_length=MOST)
        self.cursor_blink = False
        # else the library does not scroll to the end of the first text that is pasted
        self._initial_value = False
        self.display = self.can_focus = self.is_open = False
        self._typist = typist
        self._kept = ""

    @property
    def text(self) -> str:
        """What was typed so far."""
        return self.value

    @text.setter
    def text(self, text: str) -> None:
        if text != self.value:
            self.value = text
        self.cursor_position = len(text)

    def begin(self, text: str = "", most: int = MOST) -> None:
        """Open it with a text to be edited."""
        self.can_focus = self.is_open = True
        self.max_length, self.text = most, text

    def end(self) -> None:
        """Close it; keys mean what they mean on the page again."""
        self.can_focus = self.is_open = False

    def _keep(self, kept: str, width: int) -> None:
        """What it keeps while nothing is typed, cut where the line ends."""
        self._kept = kept
        shown = fit(printable(kept), max(0, width - KEPT_AFTER)) if kept else ""
        self.placeholder = f"{' ' * KEPT_AFTER}{shown}" if shown else ""

    def on_resize(self) -> None:
        """Cut what it keeps where it ends now."""
        self._keep(self._kept, self.size.width)

    def stand(self, is_seen: bool, kept: str = "") -> None:
        """Stand where the stylesheet has a place for it, or nowhere."""
        self.display = is_seen
        if kept != self._kept:
            self._keep(kept, self.size.width)
        if not self.is_attached:
            # its screen was left, and others have written meanwhile
            return
        if is_seen and not self.has_focus:
            self.screen.set_focus(self, scroll_visible=False)
        elif not is_seen and self.has_focus:
            self.screen.set_focus(None)

    def take(self, event: events.Key) -> bool:
        """Take a key, where it is one that is typed, or one the screen reads; whether it was."""
        if not self.is_open:
            return False
        if self._typist.line_key(event.key):
            return True
        if event.key == "enter":
            self._typist.line_taken(self.value.strip())
        elif event.is_printable and event.character:
            self.replace(event.character, *sorted(self.selection))
        elif event.key == "backspace" and self.selection.is_empty:
            self.action_delete_left()
        else:
            return False
        return True

    def put_in(self, text: str) -> None:
        """Put text in at the cursor, as much of it as there is room for."""
        room = (self.max_length or MOST) - len(self.value) + len(self.selected_text)
        self.replace(text[:room], *sorted(self.selection))

    async def _on_key(self, event: events.Key) -> None:
        event.prevent_default()
        if self.take(event):
            event.stop()

    def _on_paste(self, event: events.Paste) -> None:
        event.prevent_default()
        event.stop()
        lines = [printable(line) for line in event.text.splitlines() if line.strip()]
        if lines and self.is_open:
            self._typist.lines_pasted(lines)
