"""Faults of the file in the middle of things."""

import sqlite3
from pathlib import Path

import pytest

from rounds.errors import LogbookUnusable
from rounds.store import LogbookFile, desk


def put_many(file: LogbookFile) -> None:
    with file.writing():
        for number in range(10_000):
            desk.put_setting(file, f"setting {number}", "x" * 1000)


def test_a_full_disk_in_a_transaction_is_said_and_nothing_of_it_stays(tmp_path: Path) -> None:
    file = LogbookFile(tmp_path / "small.db")
    pages = file.connection.execute("PRAGMA page_count").fetchone()[0]
    file.connection.execute(f"PRAGMA max_page_count = {pages + 2}")
    with pytest.raises(LogbookUnusable) as refused:
        put_many(file)
    assert refused.value.code == "logbook-full"
    assert refused.value.exit_status == 4
    assert not file.connection.in_transaction
    assert desk.setting(file, "setting 0") is None
    desk.put_setting(file, "minutes", "9")
    assert desk.setting(file, "minutes") == "9"
    file.close()


def test_a_foreign_database_of_the_same_version_number_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE thing (id INTEGER)")
        other.execute("PRAGMA user_version = 1")
    other.close()
    before = path.read_bytes()
    with pytest.raises(LogbookUnusable) as refused:
        LogbookFile(path)
    assert refused.value.code == "logbook-foreign"
    assert path.read_bytes() == before


@pytest.mark.parametrize("how", ["removed", "replaced", "moved with its folder"])
def test_a_file_taken_away_while_it_is_open_takes_no_entry_that_nobody_would_see(
    tmp_path: Path, how: str
) -> None:
    path = tmp_path / "home" / "logbook.db"
    file = LogbookFile(path)
    desk.put_setting(file, "minutes", "9")
    if how == "removed":
        path.unlink()
    elif how == "replaced":
        LogbookFile(tmp_path / "other.db").close()
        (tmp_path / "other.db").replace(path)
    else:
        path.parent.rename(tmp_path / "elsewhere")
    with pytest.raises(LogbookUnusable) as refused:
        desk.put_setting(file, "minutes", "10")
    assert refused.value.code == "logbook-taken-away"
    assert not file.connection.in_transaction
    file.close()


def test_a_file_put_back_takes_entries_again(tmp_path: Path) -> None:
    path = tmp_path / "logbook.db"
    file = LogbookFile(path)
    path.rename(tmp_path / "aside.db")
    with pytest.raises(LogbookUnusable):
        desk.put_setting(file, "minutes", "10")
    (tmp_path / "aside.db").rename(path)
    desk.put_setting(file, "minutes", "11")
    assert desk.setting(file, "minutes") == "11"
    file.close()
