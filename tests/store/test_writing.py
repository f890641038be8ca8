"""One transaction at a time, from any number of connections."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from rounds.core.collection import Plant
from rounds.errors import BadInput, LogbookUnusable
from rounds.service.collection.plants import PlantDetails, add_plant
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.store import LogbookFile, connect, desk, plants


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


@pytest.fixture
def file(path: Path) -> Iterator[LogbookFile]:
    with closing(LogbookFile(path)) as opened:
        yield opened


def test_two_connections_in_turn_get_distinct_ascending_ids(path: Path, file: LogbookFile) -> None:
    with closing(LogbookFile(path)) as other:
        given = []
        for turn in range(40):
            writer = file if turn % 3 else other
            with writer.writing():
                given += [writer.next_id(), writer.next_id()]
        assert given == sorted(set(given))
        assert file.last_number() == other.last_number() == len(given)


def test_a_connection_sees_that_another_has_written(path: Path, file: LogbookFile) -> None:
    before = file.changes_by_others()
    desk.put_setting(file, "minutes", "12")
    assert file.changes_by_others() == before
    with closing(LogbookFile(path)) as other:
        desk.put_setting(other, "minutes", "15")
    assert file.changes_by_others() != before
    assert desk.setting(file, "minutes") == "15"


def test_nothing_of_a_failed_transaction_is_kept(file: LogbookFile) -> None:
    def fails() -> None:
        with file.writing():
            desk.put_setting(file, "minutes", "12")
            with file.writing():
                file.next_id()
            raise RuntimeError("the lamp went out")

    with pytest.raises(RuntimeError, match="lamp"):
        fails()
    assert desk.setting(file, "minutes") is None
    assert file.last_number() == 0
    assert not file.connection.in_transaction


def test_a_transaction_inside_another_joins_it(path: Path, file: LogbookFile) -> None:
    with closing(LogbookFile(path)) as other:
        with file.writing():
            with file.writing():
                desk.put_setting(file, "minutes", "12")
            assert desk.setting(other, "minutes") is None
        assert desk.setting(other, "minutes") == "12"


def test_a_writer_that_waits_in_vain_says_the_logbook_is_locked(
    path: Path, file: LogbookFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connect, "WAIT_SECONDS", 0.05)
    with closing(LogbookFile(path)) as hasty, file.writing():
        with pytest.raises(LogbookUnusable) as raised, hasty.writing():
            pytest.fail("two writers at once")
        assert raised.value.code == "logbook-locked"
        assert raised.value.exit_status == 4
        # what was committed can be read meanwhile
        assert hasty.last_number() == 0
    # and it can write as soon as the other is done
    with closing(LogbookFile(path)) as later, later.writing():
        assert later.next_id() > 0


def test_a_new_file_locked_by_another_program_is_not_opened_half_made(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connect, "WAIT_SECONDS", 0.05)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode = WAL")
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(LogbookUnusable) as raised:
            LogbookFile(path)
        other.execute("ROLLBACK")
    assert raised.value.code == "logbook-locked"
    with closing(LogbookFile(path)) as opened:
        assert opened.last_number() == 0


def test_a_damaged_page_is_said_in_a_sentence(path: Path, file: LogbookFile) -> None:
    with file.writing() as connection:
        connection.executemany(
            "INSERT INTO entry_note VALUES (?, ?)", [(n, "fog " * 200) for n in range(400)]
        )
    file.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    file.close()
    content = bytearray(path.read_bytes())
    middle = len(content) // 2
    content[middle : middle + 8192] = b"\xff" * 8192
    path.write_bytes(bytes(content))
    with closing(LogbookFile(path)) as damaged:
        with pytest.raises(LogbookUnusable) as raised, damaged.reading() as connection:
            connection.execute("SELECT sum(length(text)) FROM entry_note").fetchall()
        assert raised.value.code == "logbook-damaged"


def test_a_fault_of_our_own_sql_is_not_blamed_on_the_file(file: LogbookFile) -> None:
    with pytest.raises(sqlite3.OperationalError, match="no such table"), file.reading() as reader:
        reader.execute("SELECT * FROM tide")


# What the service keeps in memory follows what is in the file.


def test_a_plant_that_failed_leaves_no_trace_and_the_next_one_is_itself(
    logbook: Logbook, add: Callable[..., Plant]
) -> None:
    add("G02")
    with pytest.raises(BadInput) as raised:
        add("S03", "Pintle", touches=("G99",))
    assert raised.value.code == "unknown-plant"
    assert [p.code for p in logbook.collection().plants.values()] == ["G02"]
    after = add("G07", "Lanyard", arrived=None, already_here=False)
    assert after.code == "G07"
    assert [p.code for p in logbook.collection().plants.values()] == ["G02", "G07"]
    assert [p.code for p in plants.all_plants(logbook.file).values()] == ["G02", "G07"]
    assert after == plants.plant_of(logbook.file, after.id)


def test_what_was_read_within_a_failed_transaction_is_read_again(
    logbook: Logbook, add: Callable[..., Plant]
) -> None:
    def fails() -> None:
        with logbook.file.writing():
            add("G02")
            assert logbook.collection().plant("G02") is not None
            raise RuntimeError("the lamp went out")

    with pytest.raises(RuntimeError, match="lamp"):
        fails()
    assert logbook.collection().plant("G02") is None
    # the same numbers are given again, to another plant
    add("S03", "Pintle")
    assert [p.code for p in logbook.collection().plants.values()] == ["S03"]


def test_a_plant_entered_through_another_connection_is_seen(
    logbook: Logbook, add: Callable[..., Plant]
) -> None:
    add("G02")
    assert logbook.collection().plant("G11") is None
    with Logbook(logbook.file.path, logbook.clock) as other:
        details = PlantDetails(name="Bollard", place="porch shelf", already_here=True)
        add_plant(other, now(other.clock), "G11", details)
    found = logbook.collection().plant("g11")
    assert found is not None
    assert found.fact("name", logbook.clock.today()) == "Bollard"
