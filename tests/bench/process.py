"""Child processes under a stopwatch: in a terminal read as raw bytes, or from start to end."""

import atexit
import contextlib
import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from types import TracebackType

CHECKOUT = Path(__file__).parents[2]
ROWS, COLUMNS = 24, 80
PATIENCE_SECONDS = 30.0
LEAVING_SECONDS = 5.0
LEAVE = b"\x11"
"""ctrl+q ends each of the programs measured."""

LEFT_OUT = ("NO_COLOR", "COLUMNS", "LINES", "PYTHONDONTWRITEBYTECODE")

FRAME = re.compile(rb"\x1b\[\?2026h(.*?)\x1b\[\?2026l", re.DOTALL)
"""All that a terminal shows at once: what stands between the marks of a synchronized update."""

_ASKS_FOR_MARKS = b"\x1b[?2026$p"
_HAS_MARKS = b"\x1b[?2026;2$y"
_CONTROL = re.compile(rb"\x1b\[[0-9;?>]*[A-Za-z$]|\x1b\][^\x07]*\x07")


class NotMeasured(Exception):
    """The program did not do what was to be timed."""


class Window:
    """A module of this checkout, run in a terminal of 80x24 that knows synchronized updates."""

    def __init__(self, module: str, *arguments: str, logbook: Path) -> None:
        self._terminal, inner = pty.openpty()
        fcntl.ioctl(inner, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self.output = b""
        self.started = self._came = time.perf_counter()
        self._child = subprocess.Popen(
            [sys.executable, "-m", module, *arguments],
            stdin=inner,
            stdout=inner,
            stderr=inner,
            cwd=CHECKOUT,
            env=environment(logbook),
            start_new_session=True,
        )
        os.close(inner)

    def __enter__(self) -> "Window":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def send(self, keys: bytes) -> float:
        """Press keys; when, in seconds of the stopwatch. `output` begins anew."""
        self.output = b""
        sent = time.perf_counter()
        os.write(self._terminal, keys)
        return sent

    def wait_for(self, done: Callable[[bytes], bool], what: str) -> float:
        """Read until `output` is as wanted; when its last byte came, in seconds of the stopwatch.

        NotMeasured if that never happens.
        """
        until = time.perf_counter() + PATIENCE_SECONDS
        while not done(self.output):
            if not self._read(until - time.perf_counter()):
                break
        else:
            return self._came
        raise NotMeasured(f"{what} never came; the last was: {plain(self.output)[-400:]!r}")

    def rest(self, seconds: float) -> None:
        """Read until nothing has come for so long."""
        while self._read(seconds):
            pass

    def close(self) -> None:
        """Ask the program to leave, and see to it that it has."""
        until = time.perf_counter() + LEAVING_SECONDS
        with contextlib.suppress(OSError):
            os.write(self._terminal, LEAVE)
        while self._child.poll() is None and time.perf_counter() < until:
            self._read(0.05)
        self._child.kill()
        self._child.wait()
        os.close(self._terminal)

    def _read(self, seconds: float) -> bool:
        """Take in what comes next, and note when it came; whether anything did."""
        if not select.select([self._terminal], [], [], max(0.0, seconds))[0]:
            return False
        try:
            piece = os.read(self._terminal, 65536)
        except OSError:  # how Linux says that the program at the other end is gone
            return False
        self._came = time.perf_counter()
        self.output += piece
        if _ASKS_FOR_MARKS in piece:
            os.write(self._terminal, _HAS_MARKS)
        return bool(piece)


def plain(output: bytes) -> str:
    """Output as text, without what moves the cursor or colours."""
    return _CONTROL.sub(b"", output).decode("utf-8", errors="replace")


def frames(output: bytes) -> list[str]:
    """The text of each whole frame."""
    return [plain(frame) for frame in FRAME.findall(output)]


def shows(text: str) -> Callable[[bytes], bool]:
    """Whether this text has come, in a frame with marks or before the program knew of them."""
    return lambda output: text in plain(output)


def environment(logbook: Path) -> dict[str, str]:
    """Of a full-colour terminal; whatever a program does, it does to this logbook.

    Its bytecode is kept, as that of an installed program is.
    """
    kept = {k: v for k, v in os.environ.items() if k not in LEFT_OUT}
    return {
        **kept,
        "PYTHONPYCACHEPREFIX": _bytecode(),
        "TERM": "xterm-256color",
        "COLORTERM": "truecolor",
        "ROUNDS_DB": str(logbook),
    }


@cache
def _bytecode() -> str:
    """A folder for the bytecode of all child processes, removed at the end."""
    folder = TemporaryDirectory(prefix="rounds-bench-")
    atexit.register(folder.cleanup)
    return folder.name


def in_turns(repeats: int, *measures: Callable[[], float]) -> list[list[float]]:
    """Take each measure in its turn, again and again; a first turn of all warms the caches up."""
    turns = [[measure() for measure in measures] for _ in range(repeats + 1)]
    return [list(found) for found in zip(*turns[1:], strict=True)]
