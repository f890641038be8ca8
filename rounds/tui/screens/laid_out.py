"""A list, laid out by the stylesheet: each screen says what is in it, and no more."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, ClassVar

from textual.containers import Horizontal, Vertical
from textual.widget import Widget

from rounds import words
from rounds.service.day.day import Day
from rounds.tui.page import Page
from rounds.tui.pages.asked import put_list_keys
from rounds.tui.pages.parts import typing_keys
from rounds.tui.pages.told import Paragraph, Told
from rounds.tui.screens.frame import Frame
from rounds.tui.screens.list_screen import ListScreen
from rounds.tui.widgets.canvas import Part
from rounds.tui.widgets.rows import Heads, Listed, Rows


class Listing(Frame):
    """Lines in columns, with what stands beside them where there is room."""

    COLUMNS: ClassVar[tuple[str, ...]]
    """the columns of its list, from left to right; the stylesheet says where they lie"""

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self._more, self._beside = Part(classes="more"), Part(classes="beside")
        self._heads = Heads(self.COLUMNS)
        self._rows = Rows(self._heads, self._tell_hidden)

    def marked_line(self) -> int:
        """The line that is marked, counted from 0."""
        raise NotImplementedError

    def scrolled_by(self) -> str:
        """How the lines that are hidden are seen, where no mark leads there."""
        return ""

    def put_beside(self, page: Page) -> int:
        """Put what stands beside the list where there is room; how many rows it takes."""
        return 0

    def body(self) -> Iterable[Widget]:
        """The list, and what stands beside it."""
        list_itself = Vertical(self._heads, self._rows, self._more)
        yield Horizontal(list_itself, self._beside, id="list")

    def lines_shown(self) -> int:
        """As many as are in sight."""
        return max(1, self._rows.size.height)

    def show_body(self, told: Told, frame: Page) -> None:
        """Show the lines, and what stands beside them."""
        listed = Listed(
            told.lines, self.marked_line(), told.heads, told.is_numbered, told.most_numbered
        )
        beside = frame.blank()
        self._beside.show(beside.part(0, self.put_beside(beside)))
        self._heads.show(listed)
        self._rows.show(listed)
        self._line.stand(told.asks is not None)
        self._tell_hidden()

    def _tell_hidden(self) -> None:
        """How many lines there are above and below."""
        width, _ = self.app.size
        counts = zip(("above", "below"), self._rows.hidden(), strict=True)
        said = [words.say(f"plant.{code}", count=count) for code, count in counts if count]
        said += [self.scrolled_by()] if said and self.scrolled_by() else []
        # the row that says so, as it lies now, may itself hide the only line that is hidden
        is_said = sum(self._rows.hidden()) > self._more.size.height
        more = Page(width, 1 if is_said else 0, wide=self.is_wide)
        more.put(0, more.edge + 7, ", ".join(said), "quiet")
        self._more.show(more)


class LaidOut(Listing, ListScreen):
    """A list whose lines are marked and opened by keys, each by its number too."""

    def told_now(self) -> Told:
        """A list of plants that are not read yet is no empty one."""
        told, day = self.told(), getattr(self, "day", None)
        if not isinstance(day, Day) or day.statuses is not None or not day.here:
            return told
        code = "plants-one" if day.here == 1 else "plants"
        said = words.say(f"calculating.{code}", plants=day.here)
        return replace(told, above=[Paragraph(said, "quiet")])

    def put_strip(self, page: Page, told: Told) -> None:
        """Put the keys, on the last two rows."""
        if told.asks is not None:
            typing_keys(page)
        else:
            put_list_keys(page, told.second, told.third, told.opens, told.fourth)

    def marked_line(self) -> int:
        """The line that keys act on."""
        return self.mark
