"""Power fails while a round is walked: what was acknowledged is there, and the file is whole.

`ROUNDS_CUTS=2000` tries as many cuts; a hundred otherwise.
"""

import os
import random
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from rounds.service.logbook.book import Logbook
from rounds.service.round import begin
from rounds.store import LogbookFile
from tests.days import plan_by_zone
from tests.store.recorded_disk import Did, Recorded, left_by_a_cut, recorded_disk

CUTS = int(os.environ.get("ROUNDS_CUTS", "100"))
SEED = 20260504
PRESSES = 120
PAGES_BETWEEN_CHECKPOINTS = 20
"""so that the log is copied into the file, and begun anew, many times within the round"""


def counted(file: LogbookFile) -> int:
    with file.reading() as connection:
        return int(connection.execute("SELECT count(*) FROM tally").fetchone()[0])


def walk_a_round(logbook: Logbook, disk: Recorded) -> None:
    """Counts, with now and then the next zone; each is acknowledged when its call is back."""
    walked = begin(logbook, plan_by_zone(logbook, logbook.clock.today(), 60.0))
    for press in range(1, PRESSES + 1):
        walked.count("removed")
        disk.acknowledge(press)
        if press % 7 == 0 and walked.view().stage == "zone":
            walked.go_on()


@pytest.fixture
def played(
    logbook: Logbook, add: Callable[..., Any], waiting_for_the_disk: None
) -> tuple[dict[str, bytes], Sequence[Did]]:
    """The file before a round, and all that was done to its files meanwhile."""
    for code in ("G02", "G05", "G06"):
        add(code)
    path, clock = logbook.file.path, logbook.clock
    logbook.close()
    before = {path.name: path.read_bytes()}
    with recorded_disk() as disk:
        if disk is None:
            pytest.skip("the sqlite3 of this Python shares no library that could be recorded")
        with Logbook(path, clock) as opened:
            pages = f"PRAGMA wal_autocheckpoint = {PAGES_BETWEEN_CHECKPOINTS}"
            opened.file.connection.execute(pages)
            walk_a_round(opened, disk)
    return before, disk.done


def test_what_was_acknowledged_is_there_after_any_power_cut(
    played: tuple[dict[str, bytes], Sequence[Did]], tmp_path: Path
) -> None:
    before, done = played
    writes = [number for number, step in enumerate(done) if step.what != "said"]
    assert sum(step.what == "write" and step.file.endswith(".db") for step in done) > 50
    chance = random.Random(SEED)
    for cut in (chance.choice(writes) + 1 for _ in range(CUTS)):
        told = max((step.number for step in done[:cut] if step.what == "said"), default=0)
        folder = tmp_path / "after"
        folder.mkdir(exist_ok=True)
        for file in folder.iterdir():
            file.unlink()
        for name, data in left_by_a_cut(before, done[:cut], chance).items():
            (folder / name).write_bytes(data)
        found = LogbookFile(folder / "logbook.db")
        with found.reading() as connection:
            assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            assert connection.execute("PRAGMA foreign_key_check").fetchone() is None
        assert told <= counted(found) <= told + 1, f"cut after {cut} of {len(done)}"
        found.close()


def test_a_disk_that_loses_what_was_synced_would_be_noticed(
    played: tuple[dict[str, bytes], Sequence[Did]], tmp_path: Path
) -> None:
    """Without the syncs the same cuts lose entries: the recording has the power to show it."""
    before, done = played
    unsynced = [step for step in done if step.what != "sync"]
    chance, lost = random.Random(SEED), 0
    for number in range(20):
        folder = tmp_path / f"after {number}"
        folder.mkdir()
        cut = chance.randrange(len(unsynced) // 2, len(unsynced))
        told = max(step.number for step in unsynced[:cut] if step.what == "said")
        for name, data in left_by_a_cut(before, unsynced[:cut], chance).items():
            (folder / name).write_bytes(data)
        try:
            found = LogbookFile(folder / "logbook.db")
            lost += counted(found) < told
            found.close()
        except Exception:
            lost += 1
    assert lost > 5
