"""Any other plant in the round: its code or name is typed, or its line chosen by a figure."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.service.round import OtherPlant
from rounds.tui.keys import FIGURES, bindings
from rounds.tui.pages.told import ListLine, MadeLines, Paragraph, Told
from rounds.tui.screens.narrowing import NarrowingScreen

MOST_NUMBERED = 9


class OthersScreen(NarrowingScreen[OtherPlant], sheet="others"):
    """The plants of the round, those near the one at hand first."""

    COLUMNS = ("name", "place", "near")

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

    def told(self) -> Told:
        """The plants that are meant, and what is asked."""
        none = words.say("others.none" if self.text else "others.no-others")
        return Told(
            title=words.say("others.title"),
            middle=self._here,
            narrow_title=self._here,
            clock=self._clock,
            above=() if self.meant else [Paragraph(none)],
            lines=MadeLines(self.meant, self._line_of),
            most_numbered=MOST_NUMBERED if self.by_number else 0,
            asks=words.say("others.ask-or-number" if self.by_number else "others.ask"),
        )

    def _line_of(self, plant: OtherPlant) -> ListLine:
        near = words.say(f"others.near.{plant.near}", code=self._here) if plant.near else ""
        name = f"{plant.code}  {plant.name}"
        return ListLine({"name": name, "place": plant.place, "near": (near, "quiet")})

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
        numbered = min(MOST_NUMBERED, len(self.meant))
        return [str(number) for number in range(1, numbered + 1)] if self.by_number else []
