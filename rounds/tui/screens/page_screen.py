"""A screen that is one page of text, repainted after every press."""

from typing import TYPE_CHECKING, Protocol, cast

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from rounds.errors import RoundsError
from rounds.tui.page import LEAST_HEIGHT, LEAST_WIDTH, Page
from rounds.tui.widgets.canvas import Canvas

if TYPE_CHECKING:
    from rounds.tui.days import Days


class HasDays(Protocol):
    """A program with a logbook open."""

    days: "Days"


class PageScreen(Screen[None]):
    """Base of the screens: subclasses say what the page is."""

    def __init__(self) -> None:
        super().__init__()
        self.canvas = Canvas()
        self.helping = False

    def compose(self) -> ComposeResult:
        """One widget."""
        yield self.canvas

    def on_mount(self) -> None:
        """Paint as soon as there is a size."""
        self.set_class(self.app.no_color, "-plain")
        self.paint()

    def on_screen_resume(self) -> None:
        """Paint again on coming back."""
        self.paint()

    def on_resize(self, event: events.Resize) -> None:
        """Lay out for the new size."""
        self.paint()

    def action_help(self) -> None:
        """Help opens and closes."""
        self.helping = not self.helping
        self.paint()

    def leave_program(self) -> None:
        """The program ends: keep what is not kept yet."""

    @property
    def days(self) -> "Days":
        """Today of the logbook that is open, as far as it is known."""
        return cast("HasDays", self.app).days

    def day_came(self) -> None:
        """More of today was worked out: screens that show it do so."""

    def day_failed(self, fault: RoundsError) -> None:
        """Something that was entered keeps today from being worked out."""

    def reload(self) -> None:
        """Others have written: read again what is shown."""
        self.paint()

    def paint(self) -> None:
        """Show the page for the size there is; one sentence where that is too small."""
        width, height = self.app.size
        if width < LEAST_WIDTH or height < LEAST_HEIGHT:
            page = Page(width, height)
            page.put_wrapped(0, 0, self.too_small(), until=width, rows=max(1, height))
        else:
            page = self.page(width, height)
        self.canvas.show(page)

    def page(self, width: int, height: int) -> Page:
        """What this screen says."""
        raise NotImplementedError

    def too_small(self) -> str:
        """What it says where there is no room for a page."""
        raise NotImplementedError
