"""A day that was worked out once is only read by the commands that show it."""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Ask = Callable[..., Any]

SHOW = (("today",), ("rank",), ("plant", "S03"), ("plant", "G02"), ("sheet",))


@pytest.mark.usefixtures("porch")
@pytest.mark.parametrize("words", SHOW, ids=" ".join)
def test_a_second_call_writes_nothing(ask: Ask, logbook_file: Path, words: tuple[str, ...]) -> None:
    first = ask(*words)
    watching = sqlite3.connect(logbook_file)
    try:
        kept = watching.execute("SELECT count(*), max(key) FROM derived").fetchone()
        # another number as soon as anybody else has written
        before = watching.execute("PRAGMA data_version").fetchone()
        assert ask(*words) == first
        assert watching.execute("PRAGMA data_version").fetchone() == before
        assert watching.execute("SELECT count(*), max(key) FROM derived").fetchone() == kept
    finally:
        watching.close()


@pytest.mark.usefixtures("porch")
def test_the_first_call_does_write_what_it_worked_out(ask: Ask, logbook_file: Path) -> None:
    watching = sqlite3.connect(logbook_file)
    try:
        before = watching.execute("PRAGMA data_version").fetchone()
        ask("today")
        assert watching.execute("PRAGMA data_version").fetchone() != before
    finally:
        watching.close()
