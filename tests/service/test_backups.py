"""Nothing is lost: copies of the logbook are whole, stay as long as promised, and go back."""

import os
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.errors import BadInput, LogbookUnusable, Refused
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import records
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plan.today import plan_day
from rounds.service.round import begin
from rounds.service.safety import backups
from rounds.service.safety.check import check
from rounds.service.safety.restore import copies, restore
from rounds.service.safety.worth_keeping import worth_keeping
from rounds.store import derived
from rounds.store.backup import Interrupted, copy_file, held
from rounds.store.sealed import sealed, unsealed

TODAY = date(2026, 5, 4)


@pytest.fixture
def clock() -> SetClock:
    return SetClock(datetime(2026, 5, 4, 9, 30, tzinfo=UTC))


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """A logbook with a place and two plants, one of them looked at."""
    file = tmp_path / "home" / "logbook.db"
    with Logbook(file, clock) as logbook:
        moment = now(clock)
        put_place(logbook, moment, "lamp room", PlaceDetails())
        for code in ("G02", "G05"):
            details = PlantDetails(name=code, place="lamp room", already_here=True)
            add_plant(logbook, moment, code, details)
        enter_look(logbook, moment, "G02", LookEntered(("axils",), 20.0, {"removed": 2}))
    return file


def days_before(today: date, count: int) -> Iterator[date]:
    return (today - timedelta(days) for days in range(count))


def rows(path: Path, table: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as file:
        return file.execute(f"SELECT * FROM {table} ORDER BY 1, 2").fetchall()


def daily(path: Path, clock: SetClock) -> None:
    with Logbook(path, clock) as logbook:
        copying = backups.due(logbook)
        assert copying is not None
        copying.make()


def test_seven_days_four_weeks_and_twelve_months_stay() -> None:
    stay: frozenset[date] = frozenset()
    for day in reversed(list(days_before(TODAY, 800))):
        stay = worth_keeping({*stay, day})
    newest = sorted(stay, reverse=True)
    assert newest[:7] == list(days_before(TODAY, 7))
    # Sundays before the week that runs, and last days of months: what each of them ended as
    assert {date(2026, 5, 3), date(2026, 4, 26), date(2026, 4, 19)} <= stay
    assert {date(2026, 3, 31), date(2025, 12, 31), date(2025, 6, 30)} <= stay
    assert len({(day.year, day.month) for day in stay}) == 12
    assert len(stay) <= 7 + 4 + 12


def test_what_stays_when_nobody_opened_it_for_months_is_no_less() -> None:
    days = [date(2026, 5, 4), date(2025, 11, 2), date(2025, 11, 1), date(2023, 1, 1)]
    assert worth_keeping(days) == frozenset(days)


def test_the_copy_of_a_day_is_made_once_for_its_owner_alone_and_holds_all(
    path: Path, clock: SetClock
) -> None:
    before = os.umask(0)
    try:
        daily(path, clock)
    finally:
        os.umask(before)
    with Logbook(path, clock) as logbook:
        assert backups.due(logbook) is None
        assert backups.newest_on(logbook) == TODAY
        (copy,) = backups.copies_of(path, backups.folder_of(logbook))
    assert [file.name for file in copy.path.parent.iterdir()] == ["logbook-2026-05-04.db"]
    assert stat.S_IMODE(copy.path.stat().st_mode) == 0o600
    assert stat.S_IMODE(copy.path.parent.stat().st_mode) == 0o700
    for table in ("look", "tally", "plant", "plant_fact", "place", "setting", "origin"):
        assert rows(copy.path, table) == rows(path, table)
    clock.instant += timedelta(1)
    daily(path, clock)


def test_an_empty_logbook_and_one_that_wants_none_are_not_copied(
    tmp_path: Path, path: Path, clock: SetClock
) -> None:
    with Logbook(tmp_path / "empty.db", clock) as logbook:
        assert backups.due(logbook) is None
    with Logbook(path, clock) as logbook:
        logbook.put_setting("backups", "off")
        assert backups.due(logbook) is None


def test_old_copies_of_days_go_and_those_asked_for_stay(path: Path, clock: SetClock) -> None:
    with Logbook(path, clock) as logbook:
        asked = backups.asked_for(logbook, None).make()
        again = backups.asked_for(logbook, None).make()
    assert asked.path != again.path
    for _ in range(20):
        daily(path, clock)
        clock.instant += timedelta(1)
    with Logbook(path, clock) as logbook:
        found = backups.copies_of(path, backups.folder_of(logbook))
    days = {copy.day for copy in found if copy.is_daily}
    assert days == worth_keeping(TODAY + timedelta(n) for n in range(20))
    assert {copy.path for copy in found if not copy.is_daily} == {asked.path, again.path}


def test_a_copy_that_is_stopped_or_cannot_be_written_leaves_nothing(
    path: Path, tmp_path: Path
) -> None:
    with pytest.raises(Interrupted):
        copy_file(path, tmp_path / "b" / "copy.db", lambda: False)
    assert list((tmp_path / "b").iterdir()) == []
    (tmp_path / "file").write_text("no folder")
    with pytest.raises(LogbookUnusable) as fault:
        copy_file(path, tmp_path / "file" / "copy.db")
    assert fault.value.code == "backup-failed"


def test_what_a_killed_copying_left_goes_with_the_next_copy_of_another_day(
    path: Path, clock: SetClock
) -> None:
    folder = path.parent / "backups"
    folder.mkdir()
    left, fresh = (
        folder / f"logbook-{day}.db.1.unfinished" for day in ("2026-05-01", "2026-05-04")
    )
    for file in (left, fresh):
        file.write_bytes(b"half")
    daily(path, clock)
    assert not left.exists()
    # another program may be at it
    assert fresh.exists()


def test_a_copy_is_of_one_moment_while_others_write(path: Path, clock: SetClock) -> None:
    with Logbook(path, clock) as other:
        entries = other.file.last_number()

        def writes() -> bool:
            enter_look(other, now(clock), "G05", LookEntered(("axils",), 20.0))
            return True

        found = copy_file(path, path.parent / "copy.db", writes)
        assert other.file.last_number() > entries
    assert found.entries == entries


def test_a_folder_that_cannot_be_written_is_refused_and_the_one_before_stays(
    path: Path, tmp_path: Path, clock: SetClock
) -> None:
    (tmp_path / "file").write_text("no folder")
    with Logbook(path, clock) as logbook:
        with pytest.raises(LogbookUnusable):
            backups.set_folder(logbook, str(tmp_path / "file" / "in it"))
        assert backups.folder_of(logbook) == path.parent / "backups"
        backups.set_folder(logbook, str(tmp_path / "elsewhere"))
        assert backups.folder_of(logbook) == tmp_path / "elsewhere"
    assert len(list((tmp_path / "elsewhere").iterdir())) == 1


def test_what_is_put_back_is_the_copy_and_what_was_there_lies_aside(
    path: Path, clock: SetClock
) -> None:
    daily(path, clock)
    looked = rows(path, "look")
    clock.instant += timedelta(1)
    with Logbook(path, clock) as open_elsewhere:
        enter_look(open_elsewhere, now(clock), "G05", LookEntered(("axils",), 30.0))
        later = rows(path, "look")
        done = restore(path, copies(path, clock)[0].path, clock)
        assert rows(path, "look") == looked
        assert done.aside is not None
        assert rows(done.aside, "look") == later
        # whoever has it open goes on with what was put back
        enter_look(open_elsewhere, now(clock), "G05", LookEntered(("axils",), 31.0))
    # the number is given again, and stands for another entry
    (lost,) = {row[2] for row in later} - {row[2] for row in looked}
    (new,) = {row[2] for row in rows(path, "look")} - {row[2] for row in looked}
    assert new != lost
    with closing(sqlite3.connect(path)) as file:
        assert file.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_a_logbook_beyond_reading_or_gone_is_replaced_and_its_bytes_kept(
    path: Path, clock: SetClock
) -> None:
    daily(path, clock)
    looked = rows(path, "look")
    path.write_bytes(b"no database at all" * 500)
    done = restore(path, copies(path, clock)[0].path, clock)
    assert done.aside is not None
    assert done.aside.read_bytes() == b"no database at all" * 500
    assert rows(path, "look") == looked
    path.unlink()
    assert restore(path, copies(path, clock)[0].path, clock).aside is None
    assert rows(path, "look") == looked


def test_nothing_is_touched_where_it_cannot_be_put_back(path: Path, clock: SetClock) -> None:
    daily(path, clock)
    (copy,) = copies(path, clock)
    with Logbook(path, clock) as logbook:
        begin(logbook, plan_day(logbook, TODAY))
        before = rows(path, "look")
        with pytest.raises(Refused) as refused:
            restore(path, copy.path, clock)
    assert refused.value.code == "restore-in-round"
    with pytest.raises(BadInput):
        restore(path, path.parent / "nothing.db", clock)
    with pytest.raises(BadInput):
        restore(path, path, clock)
    damaged = path.parent / "damaged.db"
    damaged.write_bytes(copy.path.read_bytes()[: copy.path.stat().st_size // 2])
    with pytest.raises(LogbookUnusable) as fault:
        restore(path, damaged, clock)
    assert fault.value.code == "backup-unreadable"
    assert rows(path, "look") == before
    assert not list(path.parent.glob("*before-restoring*"))


def test_a_copy_of_a_newer_version_is_refused_by_its_number(path: Path, clock: SetClock) -> None:
    daily(path, clock)
    (copy,) = copies(path, clock)
    with closing(sqlite3.connect(copy.path)) as file:
        file.execute("PRAGMA user_version = 99")
    with pytest.raises(LogbookUnusable) as fault:
        held(copy.path)
    assert fault.value.code == "logbook-newer"


def test_a_check_finds_nothing_where_nothing_is_wrong(path: Path, clock: SetClock) -> None:
    daily(path, clock)
    with Logbook(path, clock) as logbook:
        found = check(logbook, full=True)
    assert found.findings == ()
    assert found.newest_backup_on == TODAY


def test_a_check_tells_of_copies_too_old_or_none(path: Path, clock: SetClock) -> None:
    with Logbook(path, clock) as logbook:
        assert [of.code for of in check(logbook).findings] == ["no-backup"]
    daily(path, clock)
    clock.instant += timedelta(8)
    with Logbook(path, clock) as logbook:
        found = check(logbook)
    assert [of.code for of in found.findings] == ["backup-old"]
    assert not found.is_damaged


def test_a_check_finds_rows_that_name_nothing(path: Path, clock: SetClock) -> None:
    daily(path, clock)
    with closing(sqlite3.connect(path)) as file:
        file.execute("DELETE FROM place")
        file.commit()
    with Logbook(path, clock) as logbook:
        found = check(logbook)
    assert found.is_damaged
    assert {of.code for of in found.findings} == {"lost-references"}


def with_another_chance(kept: str) -> str:
    """A result as it is kept, with another chance clean, under a seal that holds."""
    result = unsealed(kept.encode())
    assert result is not None
    return sealed(result.replace('"chance_clean": 0.', '"chance_clean": 0.5'))


def test_a_check_drops_what_was_kept_and_is_not_what_the_log_says(
    path: Path, clock: SetClock
) -> None:
    daily(path, clock)
    with Logbook(path, clock) as logbook:
        said = [record.likely.chance_clean for record in records(logbook, TODAY)]
        with logbook.file.writing() as file:
            # sealed again, as a fault of the program would leave it: no disk has changed it
            file.create_function("resealed", 1, with_another_chance)
            changed = file.execute(
                "UPDATE derived SET result = resealed(result) "
                """WHERE instr(result, '"chance_clean": 0.')"""
            )
            assert changed.rowcount
    with Logbook(path, clock) as logbook:
        found = check(logbook, full=True)
        assert [of.code for of in found.findings] == ["kept-differs"]
        assert not found.is_damaged
    with Logbook(path, clock) as logbook:
        assert [record.likely.chance_clean for record in records(logbook, TODAY)] == said
        assert check(logbook, full=True).findings == ()
        derived.forget_all(logbook.file)
