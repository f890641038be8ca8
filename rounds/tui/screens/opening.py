"""What is seen while the logbook is opened and the day is planned."""

from collections.abc import Callable

from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Static

from rounds import words

LEAST_WIDTH, LEAST_HEIGHT = 40, 12


class OpeningScreen(Screen[None]):
    """One line, painted before anything slow is imported or read; `then` is done after that.

    It knows nothing of the other screens, as all that they rest on would be loaded with it.
    """

    def __init__(self, then: Callable[[], None]) -> None:
        super().__init__()
        self._then = then

    def compose(self) -> ComposeResult:
        """That it is being opened; in a terminal that is too small, that it is."""
        width, height = self.app.size
        has_room = width >= LEAST_WIDTH and height >= LEAST_HEIGHT
        yield Static(words.say(f"opening.{'text' if has_room else 'too-small'}"), markup=False)

    def on_mount(self) -> None:
        """Paint, and only then go on."""
        self.call_after_refresh(self._then)
