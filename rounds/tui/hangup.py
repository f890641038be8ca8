"""The end of a program whose terminal is gone, even where what paints waits for it for ever."""

import os
import select
import signal
import sys
import threading
import time

GRACE_SECONDS = 1.0
"""in which it ends by itself, as it does unless much was still to be painted"""

GONE = 128 + signal.SIGHUP


def end_with_the_terminal() -> None:
    """Watch for the end of the terminal in a thread that sleeps until then.

    The library's thread that writes ends at its first fault, and the one that paints then waits
    for it without end, so that no signal is heard. All that was entered is on disk by then.
    """
    threading.Thread(target=_watch, args=(sys.stdin.fileno(),), daemon=True).start()


def _watch(terminal: int) -> None:
    poll = select.poll()
    poll.register(terminal, 0)
    if any(event & select.POLLHUP for _, event in poll.poll()):
        time.sleep(GRACE_SECONDS)
        os._exit(GONE)
