"""The logbook file: how it is made, who may read it, and what is refused."""

import os
import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from rounds.errors import LogbookUnusable
from rounds.store import LogbookFile
from rounds.store.ids import ORIGIN_BITS
from rounds.store.migrations import VERSION


def pragma(file: LogbookFile, name: str) -> object:
    return file.connection.execute(f"PRAGMA {name}").fetchone()[0]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "below" / "logbook.db"


def refusal(path: Path) -> LogbookUnusable:
    with pytest.raises(LogbookUnusable) as raised:
        LogbookFile(path)
    assert raised.value.exit_status == 4
    assert str(raised.value)
    return raised.value


@pytest.mark.usefixtures("waiting_for_the_disk")
def test_a_new_file_is_strict_durable_and_the_owners_alone(path: Path) -> None:
    file = LogbookFile(path)
    assert pragma(file, "journal_mode") == "wal"
    assert pragma(file, "synchronous") == 2  # FULL
    assert pragma(file, "foreign_keys") == 1
    assert pragma(file, "user_version") == VERSION
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    file.close()


def test_all_our_tables_are_strict(path: Path) -> None:
    file = LogbookFile(path)
    rows = file.connection.execute("SELECT name, strict FROM pragma_table_list").fetchall()
    file.close()
    ours = {name: strict for name, strict in rows if not name.startswith(("sqlite_", "_sqlite"))}
    assert set(ours) >= {"look", "tally", "withdrawal", "open_look", "round", "round_step", "plant"}
    assert {name for name, strict in ours.items() if not strict} == set()


def test_a_value_of_the_wrong_type_is_not_kept(path: Path) -> None:
    file = LogbookFile(path)
    with pytest.raises(sqlite3.IntegrityError, match="cannot store TEXT"):
        file.connection.execute("INSERT INTO plant VALUES (1, 'G02', 'g02', 'monday')")
    file.close()


def test_what_belongs_to_nothing_is_not_kept(path: Path) -> None:
    file = LogbookFile(path)
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"), file.writing() as connection:
        connection.execute("INSERT INTO move VALUES (1, 99, 1, 1, 99, NULL)")
    assert file.connection.execute("SELECT count(*) FROM move").fetchone()[0] == 0
    file.close()


def test_opened_again_it_is_the_same_file(path: Path) -> None:
    first = LogbookFile(path)
    with first.writing():
        given = [first.next_id() for _ in range(3)]
    first.close()
    again = LogbookFile(path)
    with again.writing():
        later = again.next_id()
    assert later > max(given)
    assert later & ((1 << ORIGIN_BITS) - 1) == given[0] & ((1 << ORIGIN_BITS) - 1)
    again.close()


def test_a_file_of_a_newer_version_is_left_alone(path: Path) -> None:
    LogbookFile(path).close()
    newer = sqlite3.connect(path)
    newer.execute(f"PRAGMA user_version = {VERSION + 1}")
    newer.close()
    before = path.read_bytes()
    fault = refusal(path)
    assert fault.code == "logbook-newer"
    assert str(VERSION + 1) in fault.message
    assert path.read_bytes() == before


def test_a_database_of_something_else_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "tides.db"
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE tide (day TEXT, height REAL)")
    other.execute("INSERT INTO tide VALUES ('2026-05-04', 3.1)")
    other.commit()
    other.close()
    before = path.read_bytes()
    assert refusal(path).code == "logbook-foreign"
    assert path.read_bytes() == before
    other = sqlite3.connect(path)
    assert other.execute("SELECT height FROM tide").fetchall() == [(3.1,)]
    assert other.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0] == 1
    assert other.execute("PRAGMA user_version").fetchone()[0] == 0
    other.close()


def test_a_file_that_is_no_database_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    text = "wind south-west, lamp trimmed\n" * 200
    path.write_text(text)
    fault = refusal(path)
    assert fault.code == "logbook-damaged"
    assert str(path) in fault.message
    assert path.read_text() == text


def test_a_folder_in_its_place_is_named(tmp_path: Path) -> None:
    assert refusal(tmp_path).code == "logbook-unreachable"


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere"
)
def test_a_folder_that_may_not_be_written_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "lamp-room"
    folder.mkdir()
    folder.chmod(0o500)
    try:
        assert refusal(folder / "logbook.db").code in {"logbook-unreachable", "logbook-read-only"}
    finally:
        folder.chmod(0o700)


@pytest.mark.parametrize("attempt", range(3))
def test_programs_that_start_at_once_make_one_file(path: Path, attempt: int) -> None:
    program = (
        "import pathlib, sys\n"
        "from rounds.store import LogbookFile\n"
        "print('ready', flush=True); sys.stdin.readline()\n"
        "file = LogbookFile(pathlib.Path(sys.argv[1]))\n"
        "with file.writing(): print(file.next_id())\n"
        "file.close()\n"
    )
    started = [
        subprocess.Popen(
            [sys.executable, "-c", program, str(path)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for _ in range(3)
    ]  # fmt: skip
    for process in started:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
    for process in started:
        assert process.stdin is not None
        process.stdin.write("\n")
        process.stdin.flush()
    said = [process.communicate() for process in started]
    assert [process.returncode for process in started] == [0, 0, 0], said
    ids = {int(out) for out, _ in said}
    assert len(ids) == 3
    assert len({entry & ((1 << ORIGIN_BITS) - 1) for entry in ids}) == 1
    file = LogbookFile(path)
    assert file.last_number() == 3
    file.close()
