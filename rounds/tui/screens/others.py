"""Any other plant in the round: its code or name is typed, or its line chosen by a figure."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.binding import BindingType

from rounds.service.round import OtherPlant
from rounds.tui.keys import FIGURES, bindings
from rounds.tui.page import Page
from rounds.tui.pages.others import MOST_NUMBERED, OthersView, others_page, rows_shown
from rounds.tui.screens.narrowing import NarrowingScreen


class OthersScreen(NarrowingScreen[OtherPlant]):
    """The plants of the round, those near the one at hand first."""

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

    @property
    def meant(self) -> list[OtherPlant]:
        """The plants that begin with what was typed."""
        return [plant for plant in self._plants if plant.is_meant(self.text.strip())]

    @property
    def by_number(self) -> bool:
        """Whether a figure chooses a line: nothing was typed, and nothing begins with a figure."""
        begins = (plant.is_meant(figure) for plant in self._plants for figure in FIGURES)
        return not self.text and not any(begins)

    def page(self, width: int, height: int) -> Page:
        """The list, and the line below it."""
        view = OthersView(
            self._here, self._clock, self.meant, self.mark or 0, self.text, self.by_number
        )
        return others_page(view, width, height)

    def leave_program(self) -> None:
        """The round is left with it."""
        self._leave_program()

    def choose(self, chosen: OtherPlant) -> None:
        """Open the plant."""
        self._chosen(chosen.plant_id)

    def line_key(self, key: str) -> bool:
        """The figure of a line takes it."""
        if key not in self._numbers():
            return super().line_key(key)
        self.line_clicked(int(key) - 1)
        return True

    def _numbers(self) -> list[str]:
        """The figures that choose a line now; any other is text."""
        numbered = min(MOST_NUMBERED, len(self.meant), rows_shown(Page(*self.app.size)))
        return [str(number) for number in range(1, numbered + 1)] if self.by_number else []
