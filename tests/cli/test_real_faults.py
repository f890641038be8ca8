"""Faults of the machine: a disk that is full, a file of somebody else, a file without end."""

import ctypes
import json
import os
import pwd
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from tests.cli.conftest import Call

ROOM = 2 << 20
Process = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system in memory that is soon full."""
    folder = tmp_path / "disk"
    folder.mkdir()
    libc = ctypes.CDLL(None, use_errno=True)
    options = f"size={ROOM}".encode()
    if sys.platform != "linux" or libc.mount(b"none", bytes(folder), b"tmpfs", 0, options):
        pytest.skip("a file system may be mounted by root alone")
    yield folder
    libc.umount2(bytes(folder), 2)


@pytest.fixture
def somebody_else() -> int:
    """The number of a user that owns nothing here."""
    if os.geteuid() != 0:
        pytest.skip("only root may become somebody else")
    try:
        return pwd.getpwnam("nobody").pw_uid
    except KeyError:
        pytest.skip("there is no such user here")


@pytest.fixture
def process(logbook_file: Path) -> Process:
    """The program as a process of its own, which is ended where it hangs."""

    def run(*words: str | Path) -> "subprocess.CompletedProcess[str]":
        argv = [sys.executable, "-m", "rounds", *map(str, words)]
        return subprocess.run(argv, capture_output=True, text=True, check=False, timeout=120)

    return run


def is_one_sentence(done: "subprocess.CompletedProcess[str]", status: int) -> bool:
    return (
        done.returncode == status and "Traceback" not in done.stderr and bool(done.stderr.strip())
    )


def test_a_disk_that_fills_loses_nothing_and_goes_on_once_there_is_room(
    small_disk: Path, process: Process, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ROUNDS_DB", str(small_disk / "logbook.db"))
    for words in (
        ("place", "lamp room"),
        ("add", "G02", "--name", "Thole", "--place", "lamp room", "--already-here"),
        ("look", "G02", "axils", "--seconds", "20"),
    ):
        assert process(*words).returncode == 0
    filler = small_disk / "filler"
    with filler.open("wb", buffering=0) as file, suppress(OSError):
        while True:
            file.write(b"x" * 1024)
    full = process("look", "G02", "axils", "--seconds", "21", "--note", "n" * 9000)
    assert is_one_sentence(full, 4), full
    filler.unlink()
    assert seconds_of(process) == [20]
    assert process("look", "G02", "axils", "--seconds", "21").returncode == 0
    assert seconds_of(process) == [20, 21]


def seconds_of(process: Process) -> list[int]:
    """Those of the looks at the plant, as it is told."""
    found = process("plant", "G02", "--json")
    assert found.returncode == 0, found
    return sorted(look["seconds"] for look in json.loads(found.stdout)["looks"])


def test_a_logbook_of_somebody_else_is_refused_in_a_sentence(
    call: Call, logbook_file: Path, somebody_else: int, tmp_path: Path
) -> None:
    asked = (("today",), ("place", "gallery"), ("backup",), ("check",))
    for words in (("place", "lamp room"), *asked):
        # all that is loaded lies with its owner
        assert call(*words, "--json").status == 0
    copies, before = sorted(tmp_path.rglob("*")), logbook_file.read_bytes()
    os.seteuid(somebody_else)
    try:
        refused = [call(*words) for words in (*asked, ("place", "bench"))]
    finally:
        os.seteuid(0)
    for answer in refused:
        assert (answer.status, answer.out) == (4, "")
        assert len(answer.err.splitlines()) <= 2
        assert "Traceback" not in answer.err
    assert sorted(tmp_path.rglob("*")) == copies
    assert logbook_file.read_bytes() == before


@pytest.mark.parametrize("endless", ["/dev/zero", "pipe"])
def test_a_file_without_end_is_no_file_to_import(
    call: Call, process: Process, tmp_path: Path, endless: str
) -> None:
    call("place", "lamp room")
    path = Path(endless)
    if endless == "pipe":
        path = tmp_path / "pipe"
        os.mkfifo(path)
    assert is_one_sentence(process("import", path), 2)
