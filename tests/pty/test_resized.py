"""The terminal made too small for anything, down to one cell, and large again."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

SIZES = ((39, 24), (1, 1), (80, 11), (1, 24), (80, 1), (2, 2))

PAGES: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "today": ((), ("today ", "all 2 plants fit", "1 ║ S03", "enter  begin", "h help")),
    "plants": (("l",), ("all plants", "by risk", "1 ║ S03", "2   G02", "q back")),
    "chart": (("l", "1\r", "j"), ("insects found ", "half a year", "1┤", "space  next", "q back")),
    "form": (("0\r", "1\r", "abc"), ("> code  ", "  abc\n", "check for", "ctrl+q", "enter  take")),
    "help": (("h",), ("help  ", "begins the round", "checks in a row", "h  closes this")),
}
"""Keys that lead to a page, and what of it is to be seen, from top to bottom."""


@pytest.mark.parametrize("page", PAGES)
def test_a_page_is_whole_again_after_one_cell(
    terminal: Callable[..., Any], small_logbook: Path, page: str
) -> None:
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    keys, shown = PAGES[page]
    for press in keys:
        seen = window.text()
        window.send(press)
        window.wait_for(lambda text, seen=seen: text != seen, "anything after a key")
        window.read(0.5)
    window.wait_for(lambda text: all(part in text for part in shown), f"all of {shown}")
    for columns, rows in SIZES:
        window.resize(columns, rows)
    window.screen.reset()
    window.resize(80, 24)
    window.wait_for(lambda text: all(part in text for part in shown), f"again {shown}")
    window.send("\x11")
    assert window.ended() == 0


def test_keys_count_in_one_cell_and_the_round_stands_there_again(
    terminal: Callable[..., Any],
    small_logbook: Path,
    counted_on_disk: Callable[[Path], int],
) -> None:
    window = terminal("--db", str(small_logbook))
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("\r")
    window.wait_for(lambda text: "plant 1 of 2" in text, "the first plant")
    window.resize(39, 24)
    window.wait_for(lambda text: "keys still count" in text, "that it is too small")
    window.resize(1, 1)
    window.send("fff")
    window.wait_until(lambda: counted_on_disk(small_logbook) == 3, "three on disk")
    window.resize(80, 24)
    window.wait_for(lambda text: re.search(r"f removed +3\n", text) is not None, "the count")
    assert "plant 1 of 2" in window.text()
    window.child.kill(15)
    assert window.ended() == 128 + 15
