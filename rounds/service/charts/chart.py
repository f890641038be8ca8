"""A chart, as it is drawn and as it is read: axes with units, what lies on them, rows of text."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Literal

from rounds import words
from rounds.words.forms import calendar_day

Kind = Literal["column", "none", "was", "ahead", "band", "asked", "spread", "middle", "assumed",
               "alike", "sign", "step"]  # fmt: skip
"""How points are drawn: columns from nought, marks, a band between two ends, a level, a spread
from left to right, its middle, what is assumed, where these two fall together, a sign of its own,
one mark a week."""

SPAN_DAYS = 182
"""how far back charts look: 26 weeks, which is the width of a page"""
MOST_TICKS = 5


@dataclass(frozen=True, slots=True)
class Tick:
    """A place on an axis that is named."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Axis:
    """An axis: its ends, what is named on it, most wanted first, and the unit in words."""

    low: float
    high: float
    ticks: tuple[Tick, ...]
    unit: str
    steps: int = 0
    """equal parts between its names; 0 where these may stand anywhere"""
    apart: tuple[float, float] | None = None
    """two values near its top that stand on rows of their own"""
    is_days: bool = False


@dataclass(frozen=True, slots=True)
class Point:
    """A place across, and what is there from `low` to `high`: one value where both are the same.

    Of a spread the ends lie across, and `at` is its place upwards.
    """

    at: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Series:
    """What is drawn in one way, and what that means."""

    kind: Kind
    name: str
    points: tuple[Point, ...]
    sign: str = ""
    """one single-width character, where the kind has none of its own"""
    is_numbered: bool = False
    """its heights are written above it, where there is room"""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the text form, and the same as plain values by key."""

    cells: tuple[str, ...]
    values: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Chart:
    """One chart. Without rows there is nothing to draw, and the sentence says so."""

    code: str
    title: str
    sentence: str
    """what is seen"""
    about: str
    """how it is counted, or what it rests on"""
    across: Axis
    up: Axis
    series: tuple[Series, ...]
    heads: tuple[str, ...]
    """over the columns of the rows"""
    rows: tuple[Row, ...]
    of_classes: bool = False
    """what is named upwards are things side by side, and no scale"""


def value(at: float, height: float) -> Point:
    """A single value."""
    return Point(at, height, height)


def day_axis(first: date, last: date, on: date, unit: str, wanted_too: Sequence[date] = ()) -> Axis:
    """The days from first to last; today, what else is wanted, both ends and some between."""
    days = (last - first).days
    between = [first + timedelta(days=round(days * n / 4)) for n in (2, 1, 3)]
    wanted = dict.fromkeys([on, *wanted_too, first, last, *between])
    ticks = tuple(
        Tick(day.toordinal(), words.say("forms.today") if day == on else calendar_day(day, on))
        for day in wanted
        if first <= day <= last
    )
    end = max(last.toordinal(), first.toordinal() + 1)
    return Axis(first.toordinal(), end, ticks, unit, is_days=True)


def week_axis(lasts: Sequence[date], on: date, unit: str) -> Axis:
    """Weeks by their last days, oldest first: only days on which one ends are named."""
    count = len(lasts) - 1
    wanted = dict.fromkeys(lasts[round(count * part / 4)] for part in (4, 0, 2, 1, 3))
    ticks = tuple(
        Tick(day.toordinal(), words.say("forms.today") if day == on else calendar_day(day, on))
        for day in wanted
    )
    first, last = lasts[0].toordinal(), lasts[-1].toordinal()
    return Axis(first, max(last, first + 1), ticks, unit)


LEAST_TOP = 4.0
"""of an axis of counts"""


def count_axis(most: float, unit: str, *, room: float = 1.0) -> Axis:
    """Whole numbers from nought; `room` times as high as the highest, for what stands above it.

    Never lower than a few, so that one insect does not fill the chart and look like many.
    """
    highest = max(LEAST_TOP, most)
    step = _step(highest)
    top = step * math.ceil(highest / step)
    ticks = tuple(Tick(at, f"{at:.0f}") for at in _steps(step, top))
    return Axis(0, top * room, ticks, unit, steps=round(top / step) if room == 1 else 0)


def share_axis(unit: str, *, asked: float | None = None) -> Axis:
    """Of 100, from none to all; what is asked is named before all else."""
    wanted = [*([] if asked is None else [asked]), 1.0, 0.0, 0.5]
    ticks = tuple(Tick(at, f"{100 * at:.0f}") for at in dict.fromkeys(wanted))
    return Axis(0.0, 1.0, ticks, unit, apart=None if asked is None else (asked, 1.0))


def class_axis(names: Sequence[str], unit: str = "") -> Axis:
    """Things side by side, the first at the top; the unit is that of what their names end with."""
    ticks = tuple(Tick(len(names) - number, name) for number, name in enumerate(names))
    return Axis(1, max(2, len(names)), ticks, unit)


def _step(most: float) -> float:
    """1, 2 or 5 times a power of ten: so that few steps reach the highest."""
    least = most / (MOST_TICKS - 1)
    power = 10 ** math.floor(math.log10(max(1.0, least)))
    return float(next(power * n for n in (1, 2, 5, 10) if power * n >= least))


def _steps(step: float, top: float) -> Iterator[float]:
    """Both ends first, then what lies between from the top down."""
    yield from (0.0, top)
    yield from (at * step for at in range(round(top / step) - 1, 0, -1))
