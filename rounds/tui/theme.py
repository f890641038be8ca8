"""The colours of the roles: themes as data, one of which is chosen."""

import os
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter
from textual.theme import Theme

from rounds.errors import BadInput
from rounds.near import nearest

FOLDER = Path(__file__).parent / "themes"
NAMES = ("dark", "light", "contrast", "safe")
"""The usual one first. `safe` is made for the colour-blind."""

USUAL = NAMES[0]
ENVIRONMENT = "ROUNDS_COLOURS"


class Uncoloured(LineFilter):
    """Leaves weight and reversal only: the library's own filter leaves greys."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same texts in the terminal's own colours, those of bare containers too."""
        return [
            Segment(text, style.without_color if style else style, control)
            for text, style, control in segments
        ]


@cache
def colours(name: str) -> dict[str, str]:
    """The background and the colour of each role of a theme, as #rrggbb."""
    return {role: value for role, value in _data(name).items() if isinstance(value, str)}


def theme(name: str) -> Theme:
    """A theme as Textual takes it; the shared stylesheet says which role takes which part."""
    of = colours(name)
    return Theme(
        name=f"rounds-{name}",
        dark=bool(_data(name)["dark"]),
        background=of["background"],
        surface=of["background"],
        panel=of["background"],
        foreground=of["ink"],
        primary=of["here"],
        secondary=of["quiet"],
        warning=of["apart"],
        error=of["find"],
        accent=of["doubt"],
        success=of["ask"],
    )


def colours_asked() -> str | None:
    """The theme the environment asks for. BadInput where there is none of that name."""
    given = os.environ.get(ENVIRONMENT, "").strip()
    if given and given not in NAMES:
        raise BadInput(
            "unknown-colours",
            given=given,
            nearest=nearest(given, NAMES),
            known=", ".join(NAMES),
            field=ENVIRONMENT,
        )
    return given or None


@cache
def _data(name: str) -> dict[str, Any]:
    return tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
