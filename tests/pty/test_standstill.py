"""Stopped by a signal or as a job of a shell, and let go on: one screen, every key once."""

import os
import re
import signal
import sys
import termios
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="whether it stands still is read from /proc"
)

PRESSED = 20
MARK = "shell waits:"
OTHER_SCREEN, LEFT_SCREEN = b"\x1b[?1049h", b"\x1b[?1049l"
STAT = re.compile(r"\) ([A-Za-z])")


def is_stopped(pid: int) -> bool:
    """Whether a process was stopped by a signal, as the kernel has it."""
    found = STAT.search(Path(f"/proc/{pid}/stat").read_text(encoding="utf-8"))
    return found is not None and found[1] in "Tt"


def has_echo(window: Any) -> bool:
    """Whether the terminal shows what is typed, as a shell expects of it."""
    return bool(termios.tcgetattr(window.child.child_fd)[3] & termios.ECHO)


@pytest.mark.parametrize("number", [signal.SIGTSTP, signal.SIGSTOP])
def test_it_goes_on_where_it_was_stopped(
    terminal: Callable[..., Any],
    small_logbook: Path,
    counted_on_disk: Callable[[Path], int],
    number: signal.Signals,
) -> None:
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("\r")
    window.wait_for(lambda text: "plant 1 of 2" in text, "the first plant")
    for _ in range(3):
        window.child.kill(number)
        window.wait_until(lambda: is_stopped(window.child.pid), "a stop")
        assert has_echo(window) is (number == signal.SIGTSTP)
        before = len(window.sent)
        window.screen.reset()
        window.child.kill(signal.SIGCONT)
        # what was painted before the stop may come after the reset: only the new page counts
        window.wait_until(lambda n=before: OTHER_SCREEN in window.sent[n:], "the screen taken")
        window.wait_for(lambda text: "plant 1 of 2" in text and "h help" in text, "the page")
        window.wait_until(lambda: not has_echo(window), "keys that are not shown as typed")
    window.send("f" * PRESSED)
    shows = re.compile(rf"f removed +{PRESSED}\n")
    window.wait_for(lambda text: shows.search(text) is not None, "each key once")
    assert counted_on_disk(small_logbook) == PRESSED
    window.send("\x11")
    assert window.ended() == 0
    assert counted_on_disk(small_logbook) == PRESSED


def test_the_clock_of_a_zone_stands_with_it(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("\r")
    window.wait_for(lambda text: "plant 1 of 2" in text, "the first plant")
    window.child.kill(signal.SIGTSTP)
    window.wait_until(lambda: is_stopped(window.child.pid), "a stop")
    window.screen.reset()
    window.child.kill(signal.SIGCONT)
    window.wait_for(lambda text: "paused" in text, "that the clock stands")
    window.child.kill(signal.SIGTERM)
    assert window.ended() == 128 + signal.SIGTERM


def test_ctrl_z_gives_the_terminal_to_the_shell_and_fg_takes_it(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    """In the background it stops again at once: it could neither paint nor read there."""
    window = terminal(command=["sh", "-i"], more={"PS1": MARK, "ENV": ""})
    window.wait_for(lambda text: MARK in text, "the shell")
    window.send(f"{sys.executable} -m rounds --db {small_logbook}\r")
    window.wait_for(lambda text: "enter  begin" in text, "today")
    for sends in ("fg\r", "bg\r"):
        window.screen.reset()
        window.send("\x1a")
        window.wait_for(lambda text: "Stopped" in text and MARK in text, "the shell")
        window.screen.reset()
        window.send(sends)
        shows = "enter  begin" if sends == "fg\r" else "[1]"
        window.wait_for(lambda text, shows=shows: shows in text, "what follows")
    shell = window.child.pid
    (job,) = map(int, Path(f"/proc/{shell}/task/{shell}/children").read_text().split())
    # a shell may say so at its next line only
    window.wait_until(lambda: is_stopped(job), "another stop")
    window.screen.reset()
    window.send("fg\r")
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("q")
    window.wait_for(lambda text: MARK in text, "the shell")
    window.send("exit $?\r")
    assert window.ended() == 0


def test_ctrl_z_says_so_where_no_shell_could_let_it_go_on(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("\x1a")
    window.wait_for(lambda text: "no shell waits here" in text, "why it does not")
    window.send("\x11")
    assert window.ended() == 0


def test_what_ends_it_while_it_stands_still_ends_it(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.child.kill(signal.SIGTSTP)
    window.wait_until(lambda: is_stopped(window.child.pid), "a stop")
    window.child.kill(signal.SIGTERM)
    os.kill(window.child.pid, signal.SIGCONT)
    assert window.ended() == 128 + signal.SIGTERM
    assert window.sent.rindex(LEFT_SCREEN) > window.sent.rindex(OTHER_SCREEN)
