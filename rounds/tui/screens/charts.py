"""Charts of one plant or of all of them, one after the other: drawn, or as rows of text."""

from typing import ClassVar

from textual import events
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widget import Widget

from rounds import words
from rounds.service.charts.asked import ChartAsked, charts_of
from rounds.service.charts.chance import CHANCE
from rounds.service.charts.chart import Chart
from rounds.service.day.at_hand import record_of, status_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant
from rounds.service.plant.status import PlantStatus
from rounds.tui.keys import bindings, pressed
from rounds.tui.page import Page, wrap
from rounds.tui.pages.charts import (
    COLUMNS,
    MOST_ABOUT,
    MOST_SEEN,
    ChartView,
    chart_told,
    put_chart_keys,
)
from rounds.tui.pages.told import Told
from rounds.tui.screens.frame import KEY_ROWS
from rounds.tui.screens.laid_out import Listing
from rounds.tui.screens.page_screen import ReadsAgain
from rounds.tui.widgets.plotted import Plotted, fits
from rounds.words.forms import calendar_day

SCROLLS = {"up": -1, "down": 1}
PAGES = {"pageup": -1, "pagedown": 1}


class ChartsScreen(Listing, ReadsAgain, sheet="charts"):
    """What is drawn is worked out in the day's thread; nothing is read while it is painted."""

    HELP = "charts"
    COLUMNS = COLUMNS
    BINDINGS: ClassVar[list[BindingType]] = bindings(
        "charts",
        [
            ("leave", "leave"),
            ("next", "next"),
            ("back", "back"),
            ("order", "turn"),
            ("find", "find"),
            ("help", "help"),
        ],
    )

    def __init__(self, logbook: Logbook, code: str | None = None) -> None:
        """`code` is that of the plant; of all plants without one."""
        super().__init__()
        self.logbook = logbook
        self.code = code
        self.day = self.days.today()
        plant = None if code is None else find_plant(logbook, code)
        self._asked = charts_of(None if plant is None else plant.id)
        self._at = 0
        self._as_rows = False
        self._plotted = Plotted()
        self.status = self._status()

    def body(self) -> list[Widget]:
        """The chart, or its rows of text; each takes no room while the other is seen."""
        return [Vertical(self._heads, self._rows, self._more, self._plotted, id="chart")]

    def reload(self) -> None:
        """As it stands now."""
        self.day = self.days.after(self.day)
        self.status = self._status()
        self.paint()

    def _status(self) -> PlantStatus | None:
        if self.code is None:
            return None
        return status_on(self.day, record_of(self.logbook, find_plant(self.logbook, self.code)))

    @property
    def asked(self) -> ChartAsked:
        """The chart that is shown."""
        return self._asked[self._at]

    def _view(self) -> ChartView:
        fault = self.days.fault_of(self.day)
        answered = self.days.answer(self.day, self.asked)
        fault = fault or (answered.fault if answered else None)
        chart: Chart | None = answered.found if answered else None
        as_rows = self._as_rows or (chart is not None and not self._has_room(chart))
        return ChartView(
            chart=chart,
            number=self._at + 1,
            count=len(self._asked),
            status=self.status,
            clock=calendar_day(self.day.on, self.day.on),
            message=self.said or (str(fault) if fault else ""),
            as_rows=as_rows,
            is_wide=self.is_wide,
            is_roomy=self.is_roomy,
        )

    def told(self) -> Told:
        """The chart in words."""
        return chart_told(self._view())

    def marked_line(self) -> int:
        """None: the rows are read, and nothing is done with them."""
        return -1

    def scrolled_by(self) -> str:
        """By the arrow keys."""
        return words.say("charts.scroll")

    def show_body(self, told: Told, frame: Page) -> None:
        """The drawing, or the rows."""
        view = self._view()
        chart, is_drawn = view.chart, view.is_drawn
        # its second column is the widest
        self.set_class(self.asked.code == CHANCE, "-chance")
        self._plotted.show(chart if is_drawn else None)
        self._plotted.display = is_drawn
        self._rows.display = self._heads.display = not is_drawn
        super().show_body(told, frame)

    def _has_room(self, chart: Chart) -> bool:
        """Whether the rows between what stands above and the foot hold the drawing."""
        gap, frame = int(self.is_roomy), Page(*self.app.size, wide=self.is_wide)
        width = frame.until - frame.edge
        above = min(MOST_SEEN, len(wrap(chart.sentence, width))) + (self.status is not None)
        foot = min(MOST_ABOUT, len(wrap(chart.about, width))) if self.is_wide else 0
        taken = (1 + gap, above + gap, max(gap, foot) + 2 * gap, KEY_ROWS)
        return fits(chart, frame.width - 3, frame.height - sum(taken))

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """How it is counted, for which a narrow page has no room."""
        chart = self._view().chart
        return [(line, "") for line in wrap(chart.about, width - 2)] if chart else []

    def put_strip(self, page: Page, told: Told) -> None:
        """The keys, on the last two rows."""
        put_chart_keys(page, self._view())

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.app.pop_screen()

    def action_next(self) -> None:
        """The next chart; after the last one the first."""
        self._go(1)

    def action_back(self) -> None:
        """The chart before."""
        self._go(-1)

    def _go(self, charts: int) -> None:
        self._at = (self._at + charts) % len(self._asked)
        self._rows.scroll_to(y=0, animate=False, force=True)
        self.paint()

    def action_turn(self) -> None:
        """The same as rows of text, or drawn again."""
        chart = self._view().chart
        if chart is not None and not self._has_room(chart):
            self.tell(words.say("charts.no-room"))
            return
        self._as_rows = not self._as_rows
        self.paint()

    def on_key(self, event: events.Key) -> None:
        """Arrows and page keys scroll the rows."""
        super().on_key(event)
        key = pressed(event)
        if key in SCROLLS or key in PAGES:
            lines = PAGES.get(key, 0) * self.lines_shown() + SCROLLS.get(key, 0)
            self._rows.scroll_relative(y=lines, animate=False, force=True)
