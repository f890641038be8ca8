"""docs/pictures, made from the demo: `python -m tests.tui.pictures` writes it anew.

Each shows a main screen as the terminal does, in the usual colours. A picture asks for no font
and names no host: whoever shows it takes a font of theirs with characters of one width.
"""

import asyncio
import io
import os
import tempfile
import time
from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.terminal_theme import TerminalTheme

from rounds.clock import SetClock
from rounds.tui.app import RoundsApp
from rounds.tui.theme import colours
from tests.tui.conftest import MORNING, at_the_keys, make_season
from tests.tui.touring import HOME, plant, press, worked_out

FOLDER = Path(__file__).parents[2] / "docs" / "pictures"

SCENES: dict[str, tuple[str, ...]] = {
    "today": (),
    "round": ("enter", "2", "f", "2", "a"),
    "plants": (HOME, "l"),
    "plant": plant("S03"),
    "end-of-quarantine": (*plant("G11"), "2", "enter"),
}
"""The pictures by name, and the keys that lead there from the picture before."""

SVG = """\
<svg viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg">
<style>
.{unique_id}-matrix {{ font-family: ui-monospace, monospace; font-size: {char_height}px; }}
{styles}
</style>
<defs>
<clipPath id="{unique_id}-clip-terminal">
<rect x="0" y="0" width="{terminal_width}" height="{terminal_height}" />
</clipPath>
{lines}
</defs>
<rect fill="GROUND" width="100%" height="100%" rx="6" />
<g transform="translate({terminal_x}, {terminal_y})" clip-path="url(#{unique_id}-clip-terminal)">
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</g>
</svg>
"""


@dataclass(frozen=True, slots=True)
class Picture:
    """A screen as it looks."""

    name: str
    svg: str


def picture_of(app: RoundsApp, name: str) -> Picture:
    """The screen in front, as its last full frame paints it."""
    size = app.size
    console = Console(
        width=size.width,
        height=size.height,
        file=io.StringIO(),
        force_terminal=True,
        color_system="truecolor",
        record=True,
        legacy_windows=False,
    )
    # as export_screenshot does, which knows of no other frame than that of a window
    console.print(app.screen._compositor.render_update(full=True))
    ground, ink = colours("dark")["background"], colours("dark")["ink"]
    theme = TerminalTheme(_rgb(ground), _rgb(ink), [_rgb(ink)] * 8)
    svg = console.export_svg(
        theme=theme, code_format=SVG.replace("GROUND", ground), unique_id=f"rounds-{name}"
    )
    return Picture(name, "\n".join(line.rstrip() for line in svg.splitlines()) + "\n")


def _rgb(colour: str) -> tuple[int, int, int]:
    """A colour written as #rrggbb."""
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return red, green, blue


async def pictures(driver: Any) -> AsyncIterator[Picture]:
    """Every picture, with the driver standing on the first screen at the start."""
    for name, keys in SCENES.items():
        await press(driver, keys)
        await worked_out(driver)
        yield picture_of(driver.app, name)


async def main() -> None:
    """Write every picture."""
    FOLDER.mkdir(exist_ok=True)
    os.environ.pop("NO_COLOR", None)
    os.environ["TZ"] = "UTC"
    time.tzset()
    clock = SetClock(MORNING)
    with tempfile.TemporaryDirectory(prefix="rounds-pictures-") as folder:
        demo = make_season(Path(folder) / "demo.db")
        async with at_the_keys(RoundsApp(demo, "Keeper", clock), demo, clock) as driver:
            async for picture in pictures(driver):
                (FOLDER / f"{picture.name}.svg").write_text(picture.svg, encoding="utf-8")


if __name__ == "__main__":
    asyncio.run(main())
