"""Handle signals that end the program, so that the terminal is restored."""

import asyncio
import contextlib
import signal
from collections.abc import Callable

ENDING = (signal.SIGTERM, signal.SIGHUP)


def end_on_signals(end: Callable[[int], None]) -> None:
    """Call `end` with 128 + n when signal n asks the program to end. Inside a running loop."""
    loop = asyncio.get_running_loop()
    for number in ENDING:
        # a loop off the main thread, as in tests, takes no signals
        with contextlib.suppress(RuntimeError, ValueError, NotImplementedError):
            loop.add_signal_handler(number, end, 128 + number)
