"""What every screen shares: keys that say why they do nothing, a typed line, the mouse."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol, cast

from textual import actions, events
from textual.binding import Binding
from textual.screen import Screen

from rounds import words
from rounds.errors import RoundsError
from rounds.tui.keys import can_be_clicked, key_event, key_of, pressed
from rounds.tui.widgets.canvas import Canvas
from rounds.tui.widgets.line import MOST, Line
from rounds.tui.widgets.painted import ROLES, Painted

if TYPE_CHECKING:
    from rounds.tui.days import Days

WHILE_TYPED = ("copy_text",)
"""Actions of the library that go on while a line is typed."""


class HasDays(Protocol):
    """A program with a logbook open."""

    days: "Days"
    backup_fault: str


class HasFind(Protocol):
    """A program that can find what it has by name: the screens it opens are built on this one."""

    def open_find(self) -> None:
        """Open it over the screen in front."""


WITHOUT_MEANING = ("home", "end", "insert", "delete", "tab", *(f"f{n}" for n in range(1, 13)))
"""Keys that write no character, and mean something in a typed line alone."""


class PageScreen(Screen[None]):
    """Base of the screens: a `Frame` says what is shown, and is repainted after every press.

    A key that does nothing says so until the next one. A handler that has acted on a key without
    a binding prevents its default, and nothing is said.
    """

    # of the screen, once: the library would work out those of each widget anew at every change
    COMPONENT_CLASSES = set(ROLES)  # noqa: RUF012 - Textual's own form

    def __init__(self) -> None:
        super().__init__()
        self.canvas = Canvas()
        self._line = Line(self)
        self.helping = False
        self.message = ""
        """what just happened"""
        self.note = ""
        """why the last key did nothing"""

    def on_mount(self) -> None:
        """Paint as soon as there is a size."""
        self.set_class(self.app.no_color, "-plain")
        self.screen_layout_refresh_signal.subscribe(self, self._on_laid_out, immediate=True)
        self.paint()

    def _on_laid_out(self, _: Screen[object]) -> None:
        """Repaint all of the page once something has another place or size.

        The library repaints what differs from where it last knew each part to lie. Asked where a
        part lies between a change and its layout, it takes the new places for those on the
        terminal, and rows that a part has left keep its old text.
        """
        self.refresh()

    def on_screen_resume(self) -> None:
        """Paint again on coming back."""
        self.paint()

    def on_resize(self, event: events.Resize) -> None:
        """Lay out for the new size."""
        self.paint()

    async def on_event(self, event: events.Event) -> None:
        """Any key, also one that is typed, takes away what was said of the key before."""
        if isinstance(event, events.Key):
            if self.note:
                self.tell("")
            if self.line is not None:
                # letters are text; those that come before the line lies on the page are, too
                event.prevent_default()
                if not self.line.has_focus and self.line.take(event):
                    event.stop()
        await super().on_event(event)

    def on_key(self, event: events.Key) -> None:
        """Say that a key does nothing here; what moves, or changes other keys, is passed over."""
        key = pressed(event)
        if not (event.is_printable or key == key_of("begin") or key in WITHOUT_MEANING):
            return
        bound = self._bound_to(key)
        if bound is None:
            self.tell(self.why_unknown(key))
            return
        role, action = bound
        _, name, parameters = actions.parse(action)
        if not self.check_action(name, parameters):
            self.tell(self.why_idle(role))

    def _bound_to(self, key: str) -> tuple[str, str] | None:
        """The role of a key on this screen, and the action it is bound to."""
        for binding in self.BINDINGS:
            if isinstance(binding, Binding) and binding.id:
                role = binding.id.partition(".")[2]
                if key_of(role) == key:
                    return role, binding.action
        return None

    @property
    def said(self) -> str:
        """What the last key is answered with."""
        return self.note or self.message

    def tell(self, note: str) -> None:
        """Say why a key did nothing, until the next key."""
        self.note = note
        self.paint()

    def why_unknown(self, key: str) -> str:
        """That a key has no meaning on this screen, and where the keys are named."""
        help_key = key_of("help")
        code = "unknown" if self._bound_to(help_key) else "unknown-no-help"
        return words.say(f"screens.idle.{code}", key=key, help=help_key)

    def why_idle(self, role: str) -> str:
        """Why a key that has a meaning on this screen does nothing now."""
        return words.say("screens.idle.answer", key=key_of(role))

    # the line that is typed

    @property
    def line(self) -> Line | None:
        """The line that is typed; None while keys mean what they mean on the page."""
        return self._line if self._line.is_open else None

    @property
    def typed(self) -> str | None:
        """What was typed so far; None while nothing is typed."""
        return self._line.text if self._line.is_open else None

    def begin_line(self, text: str = "", most: int = MOST) -> None:
        """Open the line, with a text to be edited."""
        self._line.begin(text, most)

    def end_line(self) -> None:
        """Close it."""
        self._line.end()

    def line_key(self, key: str) -> bool:
        """Act on a key before the line does; whether it did."""
        if self.note:
            self.tell("")
        return False

    def line_taken(self, given: str) -> None:
        """Act on the text of the line."""

    def lines_pasted(self, lines: Sequence[str]) -> None:
        """The first line, as if it had been typed."""
        self._line.put_in(lines[0])

    def on_input_changed(self) -> None:
        """Show what the text changes on the page."""
        self.paint()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Whether an action is allowed: while a line is typed, letters are text."""
        return self.line is None or action in WHILE_TYPED

    # the mouse

    def on_painted_clicked(self, clicked: Painted.Clicked) -> None:
        """Press the keys of a hint; choose a line of a list."""
        spot = clicked.spot
        if spot.line is not None:
            self.line_clicked(spot.line)
        elif spot.choice is not None:
            self.choice_clicked(spot.choice)
        elif all(can_be_clicked(key) for key in spot.press):
            for key in spot.press:
                self.app.post_message(key_event(key))

    def line_clicked(self, index: int) -> None:
        """Act on a click on a line of a list, counted from 0."""

    def choice_clicked(self, code: str) -> None:
        """Act on a click on what may be chosen."""

    def action_find(self) -> None:
        """Find a plant, a page or an act by its name."""
        cast("HasFind", self.app).open_find()

    def action_help(self) -> None:
        """Help opens and closes."""
        self.helping = not self.helping
        self.paint()

    def leave_program(self) -> None:
        """The program ends: keep what is not kept yet."""

    def stand_still(self) -> None:
        """The program stops until it is told to go on: nobody is looking meanwhile."""

    @property
    def days(self) -> "Days":
        """Today of the logbook that is open, as far as it is known."""
        return cast("HasDays", self.app).days

    @property
    def backup_fault(self) -> str:
        """Why there is no backup of today yet; empty where nothing is wrong."""
        return cast("HasDays", self.app).backup_fault

    def day_came(self) -> None:
        """More of today was worked out: screens that show it do so."""

    def day_failed(self, fault: RoundsError) -> None:
        """Something that was entered keeps today from being worked out."""

    def reload(self) -> None:
        """Others have written: read again what is shown."""
        self.paint()

    def paint(self) -> None:
        """Show what there is to say, for the size there is."""
        raise NotImplementedError


class ReadsAgain(PageScreen):
    """Reads again on coming back, as something may have been written, and when a day is fuller."""

    def on_screen_resume(self) -> None:
        """Coming back."""
        self.reload()

    def day_came(self) -> None:
        """More of the day was worked out."""
        self.reload()
