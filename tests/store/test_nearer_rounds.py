"""Looks that keep their round as the distance to it, and files from before they did."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from rounds.core.log.entries import Look
from rounds.core.walks import Round
from rounds.store import LogbookFile, log, plants, walks
from rounds.store.desk import setting
from rounds.store.ids import LEAST_ID, entry_id, kept_back
from rounds.store.migrations import VERSION
from tests.store.older_files import LOOKS, NEW_LOOK, Rows, rows_of, version_of, write_version_4

DAY = date(2026, 5, 4)
OURS, OTHERS = 644894, 77
COPIES = 200


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


def brought_up(path: Path) -> Rows:
    """Its rows once it was opened, but for tables that later versions added."""
    added = {"value_change", "course", "course_step", "course_mark"}
    LogbookFile(path).close()
    return {table: rows for table, rows in rows_of(path).items() if table not in added}


def opened_by(program: str, path: Path, *words: object) -> subprocess.CompletedProcess[str]:
    """A program of its own that opens the file, with some lines before it does."""
    whole = (
        "import os, pathlib, resource, signal, sqlite3, sys\n"
        f"{program}\n"
        "from rounds.cli.main import main\n"
        "sys.exit(main(['rank', '--json', '--db', sys.argv[1]]))\n"
    )
    command = [sys.executable, "-c", whole, str(path), *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def test_a_file_of_version_4_holds_the_same_rows_afterwards(path: Path) -> None:
    before = rows_of(write_version_4(path))
    after = brought_up(path)
    assert version_of(path) == VERSION
    assert after == before
    # looks of another origin's round, and one a million entries after its round
    origins = {(look[2] & 0xFFFFF, look[4] & 0xFFFFF) for look in after["look"]}
    assert origins == {(OURS, OURS), (OTHERS, OTHERS), (OURS, OTHERS)}
    assert max(kept_back(look[2], look[4]) for look in after["look"]) > LEAST_ID


def test_the_units_of_version_4_are_those_of_temperatures_now(path: Path) -> None:
    with closing(sqlite3.connect(write_version_4(path))) as raw, raw:
        raw.execute("INSERT INTO setting VALUES ('units', 'us')")
    with closing(LogbookFile(path)) as file:
        assert setting(file, "degrees") == "degF"
        assert setting(file, "units") is None


def test_a_file_of_version_4_needs_no_room_beside_its_own(path: Path) -> None:
    write_version_4(path, copies=COPIES)
    before = path.stat().st_size
    LogbookFile(path).close()
    assert path.stat().st_size < before * 1.1
    with closing(sqlite3.connect(path)) as raw:
        (unused,) = raw.execute("PRAGMA freelist_count").fetchone()
        (page,) = raw.execute("PRAGMA page_size").fetchone()
    assert path.stat().st_size - unused * page < before * 0.95


STOPPED_AT_A_TICK = """
ticks = 0
def tick():
    global ticks
    ticks += 1
    if ticks == int(sys.argv[2]):
        print(os.path.getsize(sys.argv[1] + '-wal'), flush=True)
        os.kill(os.getpid(), signal.SIGKILL)
def slowly(*words, connect=sqlite3.connect, **more):
    connection = connect(*words, **more)
    connection.execute('PRAGMA cache_size = 20')
    connection.set_progress_handler(tick, 5_000)
    return connection
sqlite3.connect = slowly
from rounds.store import LogbookFile
LogbookFile(pathlib.Path(sys.argv[1])).close()
print(ticks)
sys.exit(0)
"""


def whole_of(path: Path) -> Path:
    return Path(shutil.copy(path, path.with_name("undisturbed.db")))


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="nothing else kills without a word")
def test_killed_in_the_middle_the_file_is_as_it_was(path: Path) -> None:
    before = rows_of(write_version_4(path, copies=COPIES))
    ticks = int(opened_by(STOPPED_AT_A_TICK, whole_of(path), 0).stdout)
    written = []
    for tick in (ticks // 5, ticks // 2, ticks * 4 // 5, ticks - 1):
        done = opened_by(STOPPED_AT_A_TICK, path, tick)
        assert done.returncode == -signal.SIGKILL, done
        written.append(int(done.stdout))
        assert version_of(path) == 4
        assert rows_of(path) == before
    # it was far into the looks, with pages of them on the disk
    assert written[-1] > path.stat().st_size / 2
    assert brought_up(path) == before
    assert version_of(path) == VERSION


NO_ROOM = """
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), resource.RLIM_INFINITY))
"""


@pytest.mark.skipif(os.name != "posix", reason="the limit of a file's size is of POSIX")
def test_a_disk_that_takes_no_more_leaves_the_file_as_it_was(path: Path) -> None:
    before = write_version_4(path, copies=COPIES).stat().st_size
    whole = rows_of(path)
    done = opened_by(NO_ROOM, path, before // 2)
    assert done.returncode == 4, done
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr
    assert path.stat().st_size == before
    assert (version_of(path), rows_of(path)) == (4, whole)
    assert [other.name for other in path.parent.iterdir()] == [path.name]
    assert brought_up(path) == whole


def test_a_file_that_may_not_grow_is_called_full_and_is_as_it_was(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from rounds.errors import LogbookUnusable

    before = rows_of(write_version_4(path))
    plain = sqlite3.connect

    def limited(*words: object, **more: object) -> sqlite3.Connection:
        connection: sqlite3.Connection = plain(*words, **more)  # type: ignore[call-overload]
        connection.execute("PRAGMA max_page_count = 1")  # no more than there are
        return connection

    with monkeypatch.context() as patched:
        patched.setattr(sqlite3, "connect", limited)
        with pytest.raises(LogbookUnusable) as refused:
            LogbookFile(path)
    assert (refused.value.code, refused.value.exit_status) == ("logbook-full", 4)
    assert (version_of(path), rows_of(path)) == (4, before)


def of_version_4(look_id: int, round_id: int) -> tuple[int | None, ...]:
    return (DAY.toordinal(), 1, look_id, 2, round_id, 1777881600, 9000, 0, None, 0)


def test_a_program_of_version_4_that_is_still_open_writes_what_is_read_right(path: Path) -> None:
    write_version_4(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as older:
        older.execute("PRAGMA foreign_keys = ON")
        (round_id,) = older.execute("SELECT max(id) FROM round").fetchone()
        LogbookFile(path).close()
        written = of_version_4(look_id := round_id + 3 * LEAST_ID, round_id)
        older.execute(NEW_LOOK, written)
        assert written in older.execute(LOOKS).fetchall()
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
            older.execute(NEW_LOOK, of_version_4(look_id + LEAST_ID, round_id + LEAST_ID))
    with closing(LogbookFile(path)) as file:
        (look,) = log.entries_of(file, 1, DAY, DAY).looks
    assert (look.id, look.round_id) == (look_id, round_id)


FAR = 5 * LEAST_ID


@pytest.mark.parametrize(
    ("walk", "bytes_kept"),
    [
        (entry_id(FAR - 1, OURS), 1),
        (entry_id(FAR - 127, OURS), 1),
        (entry_id(FAR - 128, OURS), 2),
        (entry_id(FAR - LEAST_ID + 1, OURS), 3),
        (entry_id(FAR - LEAST_ID, OURS), 6),
        (entry_id(1, OURS), 3),
        (entry_id(FAR - 1, OTHERS), 6),
        (entry_id(FAR, OTHERS), 6),
        (entry_id(FAR + 1, OURS), 6),
        (entry_id(FAR + 1, OTHERS), 6),
        (entry_id(1, 1), 3),
    ],
)
def test_a_look_finds_its_round_wherever_that_is(path: Path, walk: int, bytes_kept: int) -> None:
    with closing(LogbookFile(path)) as file:
        with file.writing():
            plant = plants.insert_plant(file, "G02", DAY)
            walks.append_round(file, Round(walk, DAY, None, 0, None, 10.0, "walked"))
            look = Look(entry_id(FAR, OURS), DAY, plant, "axils", walk, 0, 9.0, "looked")
            log.append_look(file, look)
        assert log.entries_of(file, plant, DAY, DAY).looks == (look,)
        (kept,) = file.connection.execute("SELECT round_back FROM look").fetchone()
    # an integer takes 1, 2, 3, 4 or 6 bytes, signed
    assert next(size for size in (1, 2, 3, 4, 6) if kept < 1 << 8 * size - 1) == bytes_kept


def test_a_look_of_no_round_is_not_kept(path: Path) -> None:
    with closing(LogbookFile(path)) as file, file.writing():
        plant = plants.insert_plant(file, "G02", DAY)
        look = Look(entry_id(9, OURS), DAY, plant, "axils", entry_id(8, OURS), 0, 9.0, "looked")
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
            log.append_look(file, look)
