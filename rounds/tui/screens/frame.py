"""What every screen but the round has, laid out by the stylesheet: heading, body, foot and keys."""

from collections.abc import Iterable, Sequence
from pathlib import PurePath
from typing import Any, ClassVar

from rich.cells import cell_len
from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widget import Widget

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
from rounds.tui.pages.asked import AID_FROM, put_asked
from rounds.tui.pages.help import help_foot, help_head, help_told
from rounds.tui.pages.parts import (
    MESSAGE_ROWS,
    ROOMY,
    desk_row,
    heading,
    plant_row,
    say,
    status_row,
)
from rounds.tui.pages.told import Figures, Paragraph, Told
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.widgets.canvas import Part
from rounds.tui.widgets.told_rows import Scrolled, ToldRows

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
HIGH, IS_HIGH = 34, "-high"
"""Rows of a page with room for a drawing below its text; it is roomy too."""

KEY_ROWS = 2
"""Least rows of the keys."""

SHARED, DESK = "../styles/shared.tcss", "../styles/desk.tcss"

COVERED = "-covered"
"""Of a screen that shows one page over all of it: the round, or that the terminal is too small."""

HELPING = "-helping"
"""Of a screen that shows its help instead."""


class Help(Vertical):
    """The help of a screen: its keys, what it has no room for itself, and how help closes."""

    def __init__(self) -> None:
        super().__init__(id="help")
        self._head, self._foot = Part(classes="heading"), Part(classes="closes")
        self._keys, self._behind = ToldRows("keys-told"), ToldRows("behind")
        self.scrolled = Scrolled(self._keys, self._behind)

    def compose(self) -> ComposeResult:
        """From top to bottom."""
        yield self._head
        yield self.scrolled
        yield self._foot

    def show(self, screen: str, clock: str, behind: Sequence[tuple[str, str]], frame: Page) -> None:
        """Show the help of a screen by its name, beside the time of its round."""
        told = help_told(screen, behind, frame)
        self._head.show(help_head(told, clock, frame))
        self._keys.show(told.keys)
        self._behind.show(told.behind)
        self._foot.show(help_foot(told, frame))


class Frame(PageScreen):
    """A heading, what stands above the body, the body, a foot and the keys.

    Subclasses say what is told, what the body is made of, and what it shows.
    """

    CSS_PATH: ClassVar[str | list[str | PurePath]] = [SHARED, DESK]
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

    HELP: ClassVar[str] = ""
    """the name of its lines of help, and of its title"""
    TYPES_IN_BODY: ClassVar[bool] = False
    """the line that is typed stands in the body, and not below the foot"""

    def __init_subclass__(cls, sheet: str = "", **given: Any) -> None:
        """`sheet` names the stylesheet that a screen has of its own."""
        super().__init_subclass__(**given)
        if sheet:
            cls.CSS_PATH = [SHARED, DESK, f"../styles/{sheet}.tcss"]

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self._head, self._above, self._foot, self._keys = (
            Part(classes=name) for name in ("heading", "above", "foot", "keys")
        )
        self._help: Help | None = None
        """made when it is asked for first"""
        # the library says the same a moment later, after a first frame without it
        width, height = self.app.size
        self.add_class(_reached(width, WIDTHS), _reached(height, HEIGHTS))
        self.set_class(height >= HIGH, IS_HIGH)

    def told(self) -> Told:
        """What the screen says now."""
        raise NotImplementedError

    def told_now(self) -> Told:
        """The same, or that what it tells of is not read yet."""
        return self.told()

    def body(self) -> Iterable[Widget]:
        """What stands between what is above and the foot."""
        raise NotImplementedError

    def show_body(self, told: Told, frame: Page) -> None:
        """Show what is told in the body; `frame` is an empty page of the size there is."""
        raise NotImplementedError

    def put_strip(self, page: Page, told: Told) -> None:
        """Put the keys, on the last rows of a page."""
        raise NotImplementedError

    @property
    def is_wide(self) -> bool:
        """Room for three columns."""
        return self.app.size.width >= WIDE

    @property
    def is_roomy(self) -> bool:
        """Room for empty rows between the parts."""
        return self.app.size.height >= ROOMY

    def compose(self) -> ComposeResult:
        """The parts from top to bottom, and the page that may cover them."""
        yield self.canvas
        with Vertical(id="desk"):
            yield self._head
            yield self._above
            yield from self.body()
            yield self._foot
            if not self.TYPES_IN_BODY:
                yield self._line
            yield self._keys

    @property
    def is_painted(self) -> bool:
        """Whether `page` covers all of it now."""
        return False

    def page(self, width: int, height: int) -> Page:
        """The page that does."""
        raise NotImplementedError

    def _too_small_page(self) -> Page:
        width, height = self.app.size
        page = Page(width, height)
        page.put_wrapped(0, 0, self.too_small(), until=width, rows=max(1, height))
        return page

    @property
    def clock(self) -> str:
        """The time that help shows too."""
        return ""

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """What the body has no room for."""
        return []

    def too_small(self) -> str:
        """The sentence shown where the terminal is too small."""
        return say("too-small.bare")

    async def on_event(self, event: events.Event) -> None:
        """In help some keys scroll; any other but its own closes it and acts as usual."""
        if self._help is not None and self.helping and isinstance(event, events.Key):
            if self._help.scrolled.scroll_by(event.key):
                event.stop()
                event.prevent_default()
                return
            key = pressed(event)
            # what writes no character, as the key that copies, leaves it open
            closes = event.is_printable or key == key_of("begin")
            if closes and key != key_of("help"):
                self.helping = False
                self.paint()
        await super().on_event(event)

    def paint(self) -> None:
        """Show what is told, its help, or one page where that covers all."""
        width, height = self.app.size
        has_room = width >= LEAST_WIDTH and height >= LEAST_HEIGHT
        is_helping = self.helping and has_room
        is_covered = not has_room or (self.is_painted and not is_helping)
        self.set_class(is_helping, HELPING)
        self.set_class(is_covered, COVERED)
        self.set_class(height >= HIGH, IS_HIGH)
        if is_covered:
            self.canvas.show(self.page(width, height) if has_room else self._too_small_page())
            if self.is_mounted:
                self._line.stand(False)
        elif self.is_mounted:
            frame = Page(width, height, wide=width >= WIDE)
            if is_helping:
                self._show_help(frame)
            else:
                self._show(self.told_now(), frame)

    def action_help(self) -> None:
        """Help opens, at its first line, and closes."""
        if self._help is not None:
            self._help.scrolled.show_first()
        super().action_help()

    def _show_help(self, frame: Page) -> None:
        if self._help is None:
            self._help = Help()
            self.mount(self._help)
        self._help.show(self.HELP, self.clock, self.behind_help(*self.app.size), frame)

    def _show(self, told: Told, frame: Page) -> None:
        if frame.is_wide:
            heading(frame, told.title, told.middle, told.clock)
        else:
            heading(frame, told.narrow_title or told.title, "", told.clock)
        self._head.show(frame.part(0, 1))
        self._above.show(_above(told, frame))
        self._foot.show(foot_of(told, frame))
        keys = frame.blank()
        # what a question is answered by, no hint says otherwise
        keys.answering = (
            {key_of(answer.role) for answer in told.asked.answers} if told.asked else set()
        )
        self.put_strip(keys, told)
        used = next((row for row, cells in enumerate(keys.rows) if cells), keys.height)
        self._keys.show(keys.part(min(used, keys.height - KEY_ROWS), keys.height))
        self.show_body(told, frame)


def _reached(cells: int, breakpoints: list[tuple[int, str]]) -> str:
    """The class of the last breakpoint that a size reaches."""
    return [name for least, name in breakpoints if cells >= least][-1]


def _above(told: Told, frame: Page) -> Page:
    """The plant, and what is said of it or of the list."""
    page, row, is_roomy = frame.blank(), 0, frame.height >= ROOMY
    if told.status is not None:
        status_row(page, told.status)
        page, row = page.part(2, page.height), 1
    elif told.plant is not None:
        plant = told.plant
        plant_row(page, plant.code, plant.name, plant.where, plant.standing, plant.standing_text)
        page, row = page.part(2, page.height), 1
    row = _put_paragraphs(page, row, told.above, is_roomy)
    if told.figures is not None and is_roomy:
        _put_figures(page, row, told.figures)
        row += 1
    row = _put_paragraphs(page, row, told.below, is_roomy)
    return page.part(0, max(row, told.rows_above))


def _put_paragraphs(page: Page, row: int, paragraphs: Sequence[Paragraph], is_roomy: bool) -> int:
    for of in paragraphs:
        if of.text and (not of.may_go or is_roomy):
            row += page.put_wrapped(
                row, page.edge, of.text, of.role, until=page.until, rows=of.rows
            )
    return row


def _put_figures(page: Page, row: int, figures: Figures) -> None:
    if page.is_wide:
        page.put(row, FIRST, figures.clean, until=MIDDLE - 1)
        page.put(row, MIDDLE, figures.streak, until=THIRD - 1)
        page.put(row, THIRD, figures.risk, until=page.width)
        return
    end = page.until - cell_len(figures.brief_risk)
    page.put(row, page.edge, figures.clean, until=end - 1)
    page.put(row, end, figures.brief_risk, until=page.until)


def foot_of(told: Told, frame: Page) -> Page:
    """What is asked, else what just happened, else what else there is to say; as many rows."""
    page = frame.blank()
    if told.asks is not None:
        return _asks(page, told.asks)
    if told.asked is not None:
        top = put_asked(page, told.asked)
        # what just happened stands above what is asked
        happened = wrap(told.message, page.until - page.edge) if told.message else []
        top -= len(happened)
        for row, line in enumerate(happened, top):
            page.put(row, page.edge, line, until=page.until)
        return page.part(top, desk_row(page) + 2)
    most = told.most if page.height >= AID_FROM else MESSAGE_ROWS
    said = _lines(page, [told.message], "ink")
    quiet = _lines(page, told.otherwise, told.otherwise_role)
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
