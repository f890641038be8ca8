"""A damaged file: one sentence, or answers that are there; never a fault of the program.

`ROUNDS_DAMAGES=1000` damages as many copies; a few otherwise.
"""

import os
import random
import shutil
import sqlite3
from pathlib import Path

import pytest

from tests.cli.conftest import Call

DAMAGES = int(os.environ.get("ROUNDS_DAMAGES", "40"))
SEED = 20260504
READS = (("rank", "--json"), ("plant", "G02", "--json"), ("today", "--json"), ("check",))
WRITES = (("look", "G02", "axils", "--seconds", "20"), ("backup",))
UNUSABLE = 4
SAID = (0, UNUSABLE)


def flipped(data: bytearray, chance: random.Random) -> None:
    """A few bytes, side by side or far apart."""
    at = chance.randrange(len(data))
    for _ in range(chance.choice((1, 4, 64, 512))):
        data[at % len(data)] ^= chance.randrange(1, 256)
        at += chance.choice((1, 1, 4096))


def zeroed(data: bytearray, chance: random.Random) -> None:
    """A page that was never written."""
    at = chance.randrange(0, len(data), 4096)
    data[at : at + 4096] = bytes(min(4096, len(data) - at))


def cut_short(data: bytearray, chance: random.Random) -> None:
    """The end is missing."""
    del data[chance.randrange(len(data)) :]


HOW = (flipped, zeroed, cut_short)


@pytest.fixture
def sound(call: Call, logbook_file: Path, tmp_path: Path) -> Path:
    """A logbook of two plants with looks, kept aside."""
    call("place", "lamp room")
    for code in ("G02", "G05"):
        call("add", code, "--name", "Thole", "--place", "lamp room", "--arrived", "2026-03-01")
    rows = [f"G0{2 + 3 * (n % 2)},axils,2026-04-{1 + n % 29:02},20.{n}" for n in range(300)]
    file = tmp_path / "looks.csv"
    file.write_text("plant,zone,at,seconds\n" + "\n".join(rows) + "\n")
    assert call("import", file).status == 0
    assert call("rank").status == 0
    return Path(shutil.copy(logbook_file, tmp_path / "sound.db"))


def test_whatever_is_damaged_it_is_a_sentence_and_no_fault_of_the_program(
    call: Call, logbook_file: Path, sound: Path
) -> None:
    chance, refused = random.Random(SEED), 0
    for number in range(DAMAGES):
        data = bytearray(sound.read_bytes())
        HOW[number % len(HOW)](data, chance)
        for rest in ("-wal", "-shm"):
            logbook_file.with_name(logbook_file.name + rest).unlink(missing_ok=True)
        logbook_file.write_bytes(data)
        for words in (*READS, *WRITES):
            called = call(*words)
            assert called.status in SAID, (number, words, called)
            if called.status:
                refused += 1
                assert called.err, (number, words)
                assert "Traceback" not in called.err
    assert refused > DAMAGES // 4


def test_a_log_that_is_damaged_leaves_what_was_in_the_file(
    call: Call, logbook_file: Path, sound: Path
) -> None:
    """The write-ahead log of a program that was killed, with any of its bytes gone wrong."""
    kept = sqlite3.connect(sound)
    kept.execute("PRAGMA journal_mode = WAL")
    kept.execute("PRAGMA wal_autocheckpoint = 0")
    kept.execute("INSERT INTO setting VALUES ('minutes', '17')")
    kept.commit()
    log = bytearray(sound.with_name("sound.db-wal").read_bytes())
    base = sound.read_bytes()
    chance = random.Random(SEED)
    wal = logbook_file.with_name(logbook_file.name + "-wal")
    for number in range(DAMAGES):
        data = bytearray(log)
        HOW[number % len(HOW)](data, chance)
        logbook_file.with_name(logbook_file.name + "-shm").unlink(missing_ok=True)
        logbook_file.write_bytes(base)
        wal.write_bytes(data)
        called = call("rank", "--json")
        assert called.status == 0, (number, called.err)
        assert [plant["code"] for plant in called.found["plants"]] == ["G05", "G02"]
        assert call("check").status == 0
    kept.close()
