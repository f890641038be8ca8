"""A part of the work on the second core: in a process of its own, which has no logbook.

Only where one call works all of it out and ends, as a command does: the screens do theirs in steps.
"""

import os
import pickle
import sys
import threading
from collections.abc import Callable
from typing import Any, Generic, TypeVar

from rounds.store import LogbookFile

Made = TypeVar("Made")


class Beside(Generic[Made]):
    """Work begun in a copy of this process, whose result comes back through a pipe.

    The copy lets go of the connection to the file before anything else, and ends without closing
    it: SQLite's connections do not outlive a fork. What it cannot do it leaves to this one.

    Args:
        file: of the logbook.
        work: what is to be done, from what is in memory alone; its result is plain data.
    """

    def __init__(self, file: LogbookFile, work: Callable[[], Made]) -> None:
        self._process = 0
        if not has_second_core():
            return
        self._read, write = os.pipe()
        self._process = os.fork()
        if self._process:
            os.close(write)
        else:
            _answer(file, work, write)

    def result(self) -> Made | None:
        """What came of it, once it is done; None where there is no second core, or it failed."""
        if not self._process:
            return None
        with open(self._read, "rb") as pipe:
            told = pipe.read()
        os.waitpid(self._process, 0)
        self._process = 0
        found: Made | None = pickle.loads(told) if told else None
        return found


def has_second_core() -> bool:
    """Whether a copy of this process is safe, with one thread in it, and has a core of its own."""
    if sys.platform != "linux" or threading.active_count() > 1:
        return False
    return len(os.sched_getaffinity(0)) > 1


def _answer(file: LogbookFile, work: Callable[[], Any], write: int) -> None:
    """In the copy: do the work, send what came of it, and end at once."""
    told = b""
    try:
        file.leave_to_another_process()
        told = pickle.dumps(work())
    except BaseException:
        told = b""
    finally:
        try:
            with open(write, "wb") as pipe:
                pipe.write(told)
        finally:
            # nothing of this process is tidied up: files and buffers belong to the other
            os._exit(0)
