"""The mouse in a real terminal: wheel, click and drag, as the terminal says them."""

import base64
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

LEFT, DRAG, WHEEL_DOWN = 0, 32, 65
CLIPBOARD = re.compile(rb"\x1b\]52;c;([A-Za-z0-9+/=]+)")


def mouse(button: int, column: int, row: int, end: str = "M") -> str:
    """What a terminal sends; columns and rows count from 1 there."""
    return f"\x1b[<{button};{column + 1};{row + 1}{end}"


def click(column: int, row: int) -> str:
    """Down and up."""
    return mouse(LEFT, column, row) + mouse(LEFT, column, row, "m")


def at(text: str, what: str) -> tuple[int, int]:
    """Column and row of a text on the screen."""
    row = next(number for number, line in enumerate(text.splitlines()) if what in line)
    return text.splitlines()[row].index(what), row


def test_a_list_is_gone_through_by_mouse_alone_and_its_text_copied(
    small_logbook: Path, terminal: Callable[..., Any]
) -> None:
    window = terminal("--db", str(small_logbook))
    today = window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send(click(*at(today, "l plants")))
    plants = window.wait_for(lambda text: ">  1" in text, "all plants")
    window.send(mouse(WHEEL_DOWN, 10, 10))
    window.wait_for(lambda text: ">  2" in text, "the second line marked")
    window.send(click(*at(plants, "  1 ")))
    window.wait_for(lambda text: ">  1" in text, "the first line marked")
    column, row = at(plants, "by risk")
    window.send(
        mouse(LEFT, column, row) + mouse(DRAG, column + 6, row) + mouse(LEFT, column + 6, row, "m")
    )
    window.send("\x03")
    window.wait_until(lambda: CLIPBOARD.search(window.sent) is not None, "a copy")
    found = CLIPBOARD.search(window.sent)
    assert found is not None
    assert base64.b64decode(found[1]).decode() == "by risk"
    window.send(click(*at(window.text(), "q back")))
    again = window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send(click(*at(again, "q leave")))
    assert window.ended() == 0
