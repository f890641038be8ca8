"""A real terminal around the program: pexpect gives the pty, pyte the screen."""

import contextlib
import os
import re
import signal
import sqlite3
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pexpect
import pyte
import pytest

from rounds.clock import Clock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now

PATIENCE_SECONDS = 120.0
"""of a test that fails; one that passes never takes so long"""
READ_SECONDS = 0.05

KEYS_ASKED = re.compile(rb"\x1b\[[<>][0-9]*u")
"""How keys are to be sent: a terminal shows nothing of it, pyte the `u`."""
UNFINISHED = re.compile(rb"\x1b(\[[<>]?[0-9]*)?\Z")


class Terminal:
    """The program in a pty, and the screen as a person would see it."""

    def __init__(
        self, command: list[str], columns: int, rows: int, more: Mapping[str, str]
    ) -> None:
        self.sent = self._unread = b""
        self.is_lost = False
        self.screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self.screen)
        environment = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        for name in ("NO_COLOR", "COLUMNS", "LINES", "ROUNDS_COLOURS"):
            environment.pop(name, None)
        environment |= more
        self.child = pexpect.spawn(
            command[0],
            command[1:],
            dimensions=(rows, columns),
            env=environment,
            timeout=PATIENCE_SECONDS,
        )
        self.child.delaybeforesend = None

    def send(self, keys: str) -> None:
        """Press keys, as fast as they come."""
        self.child.send(keys)

    def read(self, seconds: float = 0.0) -> bool:
        """Take in what was painted; False when the program is gone and all is read."""
        try:
            got = self.child.read_nonblocking(65536, timeout=seconds)
            self.sent += got
            got = KEYS_ASKED.sub(b"", self._unread + got)
            rest = UNFINISHED.search(got)
            self._unread = rest[0] if rest else b""
            self._stream.feed(got.removesuffix(self._unread))
        except pexpect.TIMEOUT:
            return True
        except pexpect.EOF:
            return False
        return True

    def resize(self, columns: int, rows: int) -> None:
        """Another size, as a window that is dragged; returns once something is painted for it."""
        before = len(self.sent)
        self.screen.resize(rows, columns)
        self.child.setwinsize(rows, columns)
        self.wait_until(lambda: len(self.sent) > before, "anything at the new size")

    def text(self) -> str:
        """The screen as text."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def wait_for(self, condition: Callable[[str], bool], what: str) -> str:
        """Read until the screen is as it should be."""
        until = time.monotonic() + PATIENCE_SECONDS
        while time.monotonic() < until:
            if condition(self.text()):
                return self.text()
            if not self.read(READ_SECONDS) and not condition(self.text()):
                break
        raise AssertionError(f"the screen never showed {what}:\n{self.text()}")

    def wait_until(self, condition: Callable[[], bool], what: str) -> None:
        """Read on until something holds that is not on the screen."""
        self.wait_for(lambda _: condition(), what)

    def kill(self) -> None:
        """kill -9, then take in what had been painted by then."""
        self.child.kill(signal.SIGKILL)
        while self.read(1.0):
            pass
        self.child.close()

    def lose(self) -> int:
        """The terminal goes away, as a window that is closed; the exit status."""
        self.child.ptyproc.fileobj.close()
        self.is_lost = self.child.closed = self.child.ptyproc.closed = True
        try:
            return int(self.child.wait())
        finally:
            # what did not end is not left behind, whatever the test says of it
            with contextlib.suppress(ProcessLookupError):
                os.kill(self.child.pid, signal.SIGKILL)

    def ended(self) -> int:
        """Wait for the end; the exit status."""
        while self.read(0.1):
            pass
        self.child.close()
        return int(self.child.exitstatus if self.child.exitstatus is not None else -1)


@pytest.fixture
def terminal() -> Iterator[Callable[..., Terminal]]:
    """Start the program in a terminal, or another command; what still runs at the end is killed."""
    started: list[Terminal] = []

    def start(
        *arguments: str,
        columns: int = 80,
        rows: int = 24,
        more: Mapping[str, str] | None = None,
        command: list[str] | None = None,
    ) -> Terminal:
        rounds = [sys.executable, "-m", "rounds", *arguments]
        found = Terminal(command or rounds, columns, rows, more or {})
        started.append(found)
        return found

    yield start
    for found in started:
        if not found.is_lost:
            found.child.close(force=True)


@pytest.fixture
def small_logbook(tmp_path: Path) -> Path:
    """Two plants in an invented porch, one of them apart."""
    path = tmp_path / "porch.db"
    with Logbook(path) as logbook:
        moment = now(Clock())
        put_place(logbook, moment, "porch shelf", PlaceDetails())
        put_place(logbook, moment, "stair foot", PlaceDetails(apart=True, usual_c=18.0))
        add_plant(
            logbook,
            moment,
            "G02",
            PlantDetails(name="Thole", place="porch shelf", already_here=True),
        )
        add_plant(logbook, moment, "S03", PlantDetails(name="Pintle", place="stair foot"))
    return path


@pytest.fixture
def counted_on_disk() -> Callable[[Path], int]:
    """How many insects the file holds, read past the program's own code."""

    def count(path: Path) -> int:
        with sqlite3.connect(path) as connection:
            row = connection.execute("SELECT coalesce(sum(count), 0) FROM tally").fetchone()
        connection.close()
        return int(row[0])

    return count
