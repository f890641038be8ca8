"""How the program ends when it is asked to from outside, or its terminal is gone."""

import asyncio
import contextlib
import os
import select
import signal
import sys
import threading
import time
from collections.abc import Callable

ENDING = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT)

GRACE_SECONDS = 1.0
"""in which it ends by itself once the terminal is gone, as it does unless it waits for that"""


def end_when_asked(end: Callable[[int], None]) -> None:
    """Call `end` with 128 + n when signal n asks the program to end. Inside a running loop."""
    loop = asyncio.get_running_loop()
    # a loop off the main thread, as in tests, takes no signals
    with contextlib.suppress(RuntimeError, ValueError, NotImplementedError):
        for number in ENDING:
            loop.add_signal_handler(number, end, 128 + number)


def end_with_the_terminal() -> None:
    """See to it that nothing is left running once the terminal is gone. Within a running app."""
    threading.Thread(target=_end_with_it, args=(sys.stdin.fileno(),), daemon=True).start()


def _end_with_it(terminal: int) -> None:
    """Sleep until the terminal is gone, then see to it that the program is.

    What paints may wait for ever for the thread that writes, which ended at its first fault, so
    that no signal is heard. All that was entered is on disk by then.
    """
    poll = select.poll()
    poll.register(terminal, 0)
    if any(event & select.POLLHUP for _, event in poll.poll()):
        time.sleep(GRACE_SECONDS)
        os._exit(128 + signal.SIGHUP)
