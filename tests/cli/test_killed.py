"""A command that is killed at any moment leaves all of what it does, or nothing of it.

`ROUNDS_KILLS=1000` kills as often; a few times otherwise.
"""

import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

import pytest

from rounds.store import LogbookFile
from rounds.store.backup import held
from rounds.store.migrations import VERSION
from tests.cli.conftest import Call
from tests.store.older_files import VERSIONS, rows_of, version_of, write_version

KILLS = int(os.environ.get("ROUNDS_KILLS", "8"))
ROWS = 400
SEED = 20260504
BRINGING_UP_SECONDS = 0.1
"""in which it ends on a machine that is not busy; on another, more of the kills come amid it"""

SLOW_KILLS = KILLS if KILLS > 8 else 3
"""of what takes longest: a migration, and making the demo"""


@pytest.fixture
def kill_at_random(logbook_file: Path) -> Callable[..., int]:
    """Run a command over and over, killed later and later; how often it was killed."""

    def run(*argv: str | Path, then: Callable[[], None], times: int = KILLS) -> int:
        chance, killed = random.Random(SEED), 0
        whole = _seconds_of(argv)
        then()
        for number in range(times):
            process = _started(argv)
            # most of a short command is starting up: its end is where it writes
            moment = whole * chance.uniform(0.3, 1.1) if number else 0.0
            with suppress(subprocess.TimeoutExpired):
                process.wait(moment)
            process.send_signal(signal.SIGKILL)
            process.communicate()
            killed += process.returncode == -signal.SIGKILL
            then()
        return killed

    return run


def _started(argv: tuple[str | Path, ...]) -> subprocess.Popen[bytes]:
    words = [sys.executable, "-m", "rounds", *(str(word) for word in argv)]
    return subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def _seconds_of(argv: tuple[str | Path, ...]) -> float:
    began = time.monotonic()
    process = _started(argv)
    process.communicate()
    assert process.returncode == 0
    return time.monotonic() - began


def looks(path: Path) -> int:
    with closing(sqlite3.connect(path)) as file:
        assert file.execute("PRAGMA quick_check").fetchone() == ("ok",)
        return int(file.execute("SELECT count(*) FROM look").fetchone()[0])


def test_a_file_being_read_is_in_the_logbook_whole_or_not_at_all(
    call: Call, logbook_file: Path, kill_at_random: Callable[..., int], tmp_path: Path
) -> None:
    call("place", "lamp room")
    call("add", "G02", "--name", "Thole", "--place", "lamp room", "--arrived", "2026-01-01")
    file, numbers = tmp_path / "looks.csv", iter(range(1, 10**6))

    def anew() -> None:
        """Rows that the logbook does not hold yet."""
        number = next(numbers)
        rows = [f"G02,axils,2026-02-01,{number}.{row:03}" for row in range(ROWS)]
        file.write_text("plant,zone,at,seconds\n" + "\n".join(rows) + "\n")

    anew()
    seen = {0}

    def check() -> None:
        seen.add(looks(logbook_file))
        anew()

    assert kill_at_random("import", file, then=check)
    assert all(count % ROWS == 0 for count in seen), seen


def test_a_copy_is_whole_or_has_no_name_and_the_logbook_stays(
    call: Call, logbook_file: Path, kill_at_random: Callable[..., int], tmp_path: Path
) -> None:
    call("place", "lamp room")
    call("add", "G02", "--name", "Thole", "--place", "lamp room")
    file = tmp_path / "looks.csv"
    file.write_text(
        "plant,zone,at,seconds\n" + "".join(f"G02,axils,2026-05-04,{n}\n" for n in range(3000))
    )
    assert call("import", file).status == 0
    held_before = looks(logbook_file)

    def check() -> None:
        for copy in (tmp_path / "stick").glob("*.db"):
            assert held(copy).plants == 1
        assert looks(logbook_file) == held_before

    assert kill_at_random("backup", tmp_path / "stick", then=check)


def test_what_is_put_back_is_there_whole_or_all_is_as_it_was(
    call: Call, logbook_file: Path, kill_at_random: Callable[..., int], tmp_path: Path
) -> None:
    call("place", "lamp room")
    call("add", "G02", "--name", "Thole", "--place", "lamp room", "--already-here")
    copy = json.loads(call("backup", tmp_path / "stick", "--json").out)["path"]
    call("look", "G02", "axils", "--seconds", "20")

    def check() -> None:
        assert looks(logbook_file) in (0, 1)
        assert call("rank", "--json").status == 0

    assert kill_at_random("restore", copy, then=check)


def test_a_file_of_an_older_version_is_brought_up_whole_or_stays_as_it_was(
    logbook_file: Path,
) -> None:
    chance, amid = random.Random(SEED), 0
    for _ in range(SLOW_KILLS):
        version = chance.choice(VERSIONS)
        write_version(logbook_file, version)
        rows, text = rows_of(logbook_file), dumped(logbook_file)
        wal = logbook_file.with_name(f"{logbook_file.name}-wal")
        process = _started(("check",))
        while not wal.exists() and process.poll() is None:
            os.sched_yield()
        # from here on it is being brought up
        with suppress(subprocess.TimeoutExpired):
            process.wait(chance.uniform(0.0, BRINGING_UP_SECONDS))
        process.send_signal(signal.SIGKILL)
        process.communicate()
        amid += process.returncode == -signal.SIGKILL
        assert version_of(logbook_file) in (version, VERSION)
        if version_of(logbook_file) == version:
            assert dumped(logbook_file) == text
        for table, before in rows.items():
            # a table may have got further columns, at its end
            after = rows_of(logbook_file)[table]
            assert [row[: len(old)] for row, old in zip(after, before, strict=True)] == before
        for file in logbook_file.parent.glob(f"{logbook_file.name}*"):
            file.unlink()
    assert amid


def dumped(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as file:
        return list(file.iterdump())


def test_a_demo_that_is_being_made_is_whole_or_holds_nothing(
    logbook_file: Path, kill_at_random: Callable[..., int], tmp_path: Path
) -> None:
    copy, seen = tmp_path / "demo" / "copy.db", set()

    def check() -> None:
        if copy.exists():
            assert {made.stat().st_mode & 0o077 for made in (copy, copy.parent)} == {0}
            with closing(LogbookFile(copy)) as file:
                (plants,) = file.connection.execute("SELECT count(*) FROM plant").fetchone()
            seen.add((plants, looks(copy)))
            for left in copy.parent.iterdir():
                left.unlink()

    assert kill_at_random("demo", "--at-path", copy, "--json", then=check, times=SLOW_KILLS)
    assert len(seen - {(0, 0)}) <= 1, seen
