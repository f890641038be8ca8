"""A list, laid out by the stylesheet: each screen says what is in it, and no more."""

from collections.abc import Sequence
from pathlib import PurePath
from typing import Any, ClassVar

from rich.cells import cell_len
from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from rounds import words
from rounds.tui.keys import key_of, pressed
from rounds.tui.page import (
    FIRST,
    LEAST_HEIGHT,
    LEAST_WIDTH,
    MIDDLE,
    SPREAD,
    THIRD,
    WIDE,
    Page,
    Role,
    wrap,
)
from rounds.tui.pages.asked import AID_FROM, put_foot, put_list_keys
from rounds.tui.pages.help import help_page
from rounds.tui.pages.parts import (
    MESSAGE_ROWS,
    ROOMY,
    desk_row,
    heading,
    status_row,
    typing_keys,
)
from rounds.tui.pages.told import Figures, Told
from rounds.tui.screens.list_screen import ListScreen
from rounds.tui.widgets.canvas import Part
from rounds.tui.widgets.rows import Heads, Listed, Rows

NAMED, LARGE = 60, 120
"""Columns from which a narrow page has room for names, and a spread one for all there is."""

WIDTHS = [
    (0, "-narrow"),
    (NAMED, "-named"),
    (WIDE, "-wide"),
    (SPREAD, "-spread"),
    (LARGE, "-large"),
]
HEIGHTS = [(0, "-low"), (ROOMY, "-roomy")]

LISTS = "../styles/lists.tcss"

COVERED = "-covered"
"""Of a screen that shows one page over all of it: help, or that the terminal is too small."""


class LaidOut(ListScreen):
    """A list with a heading, what stands above it, its lines, a foot and the keys."""

    CSS_PATH: ClassVar[str | list[str | PurePath]] = LISTS
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

    HELP: ClassVar[str]
    """the name of its lines of help, and of its title"""
    COLUMNS: ClassVar[tuple[str, ...]]
    """the columns of its list, from left to right; the stylesheet says where they lie"""

    def __init_subclass__(cls, sheet: str = "", **given: Any) -> None:
        """`sheet` names the stylesheet that a screen has of its own."""
        super().__init_subclass__(**given)
        if sheet:
            cls.CSS_PATH = [LISTS, f"../styles/{sheet}.tcss"]

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self._head, self._above, self._more, self._beside, self._foot, self._keys = (
            Part(classes=name) for name in ("heading", "above", "more", "beside", "foot", "keys")
        )
        # the library says the same a moment later, after a first frame without it
        width, height = self.app.size
        self.add_class(_reached(width, WIDTHS), _reached(height, HEIGHTS))
        self._heads = Heads(self.COLUMNS)
        self._rows = Rows(self._heads, self._tell_hidden)

    def told(self) -> Told:
        """What the screen says now."""
        raise NotImplementedError

    def put_beside(self, page: Page) -> int:
        """Put what stands beside the list where there is room; how many rows it takes."""
        return 0

    def put_strip(self, page: Page, told: Told) -> None:
        """Put the keys, on the last two rows."""
        if told.asks is not None:
            typing_keys(page)
        else:
            put_list_keys(page, told.second, told.third, told.opens)

    def compose(self) -> ComposeResult:
        """The parts from top to bottom, and the page that may cover them."""
        yield self.canvas
        with Vertical(id="list"):
            yield self._head
            yield self._above
            with Horizontal():
                with Vertical():
                    yield self._heads
                    yield self._rows
                    yield self._more
                yield self._beside
            yield self._foot
            yield self._line
            yield self._keys

    def page(self, width: int, height: int) -> Page:
        """The page that covers all: help."""
        return help_page(self.HELP, "", self.behind_help(width, height), width, height)

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """What the list has no room for."""
        return []

    def lines_shown(self) -> int:
        """As many as are in sight."""
        return max(1, self._rows.size.height)

    def on_key(self, event: events.Key) -> None:
        """Any key but its own closes help."""
        if self.helping and pressed(event) != key_of("help"):
            self.helping = False
            self.paint()

    def on_resize(self, event: events.Resize) -> None:
        """Lay out anew, with the size that the stylesheet already knows."""
        self.paint()

    def paint(self) -> None:
        """Show what is told; help, or one sentence, where there is no room, cover it."""
        width, height = self.app.size
        is_covered = self.helping or width < LEAST_WIDTH or height < LEAST_HEIGHT
        self.set_class(is_covered, COVERED)
        if is_covered:
            super().paint()
        elif self.is_mounted:
            self._show(self.told(), Page(width, height, wide=width >= WIDE))

    def _show(self, told: Told, frame: Page) -> None:
        if frame.is_wide:
            heading(frame, told.title, told.middle, told.clock)
        else:
            heading(frame, told.narrow_title or told.title, "", told.clock)
        self._head.show(frame.part(0, 1))
        self._above.show(_above(told, frame))
        listed = Listed(told.lines, self.mark, told.heads)
        beside = frame.blank()
        self._beside.show(beside.part(0, self.put_beside(beside)))
        self._heads.show(listed)
        self._rows.show(listed)
        self._foot.show(_foot(told, frame))
        keys = frame.blank()
        self.put_strip(keys, told)
        self._keys.show(keys.part(keys.height - 2, keys.height))
        self._line.stand(told.asks is not None)
        self._tell_hidden()

    def _tell_hidden(self) -> None:
        """How many lines there are above and below."""
        width, _ = self.app.size
        counts = zip(("above", "below"), self._rows.hidden(), strict=True)
        said = [words.say(f"plant.{code}", count=count) for code, count in counts if count]
        # the row that says so may itself be what hides the only line that is hidden
        is_said = sum(self._rows.hidden()) > self._more.page.height
        more = Page(width, 1 if is_said else 0, wide=width >= WIDE)
        more.put(0, more.edge + 7, ", ".join(said), "quiet")
        self._more.show(more)


def _reached(cells: int, breakpoints: list[tuple[int, str]]) -> str:
    """The class of the last breakpoint that a size reaches."""
    return [name for least, name in breakpoints if cells >= least][-1]


def _above(told: Told, frame: Page) -> Page:
    """The plant, and what is said of it or of the list."""
    page, row = frame.blank(), 0
    if told.status is not None:
        status_row(page, told.status)
        page, row = page.part(2, page.height), 1
    for of in told.above:
        if not of.may_go or frame.height >= ROOMY:
            row += page.put_wrapped(
                row, page.edge, of.text, of.role, until=page.until, rows=of.rows
            )
    if told.figures is not None and frame.height >= ROOMY:
        _put_figures(page, row, told.figures)
        row += 1
    return page.part(0, row)


def _put_figures(page: Page, row: int, figures: Figures) -> None:
    if page.is_wide:
        page.put(row, FIRST, figures.clean, until=MIDDLE - 1)
        page.put(row, MIDDLE, figures.streak, until=THIRD - 1)
        page.put(row, THIRD, figures.risk, until=page.width)
        return
    end = page.until - cell_len(figures.brief_risk)
    page.put(row, page.edge, figures.clean, until=end - 1)
    page.put(row, end, figures.brief_risk, until=page.until)


def _foot(told: Told, frame: Page) -> Page:
    page = frame.blank()
    if told.asks is not None:
        return _asks(page, told.asks)
    if told.asked is not None:
        top = put_foot(page, "", told.asked)
        # what just happened stands above what is asked
        happened = wrap(told.message, page.until - page.edge) if told.message else []
        top -= len(happened)
        for row, line in enumerate(happened, top):
            page.put(row, page.edge, line, until=page.until)
        return page.part(top, desk_row(page) + 2)
    most = told.most if page.height >= AID_FROM else MESSAGE_ROWS
    said = _lines(page, [told.message], "ink")
    quiet = _lines(page, told.otherwise, "quiet")
    if not said or len(said) + len(quiet) <= most:
        said += quiet
    if len(said) > most:
        rest = " ".join(text for text, _ in said[most - 1 :])
        said = [*said[: most - 1], (rest, said[most - 1][1])]
    for row, (text, role) in enumerate(said):
        page.put(row, page.edge, text, role, until=page.until)
    return page.part(0, len(said))


def _lines(page: Page, texts: Sequence[str], role: Role) -> list[tuple[str, Role]]:
    width = page.until - page.edge
    return [(line, role) for text in texts if text for line in wrap(text, width)]


def _asks(page: Page, text: str) -> Page:
    """A question that the line below it answers."""
    rows = len(wrap(text, page.until - page.edge))
    page.put_wrapped(0, page.edge, text, "ask", until=page.until, rows=rows)
    return page.part(0, rows)
