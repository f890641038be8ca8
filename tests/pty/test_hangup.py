"""The terminal goes away: a window is closed, a connection drops, a multiplexer is killed."""

import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest


@pytest.mark.parametrize("within_a_round", [False, True], ids=["today", "round"])
def test_it_ends_by_the_signal_when_its_terminal_is_gone(
    terminal: Callable[..., Any],
    small_logbook: Path,
    counted_on_disk: Callable[[Path], int],
    within_a_round: bool,
) -> None:
    """The kernel sends SIGHUP and SIGCONT at once: it is not to begin painting anew."""
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    if within_a_round:
        window.send("\r")
        window.wait_for(lambda text: "plant 1 of 2" in text, "the first plant")
        window.send("f")
        window.wait_until(lambda: counted_on_disk(small_logbook) == 1, "the count on disk")
    assert window.lose() == 128 + signal.SIGHUP
    assert counted_on_disk(small_logbook) == int(within_a_round)
