"""The program in a real terminal: sizes, leaving, signals, and where there is none."""

import signal
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.service.collection.plants import (
    PlantDetails,
    add_plant,
    move_plant,
)
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon

OTHER_SCREEN, LEFT_SCREEN = b"\x1b[?1049h", b"\x1b[?1049l"


def walk_on(window: Any, seen: str) -> None:
    """One press for each step, until something is seen."""
    for _ in range(9):
        if seen in window.text():
            return
        window.send(" ")
        painted = ""
        while painted != window.text():
            # a page comes in pieces: the next press waits for all of it
            painted = window.text()
            window.read(0.5)
    raise AssertionError(f"{seen} was never seen:\n{window.text()}")


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40), (40, 24)])
def test_a_round_is_walked_by_the_keys_on_the_screen(
    terminal: Callable[..., Any],
    small_logbook: Path,
    counted_on_disk: Callable[[Path], int],
    columns: int,
    rows: int,
) -> None:
    """One press per insect, one per clean step, from the first screen to the summary."""
    window = terminal("--db", str(small_logbook), columns=columns, rows=rows)
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("\r")
    window.wait_for(lambda text: "plant 1 of 2" in text, "the first plant")
    window.send("ff")
    window.wait_for(lambda text: "p quarantine" in text, "the question about a live find")
    window.send("z")
    window.wait_for(lambda text: "not quarantined" in text, "the answer taken")
    walk_on(window, "clean your hands")
    window.send(" ")
    window.wait_for(lambda text: "plant 2 of 2" in text, "the second plant")
    walk_on(window, "2 found alive")
    window.send(" ")
    window.wait_for(lambda text: "m minutes" in text, "today again")
    window.send("q")
    assert window.ended() == 0
    assert counted_on_disk(small_logbook) == 2


def test_of_a_question_of_three_rows_none_stays_once_it_is_answered(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    """A plant is moved to a spot that is to be kept empty, as one with insects left it."""
    with Logbook(small_logbook) as logbook:
        came, found, left = (
            local_noon(logbook.clock.today() - timedelta(days=days)) for days in (20, 10, 5)
        )
        there = PlantDetails(name="Tiller", place="porch shelf", spot="spot 7", already_here=True)
        add_plant(logbook, came, "G09", there)
        enter_look(logbook, found, "G09", LookEntered(("axils",), 30.0, {"removed": 2}))
        move_plant(logbook, left, "G09", "stair foot")
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send(".")
    window.wait_for(lambda text: "ctrl+q" in text, "the line of what is looked for")
    window.send("move G02")
    window.wait_for(lambda text: "> G02  Thole: move" in text, "the form by its name")
    window.send("\r")
    window.wait_for(lambda text: "A quarantine place" in text, "the form")
    for typed in ("\r", "spot 7\r", "\r", "\r"):
        window.send(typed)
    asked = window.wait_for(lambda text: "y write it" in text, "the question")
    assert "G09 with insects stood there" in " ".join(asked.split())
    # one reads it: all has been painted by then
    painted = -1
    while painted != len(window.sent):
        painted = len(window.sent)
        window.read(1.0)
    window.send("y")
    window.wait_for(lambda text: "saved: G02 is at porch shelf, spot 7" in text, "what was saved")
    window.wait_for(lambda text: "write it" not in text, "the question gone")


LEAVES_THE_ALTERNATE_SCREEN = b"\x1b[?1049l"


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT])
@pytest.mark.parametrize("at", ["start", "today", "round"])
def test_a_signal_ends_it_with_128_and_gives_the_terminal_back(
    terminal: Callable[..., Any],
    small_logbook: Path,
    number: signal.Signals,
    at: str,
) -> None:
    """The alternate screen is left, and the exit status names the signal."""
    window = terminal("--db", str(small_logbook))
    window.wait_until(lambda: OTHER_SCREEN in window.sent, "the screen taken")
    if at != "start":
        window.wait_for(lambda text: "enter  begin" in text, "today")
    if at == "round":
        window.send("\r")
        window.wait_for(lambda text: "plant 1 of 2" in text, "the first plant")
    window.child.kill(number)
    assert window.ended() == 128 + number
    assert window.sent.rindex(LEFT_SCREEN) > window.sent.rindex(OTHER_SCREEN)
    assert LEAVES_THE_ALTERNATE_SCREEN in window.sent


def test_without_a_terminal_it_says_so_and_ends_with_2(small_logbook: Path) -> None:
    """No hang, no traceback."""
    ended = subprocess.run(
        [sys.executable, "-m", "rounds", "--db", str(small_logbook)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 2
    assert "terminal" in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.mark.parametrize(
    "streams",
    ["<&-", ">&-", "2>&-", "</dev/null", ">/dev/null", "2>/dev/null", "<&- >&- 2>&-"],
)
def test_where_one_stream_is_no_terminal_it_ends_with_2(
    terminal: Callable[..., Any], small_logbook: Path, streams: str
) -> None:
    """Nothing is painted that nobody sees, and nobody waits for keys that never come."""
    line = f"{sys.executable} -m rounds --db {small_logbook} {streams}; exit $?"
    window = terminal(command=["sh", "-c", line])
    assert window.ended() == 2
    assert OTHER_SCREEN not in window.sent
    assert b"Traceback" not in window.sent
    assert ("terminal" in window.text()) is ("2>" not in streams)


def test_a_reader_that_goes_away_leaves_no_program_behind(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    line = f"{sys.executable} -m rounds --db {small_logbook} | head -1; echo all ended"
    window = terminal(command=["sh", "-c", line])
    assert window.ended() == 0
    assert "all ended" in window.text()
