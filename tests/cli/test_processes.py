"""The program as a process of its own: what it loads, how it ends, what it leaves behind."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Ask = Callable[..., Any]


@pytest.fixture
def process(logbook_file: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Start the program and wait for its end."""

    def run(*argv: str, **settings: Any) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "rounds", *argv],
            **{"capture_output": True, "stdin": subprocess.DEVNULL, **settings},
            text=True,
            check=False,
        )

    return run


Process = Callable[..., subprocess.CompletedProcess[str]]


@pytest.mark.usefixtures("porch")
@pytest.mark.parametrize("words", [["today"], ["rank"], ["plant", "S03"]])
def test_commands_that_read_load_neither_screens_nor_migrations(words: list[str]) -> None:
    program = (
        "import sys\n"
        "from rounds.cli.main import main\n"
        f"status = main({words!r})\n"
        "print(status, *sorted(sys.modules))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    status, *loaded = done.stdout.splitlines()[-1].split()
    assert status == "0"
    assert "sqlite3" in loaded
    assert not {"textual", "rich", "sqlite_utils", "scipy"} & set(loaded)


@pytest.mark.usefixtures("porch")
def test_the_exit_status_is_that_of_the_call(process: Process) -> None:
    assert process("rank").returncode == 0
    assert process("lok").returncode == 2
    assert process("release", "G02").returncode == 3
    assert process("rank", "--db", "/").returncode == 4


def test_screens_without_a_terminal_end_at_once_with_2(process: Process) -> None:
    done = process()
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("The screens need a terminal")


@pytest.mark.usefixtures("porch")
def test_a_pipe_nobody_reads_ends_it_as_the_signal_would(process: Process) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    try:
        done = process("rank", "--json", stdout=writer, stderr=subprocess.PIPE,
                       capture_output=False)  # fmt: skip
    finally:
        os.close(writer)
    assert done.returncode == 141
    assert done.stderr == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_an_answer_that_cannot_be_written_is_told_in_a_sentence(process: Process) -> None:
    with Path("/dev/full").open("w") as full:
        done = process("rank", stdout=full, stderr=subprocess.PIPE, capture_output=False)
    assert done.returncode == 1
    assert done.stderr.startswith("The answer could not be written out")
    assert "Traceback" not in done.stderr


def test_names_in_other_letters_are_written_as_the_reader_can_take_them(
    process: Process,
) -> None:
    name = "Løvspring 松"
    process("place", name)
    assert json.loads(process("place", name, "--change", "--json").stdout)["place"]["name"] == name
    narrow = process("place", name, "--change", "--json",
                     env={**os.environ, "PYTHONIOENCODING": "ascii"})  # fmt: skip
    assert narrow.stdout.isascii()
    assert json.loads(narrow.stdout)["place"]["name"] == name
    latin = {**os.environ, "PYTHONIOENCODING": "latin-1"}
    read = process("place", name, "--change", env=latin, encoding="latin-1")
    assert read.returncode == 0
    assert read.stdout.startswith("Saved: Løvspring ?")


def test_the_demo_writes_a_copy_and_opens_nothing(ask: Ask, refused: Ask, tmp_path: Path) -> None:
    path = tmp_path / "copy.db"
    found = ask("demo", "--at-path", path)
    assert list(found) == ["format", "version", "on", "path", "plants", "rounds"]
    assert found["path"] == str(path)
    plan = ask("today", "--db", path)
    assert 0 < len(plan["plan"]) + len(plan["left_out"]) <= found["plants"]
    assert found["rounds"] > 0
    assert refused(2, "demo", "--at-path", path)["code"] == "demo-path-exists"


def test_the_demo_season_ends_on_the_day_spoken_about(ask: Ask, tmp_path: Path) -> None:
    path = tmp_path / "copy.db"
    assert ask("demo", "--at-path", path, "--on", "2025-11-30")["on"] == "2025-11-30"
    plants = ask("rank", "--db", path, "--on", "2025-11-30")["plants"]
    newest = max(plant["last_look_on"] for plant in plants if plant["last_look_on"])
    assert newest in ("2025-11-29", "2025-11-30")
