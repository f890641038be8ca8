"""Calls of the program in this process, on a logbook of their own."""

import json
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from rounds.cli.main import main
from rounds.clock import SetClock

NOW = datetime(2026, 5, 4, 9, 30, tzinfo=UTC)


@dataclass(frozen=True)
class Called:
    """What a call printed, and how it ended."""

    status: int
    out: str
    err: str

    @property
    def found(self) -> Any:
        """The one object it printed."""
        assert self.out.endswith("\n")
        assert self.out.count("\n") == 1
        return json.loads(self.out)


Call = Callable[..., Called]


@pytest.fixture
def logbook_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the logbook of the test lies; nothing is there yet."""
    path = tmp_path / "logbook.db"
    monkeypatch.setenv("ROUNDS_DB", str(path))
    return path


@pytest.fixture
def berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Local time of a place whose clocks change."""
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "Europe/Berlin")
        time.tzset()
        yield
    time.tzset()


@pytest.fixture
def call(logbook_file: Path, capsys: pytest.CaptureFixture[str]) -> Call:
    """One call, on 4 May 2026 unless it says otherwise."""

    def run(*argv: str | int | float | Path) -> Called:
        capsys.readouterr()
        status = main([str(word) for word in argv], SetClock(NOW))
        said = capsys.readouterr()
        return Called(status, said.out, said.err)

    return run


@pytest.fixture
def ask(call: Call) -> Callable[..., Any]:
    """The object of a call that has to succeed."""

    def run(*argv: str | int | float | Path) -> Any:
        called = call(*argv, "--json")
        assert called.status == 0, called.err
        assert called.err == ""
        return called.found

    return run


@pytest.fixture
def refused(call: Call) -> Callable[..., Any]:
    """The error of a call that has to fail with a status: on both outputs, in one sentence."""

    def run(status: int, *argv: str | int | float | Path) -> Any:
        called = call(*argv, "--json")
        assert called.status == status, called.out
        error = called.found["error"]
        assert called.err.startswith(f"{error['message']} {error['what_to_do']}".strip())
        return error

    return run


@pytest.fixture
def porch(ask: Callable[..., Any]) -> None:
    """An invented collection: one plant on the porch shelf, one that came to the stair foot."""
    ask("place", "porch shelf", "--usual-c", "22", "--on", "2026-01-01")
    ask("place", "stair foot", "--apart", "--usual-c", "22", "--on", "2026-01-01")
    ask("add", "G02", "--name", "Thole", "--place", "porch shelf", "--already-here",
        "--on", "2026-01-01")  # fmt: skip
    ask("add", "S03", "--name", "Pintle", "--place", "stair foot", "--on", "2026-04-28")
