"""From a key to its paint while a cold day is worked out, beside the least that Textual can do."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from rounds import words
from rounds.clock import Clock
from rounds.service.demo import make_demo
from tests.bench.process import NotMeasured, Window, in_turns, plain, shows
from tests.bench.table import Row, p99

REPEATS = 20
AT_ONE_START = 10
"""So many keys come before the day is worked out; then the program is started anew."""

QUIET_SECONDS = 0.02
MOST_TYPED = 5
BACKSPACE = b"\x7f"
CALCULATING = words.say("calculating.plan")


def measure(repeats: int) -> list[Row]:
    """Figures typed on the first screen, and counts in the smallest program that has any."""
    ours: list[float] = []
    textual: list[float] = []
    while len(ours) < repeats:
        found = _at_one_start(min(AT_ONE_START, repeats - len(ours)))
        for kept, more in zip((ours, textual), found, strict=True):
            kept += more
    return [Row("cold-key", "ms", ours, textual, p99(ours), 50.0)]


def _at_one_start(presses: int) -> list[list[float]]:
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        demo = make_demo(Path(folder) / "demo.db", Clock()).path
        with closing(sqlite3.connect(demo, isolation_level=None)) as file:
            file.execute("DELETE FROM derived")
        counted = Path(folder) / "textual.db"
        with Window("tests.bench.textual_loop", str(counted), logbook=counted) as loop:
            loop.wait_for(shows("off 0"), "off 0")
            loop.rest(0.2)
            with Window("rounds", logbook=demo) as window:
                window.wait_for(shows(CALCULATING), "that the plan is being calculated")
                window.send(b"m")
                window.wait_for(shows("minutes for the round"), "the minutes")
                return in_turns(presses, _typing(window), _counting(loop))


def _typing(window: Window) -> Callable[[], float]:
    """Milliseconds until a figure that was typed is painted; a full line is emptied again."""
    typed = ""

    def press() -> float:
        nonlocal typed
        if len(typed) == MOST_TYPED:
            window.send(BACKSPACE * MOST_TYPED)
            typed = ""
        window.rest(QUIET_SECONDS)
        typed += "7"
        return _until(window, b"7", f" {typed} ")

    return press


def _counting(window: Window) -> Callable[[], float]:
    count = 0

    def press() -> float:
        nonlocal count
        count += 1
        window.rest(QUIET_SECONDS)
        return _until(window, b"f", f"off {count}")

    return press


def _until(window: Window, key: bytes, text: str) -> float:
    sent = window.send(key)
    came = window.wait_for(shows(text), text)
    if "crash" in plain(window.output):
        raise NotMeasured("the program ended")
    return (came - sent) * 1000
