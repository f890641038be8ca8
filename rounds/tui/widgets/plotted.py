"""A chart drawn in characters by the plotting library, in the colours of our roles.

The library is imported when the first chart is painted: what opens none does not pay for it.
"""

import re
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from rich.cells import cell_len

from rounds import words
from rounds.service.charts.chart import Axis, Chart, Kind, Point, Series, Tick
from rounds.tui.page import Cell, Role, Spot
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
    return height >= len(head_of(chart, width)) + rows + AXIS_ROWS


def drawn(chart: Chart, width: int, height: int) -> list[list[Cell]]:
    """The rows of a chart: what its marks mean, what its axes are, the plot."""
    head = head_of(chart, width)
    plot = _plot(chart, width, height - len(head))
    roles = _roles_of(chart)
    return [*head, *(_cells(line, roles) for line in plot)]


def head_of(chart: Chart, width: int) -> list[list[Cell]]:
    """The legend, in as many rows as it takes, and the axes with their units."""
    rows: list[list[Cell]] = [[]]
    at = 0
    for series in chart.series:
        if not series.points:
            continue
        text = f"{_mark(series)} {series.name}"
        if at and at + cell_len(text) > width:
            rows.append([])
            at = 0
        rows[-1].append(Cell(at, text, "quiet"))
        at += cell_len(text) + APART
    rows.append([Cell(0, _axes_text(chart), "quiet")])
    return rows


def _axes_text(chart: Chart) -> str:
    said = {"up": chart.up.unit, "across": chart.across.unit}
    if not chart.up.unit:
        return words.say("charts.axis-across", **said)
    return words.say("charts.axes" if chart.across.unit else "charts.axis-up", **said)


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
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]


def _room(chart: Chart, width: int, height: int) -> _Room:
    rows = height - AXIS_ROWS
    if chart.of_classes:
        # each on a row of its own, evenly apart
        count = max(1, len(chart.up.ticks))
        rows = max(1, (rows - 1) // max(1, count - 1)) * (count - 1) + 1
        rows = max(rows, 2)
    up = tuple(_apart(chart.up, rows, lambda _: 1, 0))
    left = max((cell_len(tick.text) for tick in up), default=0) + 1
    columns = max(2, width - left)
    across = tuple(_apart(chart.across, columns, lambda tick: cell_len(tick.text), BETWEEN))
    return _Room(columns, rows, across, up)


def _apart(axis: Axis, cells: int, size: Callable[[Tick], int], between: int) -> Iterator[Tick]:
    """The names that stand clear of those more wanted."""
    taken: list[tuple[int, int]] = []
    for tick in axis.ticks:
        middle = round((tick.at - axis.low) / (axis.high - axis.low) * (cells - 1))
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
    plot.ylim(chart.up.low, chart.up.high)
    plot.xticks([tick.at for tick in room.across], [tick.text for tick in room.across])
    plot.yticks([tick.at for tick in room.up], [tick.text for tick in room.up])
    plot.xaxes(True, False)
    plot.yaxes(True, False)
    for series in chart.series:
        _put(plot, series, chart.across, room)
    return [line.rstrip() for line in ANSI.sub("", plot.build()).splitlines()]


def _put(plot: "Plot", series: Series, across: Axis, room: _Room) -> None:
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
    elif series.kind in ("was", "ahead", "asked"):
        plot.plot([point.at for point in points], [point.low for point in points], marker=mark)
    elif series.kind == "step":
        for before, after in pairwise(points):
            plot.plot([before.at, after.at], [before.low, before.low], marker=mark)
        plot.scatter([points[-1].at], [points[-1].low], marker=mark)
    else:
        plot.scatter([point.at for point in points], [point.low for point in points], marker=mark)


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
