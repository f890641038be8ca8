"""backup, restore and check from the command line, and the copy before the first entry of a day."""

from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Call


@pytest.fixture
def placed(call: Call) -> Call:
    """A logbook with one place."""
    assert call("place", "lamp room").status == 0
    return call


def files(folder: Path) -> list[str]:
    return sorted(file.name for file in folder.glob("*"))


def test_the_first_entry_of_a_day_is_preceded_by_a_copy(placed: Call, logbook_file: Path) -> None:
    folder = logbook_file.parent / "backups"
    # there was nothing to copy yet
    assert files(folder) == []
    placed("add", "G02", "--name", "Thole", "--place", "lamp room")
    placed("add", "G05", "--name", "Cuddy", "--place", "lamp room")
    assert files(folder) == ["logbook-2026-05-04.db"]
    (copy,) = placed("restore", "--json").found["copies"]
    assert (copy["plants"], copy["readable"]) == (0, True)


def test_reading_makes_no_copy(placed: Call, logbook_file: Path) -> None:
    placed("rank")
    placed("today")
    assert files(logbook_file.parent / "backups") == []


def test_an_entry_is_made_all_the_same_where_no_copy_can_be_written(
    placed: Call, logbook_file: Path
) -> None:
    (logbook_file.parent / "backups").write_text("no folder")
    done = placed("add", "G02", "--name", "Thole", "--place", "lamp room", "--json")
    assert done.status == 0
    assert "could not be written" in done.err
    assert placed("rank", "--json").found["plants"][0]["code"] == "G02"


def test_a_copy_is_put_back_and_what_was_there_kept(placed: Call, tmp_path: Path) -> None:
    made = placed("backup", tmp_path / "stick", "--json").found
    assert Path(made["path"]).stat().st_size == made["bytes"]
    placed("add", "G02", "--name", "Thole", "--place", "lamp room")
    done = placed("restore", made["path"], "--json").found
    assert done["restored_from"] == made["path"]
    assert placed("rank", "--json").found["plants"] == []
    placed("restore", done["kept_aside"])
    assert [p["code"] for p in placed("rank", "--json").found["plants"]] == ["G02"]


def test_copies_are_listed_with_what_they_hold_and_damaged_ones_said_to_be(
    placed: Call, logbook_file: Path
) -> None:
    placed("add", "G02", "--name", "Thole", "--place", "lamp room")
    placed("look", "G02", "axils", "--seconds", "20")
    placed("backup")
    (logbook_file.parent / "backups" / "logbook-2026-05-01.db").write_bytes(b"torn" * 999)
    said = placed("restore").out
    assert "plants: 1" in said
    assert "last look 4 May" in said
    assert "cannot be read" in said


def test_a_sound_logbook_is_said_to_be_and_a_damaged_one_ends_with_4(
    placed: Call, logbook_file: Path
) -> None:
    placed("backup")
    found: Any = placed("check", "--full", "--json").found
    assert (found["ok"], found["findings"], found["newest_backup_on"]) == (True, [], "2026-05-04")
    assert "agrees with its log" in placed("check", "--full").out
    size = logbook_file.stat().st_size
    with logbook_file.open("r+b") as file:
        file.seek(size // 2)
        file.write(b"\xff" * (size // 4))
    for name in ("-wal", "-shm"):
        logbook_file.with_name(logbook_file.name + name).unlink(missing_ok=True)
    torn = placed("check", "--json")
    assert torn.status == 4
    assert torn.found["error"]["what_to_do"]
    copy = placed("restore", "--json").found["copies"][0]["path"]
    assert placed("restore", copy).status == 0
    assert placed("check").status == 0


def test_there_is_no_copy_of_that_name(placed: Call) -> None:
    refused = placed("restore", "nothing.db", "--json")
    assert refused.status == 2
    assert refused.found["error"]["places"][0]["argument"] == "FILE"
