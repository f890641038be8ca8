"""From the start of the process to its first full frame, against the smallest Textual program."""

import re
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from rounds.clock import Clock
from rounds.service.demo import make_demo
from tests.bench.process import ROWS, Window, in_turns, shows
from tests.bench.table import Row, ratio_of_medians

REPEATS = 20

LAST_ROW_PAINTED = re.compile(rb"\x1b\[%d;1H[^\r]*?\x1b\[\d+;\d+H" % ROWS)
"""A frame is full when the cursor has left the last row; the first may still be without marks."""


def measure(repeats: int) -> list[Row]:
    """The first thing to be seen, and, for ours, the plan of the day, which has no goal yet."""
    plans: list[float] = []
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        demo = make_demo(Path(folder) / "demo.db", Clock()).path

        def ours() -> float:
            first, plan = _rounds(demo)
            plans.append(plan)
            return first

        times, against = in_turns(repeats, ours, lambda: _smallest(demo))
    plans = plans[-repeats:]
    return [
        Row("first-paint", "ms", times, against, ratio_of_medians(times, against), 1.15),
        Row("first-plan", "ms", plans, against, ratio_of_medians(plans, against), None),
    ]


def paints(logbook: Path, demo: Path) -> tuple[Callable[[], float], Callable[[], float]]:
    """Milliseconds to the first frame of ours on a logbook, and of the smallest program."""

    def ours() -> float:
        with Window("rounds", logbook=logbook) as window:
            first = window.wait_for(_is_full, "a full frame")
        return (first - window.started) * 1000

    return ours, lambda: _smallest(demo)


def _rounds(demo: Path) -> tuple[float, float]:
    """Milliseconds to the first frame, and to the first that shows the plan."""
    with Window("rounds", logbook=demo) as window:
        first = window.wait_for(_is_full, "a full frame")
        plan = window.wait_for(shows("plants fit"), "the plan")
    return (first - window.started) * 1000, (plan - window.started) * 1000


def _smallest(demo: Path) -> float:
    """Milliseconds to the first frame."""
    with Window("tests.bench.smallest_app", logbook=demo) as window:
        first = window.wait_for(_is_full, "a full frame")
    return (first - window.started) * 1000


def _is_full(output: bytes) -> bool:
    return LAST_ROW_PAINTED.search(output) is not None
