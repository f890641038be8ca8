"""What goes wrong comes back as one sentence and an exit status, never as a trace."""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
import pytest

from rounds.cli import options
from rounds.cli.main import main
from rounds.store import connect

Ask = Callable[..., Any]


@pytest.mark.parametrize(
    ("words", "code", "argument"),
    [
        (("tday",), "unknown-command", "tday"),
        (("today", "--minuts", "3"), "unknown-option", "--minuts"),
        (("--bd", "x", "today"), "unknown-option", "--bd"),
        (("look",), "missing-argument", "CODE"),
        (("weather", "sill", "2026-05-01", "--min", "3"), "missing-argument", "--max"),
        (("move", "G02"), "missing-argument", "PLACE"),
        (("plant", "G02", "S03"), "usage", None),
        (("today", "--minutes", "ten"), "not-a-number", "--minutes"),
        (("today", "--on", "4.5.2026"), "not-a-date", "--on"),
        (("today", "--on", "9999-12-31"), "day-out-of-reach", "--on"),
        (("place", "sill", "--at", "0001-01-01T00:00"), "day-out-of-reach", "--at"),
        (("place", "si\nll"), "not-text", "NAME"),
        (("place", "sill\udcff"), "not-text", "NAME"),
        (("place", " "), "empty-name", "NAME"),
        ((), "needs-a-command", "--json"),
        (("--on", "2026-11-25"), "option-of-a-command", "--on"),
        (("--on=2026-11-25", "today"), "option-of-a-command", "--on"),
    ],
)
def test_a_call_that_cannot_be_read_is_bad_input(
    refused: Ask, words: tuple[str, ...], code: str, argument: str | None
) -> None:
    error = refused(2, *words)
    assert error["code"] == code
    assert [place["argument"] for place in error["places"]] == ([argument] if argument else [])


@pytest.mark.parametrize(
    ("words", "nearest"),
    [(("lok",), "'look'"), (("today", "--minits", "3"), "--minutes"), (("rnk",), "'rank'")],
)
def test_the_nearest_name_is_offered(refused: Ask, words: tuple[str, ...], nearest: str) -> None:
    assert nearest in refused(2, *words)["message"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--json",), "--json needs a command after it, such as `rounds --json today`."),
        (("--on", "2026-11-25"), "--on stands after the name of a command, such as `rounds today"),
        (("--minutes", "12"), "--minutes stands after the name of a command, such as `rounds to"),
        (("--apart", "place"), "--apart stands after the name of a command, such as `rounds plac"),
    ],
)
def test_what_stands_before_no_command_is_told_where_it_belongs(
    call: Ask, words: tuple[str, ...], said: str
) -> None:
    called = call(*words)
    assert called.status == 2

    assert called.err.startswith(said)


def test_usage_says_where_the_help_is(refused: Ask) -> None:
    assert refused(2, "look")["what_to_do"].startswith("`rounds look --help`")


def test_without_json_the_sentence_alone_goes_to_standard_error(call: Ask) -> None:
    called = call("plant", "G02")
    assert (called.status, called.out) == (2, "")
    assert called.err.startswith("There is no plant 'G02'; none has been entered yet.")
    assert called.err.count("\n") == 1


@pytest.mark.parametrize(
    ("words", "day"),
    [
        (("plant", "G02"), "2026-05-04"),
        (("plant", "G02", "--on", "2026-03-01"), "2026-03-01"),
        (("plant", "G02", "--on=2026-03-01"), "2026-03-01"),
        (("plant", "G02", "--on", "soon"), "2026-05-04"),
        (("look", "G02", "axils", "--seconds", "9", "--at", "2026-03-02T07:00"), "2026-03-02"),
        (("today", "--on"), "2026-05-04"),
    ],
)
def test_a_failure_names_the_day_it_speaks_about(
    call: Ask, words: tuple[str, ...], day: str
) -> None:
    called = call("--json", *words)
    assert called.status == 2
    assert list(called.found) == ["format", "version", "on", "error"]
    assert (called.found["format"], called.found["on"]) == ("rounds.error", day)


def test_an_option_without_its_value_is_bad_input(call: Ask) -> None:
    called = call("--json", "today", "--minutes")
    assert (called.status, called.found["error"]["code"]) == (2, "usage")
    assert "--minutes" in called.found["error"]["message"]


def test_json_may_stand_before_the_command(call: Ask) -> None:
    assert call("--json", "rank").found["format"] == "rounds.rank"


def test_screens_without_a_terminal_are_refused(call: Ask, logbook_file: Path) -> None:
    for words in ((), ("demo",)):
        called = call(*words)
        assert (called.status, called.out) == (2, "")
        assert called.err.startswith("The screens need a terminal")
    assert not logbook_file.exists()


@pytest.mark.parametrize(
    ("trouble", "status", "code"),
    [
        (KeyboardInterrupt(), 130, "interrupted"),
        (click.Abort(), 130, "interrupted"),
        (ZeroDivisionError("by nothing"), 1, "program-fault"),
        (OSError(28, "No space left on device"), 1, "output-lost"),
        (click.FileError("x", "no"), 2, "usage"),
    ],
)
def test_whatever_is_raised_ends_in_a_sentence(
    refused: Ask,
    monkeypatch: pytest.MonkeyPatch,
    trouble: BaseException,
    status: int,
    code: str,
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise trouble

    monkeypatch.setattr(options, "show", fail)
    error = refused(status, "place", "sill")
    assert error["code"] == code
    assert "Traceback" not in error["message"]


def test_a_pipe_nobody_reads_ends_the_call_quietly(
    capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, logbook_file: Path
) -> None:
    monkeypatch.setattr("rounds.cli.main.drop_output", lambda: 141)

    def fail(*_: object, **__: object) -> None:
        raise BrokenPipeError

    monkeypatch.setattr(options, "show", fail)
    assert main(["place", "sill"]) == 141
    assert capfd.readouterr().err == ""


def test_help_and_version_are_no_failures(call: Ask, logbook_file: Path) -> None:
    for words in (("--help",), ("look", "--help"), ("--version",)):
        called = call(*words)
        assert (called.status, called.err) == (0, "")
        assert called.out
    assert not logbook_file.exists()


def newer(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA user_version = 99")
    connection.close()


def foreign(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE recipe (name TEXT)")
    connection.commit()
    connection.close()


def damaged(path: Path) -> None:
    path.write_bytes(b"this is no database at all" * 100)


def folder(path: Path) -> None:
    path.mkdir()


@pytest.mark.parametrize(
    ("make", "code"),
    [
        (newer, "logbook-newer"),
        (foreign, "logbook-foreign"),
        (damaged, "logbook-damaged"),
        (folder, "logbook-unreachable"),
    ],
)
def test_a_file_that_is_no_logbook_of_ours_is_left_alone(
    refused: Ask, logbook_file: Path, make: Callable[[Path], None], code: str
) -> None:
    make(logbook_file)
    before = logbook_file.read_bytes() if logbook_file.is_file() else None
    for words in (("rank",), ("place", "sill")):
        assert refused(4, *words)["code"] == code
    assert (logbook_file.read_bytes() if logbook_file.is_file() else None) == before


def test_a_logbook_written_to_elsewhere_is_waited_for_and_then_refused(
    ask: Ask, refused: Ask, logbook_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask("place", "sill")
    monkeypatch.setattr(connect, "WAIT_SECONDS", 0.05)
    other = sqlite3.connect(logbook_file, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    assert refused(4, "place", "porch shelf")["code"] == "logbook-locked"
    assert ask("rank")["plants"] == []
    other.execute("ROLLBACK")
    other.close()
    ask("place", "porch shelf")


def test_the_place_of_the_logbook_is_the_option_then_the_variable(
    ask: Ask, tmp_path: Path, logbook_file: Path
) -> None:
    other = tmp_path / "deep" / "other.db"
    ask("rank", "--db", other)
    assert other.exists()
    assert not logbook_file.exists()
    ask("--db", tmp_path / "third.db", "rank")
    assert (tmp_path / "third.db").exists()
    assert not logbook_file.exists()
    ask("rank")
    assert logbook_file.exists()
