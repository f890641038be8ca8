"""ctrl+c as a key: it leaves, but for a line that is typed, where it is the key that copies."""

import base64
from collections.abc import Callable
from pathlib import Path
from typing import Any

COPIED = b"\x1b]52;c;" + base64.b64encode(b"abc")


def test_on_today_it_leaves(terminal: Callable[..., Any], small_logbook: Path) -> None:
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("\x03")
    assert window.ended() == 0


def test_in_a_round_it_leaves_with_all_that_was_counted(
    terminal: Callable[..., Any],
    small_logbook: Path,
    counted_on_disk: Callable[[Path], int],
) -> None:
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("\r")
    window.wait_for(lambda text: "plant 1 of 2" in text, "the first plant")
    window.send("fff\x03")
    assert window.ended() == 0
    assert counted_on_disk(small_logbook) == 3


def test_where_a_line_is_typed_it_copies_or_says_that_nothing_is_selected(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    """A second press too many is not to throw away a form that is half filled."""
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("0\r")
    window.wait_for(lambda text: "new place" in text, "the desk")
    window.send("1\r")
    window.wait_for(lambda text: "> code" in text, "the form of a plant")
    window.send("abc\x03")
    window.wait_for(lambda text: "nothing selected; ctrl+q leaves" in text, "why not")
    window.send("d\x7f")
    said = window.wait_for(lambda text: "nothing selected" not in text, "the next key")
    assert "abc" in said
    window.send("\x1b[1;2H\x03")
    window.wait_until(lambda: COPIED in window.sent, "the copy")
    assert "abc" in window.text()
    window.send("\x11")
    assert window.ended() == 0
