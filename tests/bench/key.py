"""From a key to its paint: ours, through the whole house, against a bare loop on a terminal.

How long the disk takes is in both, so that their ratio falls as the disk gets slower; the least
that Textual can do with a key is measured beside them, to tell the terminal's share from ours.
"""

import re
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from rounds.clock import Clock
from rounds.service.demo import make_demo
from tests.bench.process import NotMeasured, Window, frames, in_turns, shows
from tests.bench.table import Row, p99, ratio_of_medians

REPEATS = 300
AT_ONE_ZONE = 30
"""No grower counts more presses at one zone; after them the season begins anew."""

COUNT_KEY = b"f"
QUIET_SECONDS = 0.02
"""Nothing has come for so long when a key is sent: each is painted before the next."""

COUNT = re.compile(r"\b(?:off|removed) +(\d+)\b")


class Counter:
    """A window in which each press of the key counts one more."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._count = 0

    def press(self) -> float:
        """Milliseconds from a key to the last byte of the frame that shows its count."""
        self._window.rest(QUIET_SECONDS)
        wanted = self._count + 1
        sent = self._window.send(COUNT_KEY)
        came = self._window.wait_for(lambda output: wanted in _counts(output), f"off {wanted}")
        self._count = wanted
        return (came - sent) * 1000


def measure(repeats: int) -> list[Row]:
    """A key to each program, again and again."""
    ours: list[float] = []
    bare: list[float] = []
    textual: list[float] = []
    while len(ours) < repeats:
        found = _at_one_zone(min(AT_ONE_ZONE, repeats - len(ours)))
        for kept, more in zip((ours, bare, textual), found, strict=True):
            kept += more
    return [
        Row("key", "ms", ours, bare, ratio_of_medians(ours, bare), 4.0),
        Row("key-p99", "ms", ours, (), p99(ours) / median(ours), 1.5),
        Row("key-textual", "ms", ours, textual, ratio_of_medians(ours, textual), None),
    ]


def _at_one_zone(presses: int) -> list[list[float]]:
    """Milliseconds of each press: ours, the bare loop's, the least of Textual's."""
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        demo = make_demo(Path(folder) / "demo.db", Clock()).path
        bare, textual = Path(folder) / "bare.db", Path(folder) / "textual.db"
        with (
            Window("rounds", logbook=demo) as ours,
            Window("tests.bench.raw_loop", str(bare), logbook=bare) as bare_loop,
            Window("tests.bench.textual_loop", str(textual), logbook=textual) as textual_loop,
        ):
            _begin_round(ours)
            for loop in (bare_loop, textual_loop):
                loop.wait_for(shows("off 0"), "off 0")
                loop.rest(0.2)
            windows = (ours, bare_loop, textual_loop)
            return in_turns(presses, *(Counter(window).press for window in windows))


def _begin_round(window: Window) -> None:
    """From the first screen to a zone where nothing was counted yet."""
    window.wait_for(shows("enter  begin"), "today")
    window.send(b"\r")
    window.wait_for(shows("plant 1 of"), "the round")
    window.rest(0.2)
    if _counts(window.output) != {0}:
        raise NotMeasured("the round did not begin with a count of 0")


def _counts(output: bytes) -> set[int]:
    return {int(count) for frame in frames(output) for count in COUNT.findall(frame)}
