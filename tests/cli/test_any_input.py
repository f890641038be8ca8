"""Whatever is typed or read, a command answers in sentences: no fault of the program, no escape."""

import io
import json
import unicodedata
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rounds.cli.main import GROUPS, command_of, main
from rounds.clock import SetClock
from rounds.service.logbook.book import Logbook

NOW = datetime(2026, 5, 4, 9, 30, tzinfo=UTC)
ENDS = {0, 2, 3, 4}
"""exit statuses that are not a fault of the program"""

LEFT_OUT = {"demo", "backup", "restore"}
"""They write files where they are told to, or open screens."""

TYPED = (
    "", " ", "-", "--", "nan", "inf", "-inf", "1e309", "-1", "0", "9" * 400, "1e-400", "0x10",
    "²", "٣", "1_000", "\x1b[2J", "\x1b]0;title\x07", "\u202egnirts", "\ud800", "[bold]x[/]",
    "'; DROP TABLE look; --", "G02", "g02", "lamp room", "axils", "0001-01-01", "9999-12-31",
    "2026-02-29", "2026-13-01", "2026-05-04T25:00", "2026-05-04", "10000-01-01", "%s%n", "{0}",
    "{code}", "a" * 5000, "\x00", "\n", "鉢", "🌵",
)  # fmt: skip

WILD = st.one_of(
    st.text(max_size=30),
    st.sampled_from(TYPED),
    st.integers().map(str),
    st.floats().map(str),
)


def commands() -> Iterator[tuple[tuple[str, ...], click.Command]]:
    for name in (name for modules in GROUPS.values() for name in modules):
        found = command_of(name)
        if isinstance(found, click.Group):
            yield from (((name, part), below) for part, below in found.commands.items())
        elif name not in LEFT_OUT:
            yield (name,), found


COMMANDS = list(commands())

HEADS = (b"plant,zone,at,seconds\n", b"code,name,place\n", b"place,day,min_c,max_c\n")


@st.composite
def calls(draw: st.DrawFn) -> list[str]:
    """A command with any of its options and arguments, and anything in them."""
    name, command = draw(st.sampled_from(COMMANDS))
    words = list(name)
    for param in command.params:
        if isinstance(param, click.Option):
            if param.opts[0] in ("--db", "--help", "--html", "--ics"):
                continue
            for _ in range(draw(st.integers(0, 2 if param.multiple else 1))):
                words.append(param.opts[0])
                if not param.is_flag:
                    words += [draw(WILD) for _ in range(max(param.nargs, 1))]
        else:
            count = (
                draw(st.integers(0, 3))
                if param.nargs == -1
                else draw(st.integers(0, 1) | st.just(1))
            )
            words += [draw(WILD) for _ in range(count)]
    return words


def called(words: list[str], path: Path) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        status = main(["--db", str(path), *words], SetClock(NOW))
    return status, out.getvalue(), err.getvalue()


def moves_a_terminal(text: str) -> list[str]:
    """Characters that do not stand for themselves on a terminal, line ends apart."""
    return [c for c in text if c not in "\n\f" and unicodedata.category(c) in ("Cc", "Cf", "Cs")]


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small logbook that all calls share: whatever they write, the next must stand it."""
    file = tmp_path_factory.mktemp("any") / "logbook.db"
    for words in (
        ["place", "lamp room"],
        ["place", "stair foot", "--apart"],
        ["add", "G02", "--name", "Thole", "--place", "lamp room", "--already-here"],
        ["look", "G02", "axils", "--seconds", "20", "--removed", "1"],
    ):
        assert called(words, file)[0] == 0
    return file


@settings(max_examples=400, suppress_health_check=list(HealthCheck))
@given(words=calls())
def test_any_call_ends_in_sentences(path: Path, words: list[str]) -> None:
    status, out, err = called(words, path)
    assert status in ENDS, (words, out, err)
    assert "Traceback" not in out + err
    assert moves_a_terminal(out + err) == [], words
    if "--json" in words and status:
        found: dict[str, Any] = json.loads(out)
        assert found["error"]["message"]


@settings(max_examples=150, suppress_health_check=list(HealthCheck))
@given(
    content=st.one_of(
        st.binary(max_size=300),
        st.lists(
            st.lists(WILD, min_size=1, max_size=6).map(",".join), min_size=1, max_size=5
        ).map(lambda rows: "\n".join(rows).encode("utf-8", "surrogatepass")),
        st.sampled_from(HEADS)
        .flatmap(lambda head: st.lists(st.lists(WILD, min_size=3, max_size=4).map(",".join))
                 .map(lambda rows: head + "\n".join(rows).encode("utf-8", "surrogatepass"))),
    )
)  # fmt: skip
def test_any_file_is_read_whole_or_not_at_all(path: Path, content: bytes) -> None:
    file = path.with_name("any.csv")
    file.write_bytes(content)
    with Logbook(path, SetClock(NOW)) as logbook:
        before = logbook.file.last_number()
    status, out, err = called(["import", str(file)], path)
    assert status in (0, 2), (content, out, err)
    assert moves_a_terminal(out + err) == []
    with Logbook(path, SetClock(NOW)) as logbook:
        assert status == 0 or logbook.file.last_number() == before
