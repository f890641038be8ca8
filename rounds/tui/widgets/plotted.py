"""A chart drawn in characters by the plotting library, in the colours of our roles.

The library is imported when the first chart is painted: what opens none does not pay for it.
"""

import re
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING

from rich.cells import cell_len

from rounds import words
from rounds.service.charts.chart import Axis, Chart, Kind, Point, Series, Tick
from rounds.tui.page import Cell, Role, Spot, wrap
from rounds.tui.widgets.painted import Painted

if TYPE_CHECKING:
    from textual_plotext.plot import Plot

MARKS: dict[Kind, str] = {
    "column": "\u2588",
    "none": "\u00b7",
    "was": "\u2022",
    "ahead": "\u25e6",
    "band": "\u2591",
    "asked": "\u2504",
    "spread": "\u2500",
    "middle": "\u2022",
    "assumed": "\u25e6",
    "alike": "=",
    "step": "\u2022",
}
"""The character of each kind: no two in one chart are alike, with colour or without."""

ROLES: dict[Kind, Role] = {"column": "find", "ahead": "here", "sign": "strong"}
"""of the kinds that have one of their own; the rest is ink, and what lies behind is quiet"""
BEHIND: tuple[Kind, ...] = ("band", "asked", "spread")
APART = 3
"""columns between two marks of the legend"""
AXIS_ROWS = 2
"""below the plot: the axis, and what is named on it"""
LEAST_ROWS = 5
APART_ROWS = 6
"""of a plot in which what is needed has a row of its own: in fewer the next below is that of 50"""
LEAST_COLUMNS = 14
"""of a plot of things side by side, below which their names leave it no room"""
BETWEEN = 2
"""least columns between two names on an axis"""
ANSI = re.compile("\x1b\\[[0-9;]*m")


class Plotted(Painted):
    """A chart with its legend and axes; nothing where there are too few rows for one."""

    def __init__(self) -> None:
        super().__init__(classes="plotted")
        self._chart: Chart | None = None
        self._drawn: tuple[tuple[Chart, int, int], list[list[Cell]]] | None = None

    def show(self, chart: Chart | None) -> None:
        """Show a chart from now on; None while there is none."""
        if chart != self._chart:
            self._chart = chart
            self.refresh()

    def count_rows(self) -> int:
        """All there are, where there is enough room for a chart."""
        chart, (width, height) = self._chart, self.size
        if chart is None:
            return 0
        return height if fits(chart, width, height) else 0

    def spot_at(self, row: int, column: int) -> Spot | None:
        """Nothing is clicked here."""
        return None

    def cells_of(self, row: int) -> Sequence[Cell]:
        """The cells of a row; all of them are drawn at once, and kept for the size there is."""
        chart, (width, height) = self._chart, self.size
        if chart is None:
            return ()
        if self._drawn is None or self._drawn[0] != (chart, width, height):
            self._drawn = (chart, width, height), drawn(chart, width, height)
        rows = self._drawn[1]
        return rows[row] if row < len(rows) else ()


def fits(chart: Chart, width: int, height: int) -> bool:
    """Whether there is enough room for a chart."""
    rows = max(LEAST_ROWS, len(chart.up.ticks)) if chart.of_classes else LEAST_ROWS
    if chart.of_classes and width - _beside(chart.up.ticks) < LEAST_COLUMNS:
        return False
    return height >= len(head_of(chart, width)) + rows + AXIS_ROWS


def drawn(chart: Chart, width: int, height: int) -> list[list[Cell]]:
    """The rows of a chart: what its marks mean, what its axes are, the plot."""
    head = head_of(chart, width)
    chart = with_alike(chart, width)
    plot = _plot(chart, width, height - len(head))
    roles = _roles_of(chart)
    return [*head, *(_cells(line, roles) for line in plot)]


def head_of(chart: Chart, width: int) -> list[list[Cell]]:
    """The legend, in as few rows as it takes, and the axes with their units."""
    rows: list[list[Cell]] = []
    ends: list[int] = []
    for series in with_alike(chart, width).series:
        if not series.points:
            continue
        text = f"{_mark(series)} {series.name}"
        room = (n for n, end in enumerate(ends) if end + APART + cell_len(text) <= width)
        row = next(room, len(rows))
        if row == len(rows):
            rows.append([])
            ends.append(-APART)
        rows[row].append(Cell(ends[row] + APART, text, "quiet"))
        ends[row] += APART + cell_len(text)
    rows += ([Cell(0, line, "quiet")] for line in wrap(_axes_text(chart, width), width))
    return rows


def _axes_text(chart: Chart, width: int) -> str:
    said = {"up": chart.up.unit, "across": chart.across.unit}
    if chart.of_classes:
        return words.say("charts.axes-named" if chart.up.unit else "charts.axis-across", **said)
    days = ceil((chart.across.high - chart.across.low + 1) / (width - _beside(chart.up.ticks)))
    if chart.across.is_days and days > 1 and any(s.kind == "column" for s in chart.series):
        return words.say("charts.axes-grouped", **said, days=days)
    return words.say("charts.axes" if chart.across.unit else "charts.axis-up", **said)


def _beside(ticks: Sequence[Tick]) -> int:
    """Columns that the names on the upright axis take, with the axis itself."""
    return max((cell_len(tick.text) for tick in ticks), default=0) + 1


def with_alike(chart: Chart, width: int) -> Chart:
    """With one mark where what was learned and what is assumed fall together."""
    by_kind = {series.kind: series for series in chart.series}
    yours, assumed = by_kind.get("middle"), by_kind.get("assumed")
    if yours is None or assumed is None:
        return chart
    columns = width - _beside(chart.up.ticks)

    def cell(point: Point) -> tuple[float, int]:
        return point.low, _place(chart.across, point.at, columns)

    both = set(map(cell, yours.points)) & set(map(cell, assumed.points))
    if not both:
        return chart
    alike = tuple(point for point in assumed.points if cell(point) in both)
    series = (
        replace(s, points=tuple(p for p in s.points if cell(p) not in both))
        if s in (yours, assumed)
        else s
        for s in chart.series
    )
    return replace(chart, series=(*series, Series("alike", words.say("charts.eye.alike"), alike)))


def _mark(series: Series) -> str:
    return series.sign or MARKS[series.kind]


def _roles_of(chart: Chart) -> dict[str, Role]:
    """The role of each mark; what is no mark is part of an axis."""
    return {
        _mark(series): ROLES.get(series.kind, "quiet" if series.kind in BEHIND else "ink")
        for series in chart.series
    }


@dataclass(frozen=True, slots=True)
class _Room:
    """The room for a plot within its axes, in cells, and the names there is room for."""

    columns: int
    rows: int
    high: float
    """at the top row"""
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]


def _room(chart: Chart, width: int, height: int) -> _Room:
    rows = height - AXIS_ROWS
    if chart.of_classes:
        # each on a row of its own, evenly apart
        count = max(1, len(chart.up.ticks))
        rows = max(1, (rows - 1) // max(1, count - 1)) * (count - 1) + 1
        rows = max(rows, 2)
    elif chart.up.steps and rows > chart.up.steps:
        # as many rows from each name to the next
        rows = (rows - 1) // chart.up.steps * chart.up.steps + 1
    axis = replace(chart.up, high=_high(chart.up, rows))
    up = tuple(_apart(axis, rows, lambda _: 1, 0))
    columns = max(2, width - _beside(up))
    across = tuple(_apart(chart.across, columns, lambda tick: cell_len(tick.text), BETWEEN))
    return _Room(columns, rows, axis.high, across, up)


def _high(axis: Axis, rows: int) -> float:
    """The value at the top row: where two near it would share a row, it is where they do not."""
    if axis.apart is None or rows < APART_ROWS or _place(axis, axis.apart[0], rows) < rows - 1:
        return axis.high
    # the border below the top row, half a row down, lies between the two
    border = sum(axis.apart) / 2 - axis.low
    return axis.low + border * (rows - 1) / (rows - 1.5)


def _place(axis: Axis, at: float, cells: int) -> int:
    """The row or column of a value."""
    return round((at - axis.low) / (axis.high - axis.low) * (cells - 1))


def _apart(axis: Axis, cells: int, size: Callable[[Tick], int], between: int) -> Iterator[Tick]:
    """The names that stand clear of those more wanted."""
    taken: list[tuple[int, int]] = []
    for tick in axis.ticks:
        middle = _place(axis, tick.at, cells)
        first = max(0, min(middle - size(tick) // 2, cells - size(tick)))
        end = first + size(tick)
        if all(end + between <= other or first >= last + between for other, last in taken):
            taken.append((first, end))
            yield tick


def _plot(chart: Chart, width: int, height: int) -> list[str]:
    """The plot and its axes as text."""
    # slow to import: only once a chart is painted
    from textual_plotext.plot import Plot

    room, plot = _room(chart, width, height), Plot()
    plot.theme("clear")
    plot.plotsize(width, room.rows + AXIS_ROWS)
    # the library takes the size of the terminal for its most, unless told so too
    plot._set_size(width, room.rows + AXIS_ROWS)
    plot.xlim(chart.across.low, chart.across.high)
    plot.ylim(chart.up.low, room.high)
    plot.xticks([tick.at for tick in room.across], [tick.text for tick in room.across])
    plot.yticks([tick.at for tick in room.up], [tick.text for tick in room.up])
    plot.xaxes(True, False)
    plot.yaxes(True, False)
    up = replace(chart.up, high=room.high)
    for series in chart.series:
        _put(plot, series, chart.across, up, room)
        if series.is_numbered:
            _put_numbers(plot, series, chart.across, up, room)
    return [line.rstrip() for line in ANSI.sub("", plot.build()).splitlines()]


def _put(plot: "Plot", series: Series, across: Axis, up: Axis, room: _Room) -> None:
    mark, points = _mark(series), series.points
    if not points:
        return
    if series.kind == "band":
        points = tuple(_filled(points, across, room.columns))
    if series.kind in ("column", "band"):
        for point in points:
            plot.plot([point.at, point.at], [point.low, point.high], marker=mark)
    elif series.kind == "spread":
        for point in points:
            plot.plot([point.low, point.high], [point.at, point.at], marker=mark)
    elif series.kind in ("was", "ahead"):
        heights = [_below_asked(point.low, up, room) for point in points]
        plot.plot([point.at for point in points], heights, marker=mark)
    elif series.kind == "asked":
        plot.plot([point.at for point in points], [point.low for point in points], marker=mark)
    else:
        plot.scatter([point.at for point in points], [point.low for point in points], marker=mark)


def _below_asked(height: float, up: Axis, room: _Room) -> float:
    """The height, a row below what is asked while it is less: they meet on the right day."""
    if up.apart is None or height >= up.apart[0] or room.rows < APART_ROWS:
        return height
    row = _place(up, up.apart[0], room.rows) - 1
    return min(height, up.low + row * (up.high - up.low) / (room.rows - 1))


def _put_numbers(plot: "Plot", series: Series, across: Axis, up: Axis, room: _Room) -> None:
    """The height of each column above it, where the next is far enough and a row is left."""
    row = (up.high - up.low) / (room.rows - 1)
    column = (across.high - across.low) / (room.columns - 1)
    places = [_place(across, point.at, room.columns) for point in series.points]
    for at, point in zip(places, series.points, strict=True):
        text = f"{point.high:.0f}"
        is_clear = all(abs(at - other) > len(text) for other in places if other != at)
        if is_clear and _place(up, point.high, room.rows) < room.rows - 1:
            # what stands at an end keeps within the plot
            first = max(0, min(at - len(text) // 2, room.columns - len(text)))
            plot.text(text, across.low + first * column, point.high + row, alignment="left")


def _filled(points: Sequence[Point], across: Axis, columns: int) -> Iterator[Point]:
    """The ends of a band in each column: straight lines between two points."""
    ats = [point.at for point in points]
    for column in range(columns):
        at = across.low + (across.high - across.low) * column / (columns - 1)
        if not ats[0] <= at <= ats[-1]:
            continue
        after = min(bisect_right(ats, at), len(ats) - 1)
        one, other = points[max(0, after - 1)], points[after]
        part = (at - one.at) / (other.at - one.at) if other.at > one.at else 0.0
        low, high = (
            first + (last - first) * part
            for first, last in ((one.low, other.low), (one.high, other.high))
        )
        yield Point(at, low, high)


def _cells(line: str, roles: dict[str, Role]) -> list[Cell]:
    """A line in runs of one role; names on an axis hold no mark, and are quiet."""
    cells: list[Cell] = []
    axis = next((at for at, c in enumerate(line) if c in "\u2524\u251c\u2502\u2514"), len(line))
    for at, character in enumerate(line):
        role = roles.get(character, "quiet") if at > axis else "quiet"
        if cells and cells[-1].role == role:
            last = cells.pop()
            cells.append(Cell(last.column, last.text + character, role))
        else:
            cells.append(Cell(at, character, role))
    return cells
