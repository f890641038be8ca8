"""A file of every older version is brought up with all that is in it, and takes what is new."""

from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from rounds.core.log.entries import Look, Tally
from rounds.core.walks import Round, Step
from rounds.store import LogbookFile, log, walks
from rounds.store.codes import codes_used
from rounds.store.migrations import VERSION
from tests.store.older_files import VERSIONS, rows_of, version_of, write_version

DAY = date(2026, 5, 6)


def test_there_is_a_file_of_every_version_that_was() -> None:
    assert {*VERSIONS, VERSION} == set(range(2, VERSION + 1))


@pytest.mark.parametrize("version", VERSIONS)
def test_every_row_of_an_older_file_is_there_afterwards(tmp_path: Path, version: int) -> None:
    path = write_version(tmp_path / "logbook.db", version)
    assert version_of(path) == version
    before = rows_of(path)
    assert len(before["look"]) > 30
    LogbookFile(path).close()
    after = rows_of(path)
    assert version_of(path) == VERSION
    for table, rows in before.items():
        # a table may have got further columns, at its end
        kept = [row[: len(old)] for row, old in zip(after[table], rows, strict=True)]
        assert kept == rows, table


@pytest.mark.parametrize("version", VERSIONS)
def test_an_older_file_takes_a_new_zone_and_a_new_pest(tmp_path: Path, version: int) -> None:
    path = write_version(tmp_path / "logbook.db", version)
    with closing(LogbookFile(path)) as file:
        with file.writing():
            walk = Round(file.next_id(), DAY, None, 0, None, 10.0, "walked")
            look = Look(file.next_id(), DAY, 1, "lantern", walk.id, 0, 9.0, "looked")
            tally = Tally(file.next_id(), DAY, 1, look.id, 0, "removed", None, "lamp-moth", 2)
            walks.append_round(file, walk)
            walks.append_steps(file, walk.id, [Step(0, 1, "lantern", 9.0, "gain")])
            log.append_look(file, look)
            log.append_tally(file, tally)
        found = log.entries_of(file, 1, DAY, DAY)
        assert (found.looks, found.tallies) == ((look,), (tally,))
        assert [step.zone for step in walks.steps_of(file, walk.id)] == ["lantern"]
        assert {("zone", "lantern"), ("pest", "lamp-moth")} < set(codes_used(file))
    rows_of(path)
