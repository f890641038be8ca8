"""The page of a chart in words: what is seen, and the same as rows of text."""

from collections.abc import Iterator
from dataclasses import dataclass

from rounds import words
from rounds.service.charts.chart import Chart
from rounds.service.plant.status import PlantStatus
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Page
from rounds.tui.pages.parts import hint
from rounds.tui.pages.told import ListLine, Paragraph, Told

COLUMNS = ("first", "second", "third")
"""of the rows of text, from left to right"""
WIDE_KEYS = (2, 28, 54, 67)
NARROW_FIRST, NARROW_LAST = 12, 10
"""columns of the first and last text of a row on a narrow page; longer ones have a line alone"""
MOST_SEEN = 4
"""rows of what is seen"""
MOST_ABOUT = 4
"""rows of how it is counted"""


@dataclass(frozen=True, slots=True)
class ChartView:
    """What the page of a chart knows."""

    chart: Chart | None
    """None while it is not worked out"""
    number: int
    """from 1, of so many"""
    count: int
    status: PlantStatus | None
    """of the plant it is about, if it is about one"""
    clock: str
    message: str
    as_rows: bool
    """or there is no room for the drawing"""
    is_wide: bool
    is_roomy: bool

    @property
    def is_drawn(self) -> bool:
        """Whether there is something to draw, and it is not read instead."""
        return self.chart is not None and bool(self.chart.rows) and not self.as_rows


def chart_told(view: ChartView) -> Told:
    """A chart: its title, what is seen, and at the foot how it is counted."""
    chart = view.chart
    of = words.say("charts.of", number=view.number, count=view.count)
    title = words.say("charts.of-plant" if view.status else "charts.title")
    title, is_drawn = chart.title if chart else title, view.is_drawn
    # on a narrow page a drawing needs the rows, and help says it
    tells_about = view.is_roomy and (view.is_wide or not is_drawn)
    sentence = chart.sentence if chart else words.say("screens.today.working-out")
    return Told(
        title=title,
        middle=of,
        narrow_title=f"{title}, {of}",
        clock=view.clock,
        status=view.status,
        above=[Paragraph(sentence, "strong", rows=MOST_SEEN)],
        lines=[] if is_drawn or chart is None else list(_lines(chart, view.is_wide)),
        heads=dict(zip(COLUMNS, chart.heads, strict=True)) if chart and not is_drawn else {},
        is_numbered=False,
        message=view.message,
        otherwise=[chart.about] if chart and tells_about else [],
        most=MOST_ABOUT,
    )


def _lines(chart: Chart, is_wide: bool) -> Iterator[ListLine]:
    for row in chart.rows:
        cells = dict(zip(COLUMNS, row.cells, strict=True))
        if is_wide:
            yield ListLine(cells)
            continue
        # a long name stands above its row, a long text below it
        first, last = COLUMNS[0], COLUMNS[-1]
        if len(cells[first]) > NARROW_FIRST:
            yield ListLine({first: cells.pop(first)})
        below = cells.pop(last) if len(cells[last]) > NARROW_LAST else ""
        yield ListLine(cells)
        if below:
            yield ListLine({first: f"  {below}"})


def put_chart_keys(page: Page, view: ChartView) -> None:
    """The keys, on the last two rows."""
    as_what = words.say("charts.keys.drawing" if view.as_rows else "charts.keys.rows")
    hints = [
        KeyHint(key_of("next"), words.say("charts.keys.next")),
        KeyHint(key_of("back"), words.say("screens.keys.list.back")),
        KeyHint(key_of("order"), as_what),
    ]
    first, second, turns = hints
    leave, helps = hint("leave", "list.leave"), hint("help")
    if page.is_wide:
        page.put_keys(page.height - 2, [leave, turns, hint("find"), helps], WIDE_KEYS)
        page.put_keys(page.height - 1, [first, second], (2, 28))
        return
    page.put_keys(page.height - 2, [first, second], (1, 20))
    page.put_keys(page.height - 1, [leave, turns, helps], (1, 12, 31))
