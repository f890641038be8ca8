"""Any other plant in the round: its code or name is typed, or its line chosen by a figure."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import events
from textual.binding import BindingType

from rounds.service.round import OtherPlant
from rounds.tui.keys import FIGURES, bindings
from rounds.tui.page import Page
from rounds.tui.pages.others import MOST_NUMBERED, OthersView, others_page, rows_shown
from rounds.tui.pages.parts import say
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.screens.typing import TypedLine

MOST_TYPED = 40
MOVES = {"up": -1, "down": 1}


class OthersScreen(PageScreen):
    """Typing narrows the list; enter takes the marked plant, and leaves where nothing was typed."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("others", [("begin", "take")])

    def __init__(
        self,
        here: str,
        clock: str,
        plants: Sequence[OtherPlant],
        chosen: Callable[[int], None],
        leave_program: Callable[[], None],
    ) -> None:
        """
        Args:
            here: the code of the plant at hand.
            clock: of the round, in words.
            plants: to choose from.
            chosen: called with the id of the plant that was taken.
            leave_program: called where the program ends meanwhile.
        """
        super().__init__()
        self._here, self._clock = here, clock
        self._plants = plants
        self._chosen = chosen
        self._leave_program = leave_program
        self.line = TypedLine(MOST_TYPED)
        self.mark: int | None = None
        """the line that arrows went to; None before they did"""

    @property
    def meant(self) -> list[OtherPlant]:
        """The plants that begin with what was typed."""
        return [plant for plant in self._plants if plant.is_meant(self.line.text.strip())]

    @property
    def by_number(self) -> bool:
        """Whether a figure chooses a line: nothing was typed, and nothing begins with a figure."""
        begins = (plant.is_meant(figure) for plant in self._plants for figure in FIGURES)
        return not self.line.text and not any(begins)

    def page(self, width: int, height: int) -> Page:
        """The list, and the line below it."""
        view = OthersView(
            self._here, self._clock, self.meant, self.mark or 0, self.line.text, self.by_number
        )
        return others_page(view, width, height)

    def too_small(self) -> str:
        """The sentence shown where the terminal is too small."""
        return say("too-small.bare")

    def leave_program(self) -> None:
        """The round is left with it."""
        self._leave_program()

    def action_take(self) -> None:
        """Take the marked plant; leave all as it was where nothing was typed or marked."""
        meant = self.meant
        if not self.line.text.strip() and self.mark is None:
            self.app.pop_screen()
        elif meant:
            self._take(meant[self.mark or 0])

    def on_key(self, event: events.Key) -> None:
        """Letters and figures are text; the figure of a line takes it, arrows move the mark."""
        if event.key == "enter":
            return
        # so that the round below does not take the key too
        event.stop()
        event.prevent_default()
        if event.key in MOVES:
            last = len(self.meant) - 1
            self.mark = max(0, min(last, (self.mark or 0) + MOVES[event.key]))
        elif event.key in self._numbers():
            self._take(self.meant[int(event.key) - 1])
            return
        else:
            self.line.key(event)
            self.mark = None
        self.paint()

    def _numbers(self) -> list[str]:
        """The figures that choose a line now; any other is text."""
        numbered = min(MOST_NUMBERED, len(self.meant), rows_shown(Page(*self.app.size)))
        return [str(number) for number in range(1, numbered + 1)] if self.by_number else []

    def _take(self, plant: OtherPlant) -> None:
        self.app.pop_screen()
        self._chosen(plant.plant_id)
