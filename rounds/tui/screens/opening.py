"""What is seen while the logbook is opened and the day is planned."""

from rounds.tui.page import FIRST, Page
from rounds.tui.pages.parts import say
from rounds.tui.screens.sheet_screen import SheetScreen


class OpeningScreen(SheetScreen):
    """One line, painted before anything slow is imported or read."""

    def page(self, width: int, height: int) -> Page:
        """That it is being opened."""
        page = Page(width, height)
        page.put(0, FIRST, say("today.opening"), "quiet")
        return page

    def too_small(self) -> str:
        """What is needed."""
        return say("too-small.bare")
