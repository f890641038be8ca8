"""What colours reach the terminal: those of the theme asked for, or none at all."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from rounds.tui.theme import colours

SGR = re.compile(rb"\x1b\[([0-9;:]*)m")
WEIGHT = {"", "0", "1", "7", "22", "27"}
"""Reset, bold, reversal, and their ends: all that is wanted without colour."""

PAGES: tuple[tuple[str, str], ...] = (
    ("h", "closes this"),
    ("h", "enter  begin"),
    ("l", "by risk"),
    ("q", "enter  begin"),
    ("j", "what is due, at"),
    ("q", "enter  begin"),
    ("u", "no unsure specks"),
    ("q", "enter  begin"),
    ("0\r", "new place"),
    ("1\r", "growth form"),
    ("\x1b[6~", "back to the lines"),
    ("q", "new place"),
    ("q", "enter  begin"),
    ("1\r", "enter a look"),
    ("1\r", "newly arrived"),
    ("q", "enter a look"),
    ("2\r", "needed before it may rejoin"),
    ("q", "enter a look"),
    ("q", "enter  begin"),
    ("\r", "plant 1 of 2"),
    ("w", "saved: 1 unsure"),
    ("ff", "p quarantine"),
    ("zv", "clean your hands"),
    (" ", "plant 2 of 2"),
    ("v", "all 2 plants"),
    (" ", "m minutes"),
)
"""Keys, and what the page they lead to says and the one before does not: every kind of page."""


def asked_of(sent: bytes) -> set[str]:
    """Every parameter of a style that was sent."""
    return {part for found in SGR.findall(sent) for part in found.decode().split(";")}


def walk(window: Any) -> None:
    window.wait_for(lambda text: "enter  begin" in text, "today")
    for keys, shows in PAGES:
        for key in re.findall("\x1b\\[6~|.", keys, re.DOTALL):
            window.send(key)
            window.read(0.2)
        window.wait_for(lambda text, shows=shows: shows in text, shows)
    window.send("q")
    assert window.ended() == 0


def test_without_colour_no_colour_is_sent_on_any_page(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    window = terminal("--db", str(small_logbook), more={"NO_COLOR": "1"})
    walk(window)
    assert asked_of(window.sent) - WEIGHT == set()
    assert {"1", "7"} <= asked_of(window.sent), "weight and reversal tell the roles apart"


def test_with_colour_the_terminal_gets_those_asked_for(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    window = terminal("--db", str(small_logbook), more={"ROUNDS_COLOURS": "contrast"})
    window.wait_for(lambda text: "enter  begin" in text, "today")
    window.send("q")
    assert window.ended() == 0
    ink = colours("contrast")["ink"]
    red, green, blue = (int(ink[at : at + 2], 16) for at in (1, 3, 5))
    assert f"38;2;{red};{green};{blue}".encode() in window.sent


def test_colours_nobody_knows_end_it_with_a_sentence(
    terminal: Callable[..., Any], small_logbook: Path
) -> None:
    window = terminal("--db", str(small_logbook), more={"ROUNDS_COLOURS": "nigth"})
    assert window.ended() == 2
    assert "names no colours" in window.text()
