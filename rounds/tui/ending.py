"""How the program ends when it is asked to from outside, or its terminal is gone."""

import asyncio
import contextlib
import os
import signal
import sys
import threading
from collections.abc import Callable
from types import FrameType

ENDING = (signal.SIGTERM, signal.SIGHUP)

GONE_WITHIN_SECONDS = 1.5
"""What is still waiting for a terminal that is no longer there ends after so long."""


def end_on_signals(end: Callable[[int], None]) -> None:
    """Call `end` with 128 + n when signal n asks the program to end. Inside a running loop."""
    loop = asyncio.get_running_loop()

    def asked(number: int) -> None:
        status = 128 + number
        timer = threading.Timer(GONE_WITHIN_SECONDS, _end_without_terminal, (status,))
        timer.daemon = True
        timer.start()
        end(status)

    # a loop off the main thread, as in tests, takes no signals
    with contextlib.suppress(RuntimeError, ValueError, NotImplementedError):
        for number in ENDING:
            loop.add_signal_handler(number, asked, number)
        _go_on_only_with_a_terminal()


def _go_on_only_with_a_terminal() -> None:
    """Where the terminal is lost SIGCONT comes with SIGHUP: the library would begin anew there.

    A second thread would then read from nothing, at full load and for ever.
    """
    go_on = signal.getsignal(signal.SIGCONT)

    def continued(number: int, frame: FrameType | None) -> None:
        if callable(go_on) and _has_terminal():
            go_on(number, frame)

    signal.signal(signal.SIGCONT, continued)


def _end_without_terminal(status: int) -> None:
    """All that was entered is on disk by now, and there is nothing to give back."""
    if not _has_terminal():
        os._exit(status)


def _has_terminal() -> bool:
    # a terminal that was hung up is none
    return sys.__stdin__ is not None and os.isatty(sys.__stdin__.fileno())
