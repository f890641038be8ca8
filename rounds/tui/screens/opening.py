"""What is seen while the logbook is opened and the day is planned."""

from collections.abc import Callable

from rounds import words
from rounds.tui.page import FIRST, Page
from rounds.tui.screens.page_screen import PageScreen


class OpeningScreen(PageScreen):
    """One line, painted before anything slow is imported or read; `then` is done after that."""

    def __init__(self, then: Callable[[], None]) -> None:
        super().__init__()
        self._then = then

    def on_mount(self) -> None:
        """Paint, and only then go on."""
        super().on_mount()
        self.call_after_refresh(self._then)

    def page(self, width: int, height: int) -> Page:
        """That it is being opened."""
        page = Page(width, height)
        page.put(0, FIRST, words.say("opening.text"), "quiet")
        return page

    def too_small(self) -> str:
        """The sentence shown where the terminal is too small."""
        return words.say("opening.too-small")
