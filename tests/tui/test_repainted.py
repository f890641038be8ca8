"""What stands on the terminal is what the screens show: no row of an earlier page stays."""

from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.tui.app import RoundsApp
from tests.tui.conftest import Driver, at_the_keys
from tests.tui.terminal_of import TerminalOf
from tests.tui.touring import Tour, follow, worked_out
from tests.tui.tours import TOURS

SHRINKING = ("round", "forms")
"""tours on which help closes, questions are answered, lists and what is offered become shorter"""


class Watcher(Driver):
    """A hand that looks at the terminal after each press."""

    terminal: TerminalOf
    looks = False

    def attach(self, patch: pytest.MonkeyPatch) -> None:
        """Write every repaint from now on to a terminal."""
        self.terminal, self.looks = TerminalOf(self.app, patch), True

    async def press(self, *keys: str) -> None:
        """Each key, and a look at the terminal."""
        for key in keys:
            await super().press(key)
            if self.looks and self.app.is_running:
                await self.look_at_it(key)

    async def look_at_it(self, after: str) -> None:
        """All rows of it are those of the page."""
        shown, anew = await self.terminal.shown(), self.terminal.anew()
        assert shown == anew, f"after {after} the terminal shows\n" + "\n".join(shown)


async def test_of_another_size_nothing_stays(
    demo: Path, clock: SetClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with at_the_keys(
        RoundsApp(demo, "Keeper", clock), demo, clock, (80, 24), Watcher
    ) as driver:
        await worked_out(driver)
        driver.attach(monkeypatch)
        for size in ((40, 24), (120, 40), (80, 20), (80, 24)):
            await driver.resize(*size)
            await driver.look_at_it(f"{size}")
            await driver.press("h", "h", ".", "b", "r", "backspace", "q", *["backspace"] * 2)
            await driver.press("enter")


@pytest.mark.parametrize("name", SHRINKING)
async def test_of_no_page_does_anything_stay(
    name: str,
    request: pytest.FixtureRequest,
    clock: SetClock,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    tour: Tour = TOURS[name]
    path = Path(request.getfixturevalue(tour.book))
    app = RoundsApp(path, "Keeper", clock)
    async with at_the_keys(app, path, clock, (80, 24), Watcher) as driver:
        driver.attach(monkeypatch)
        async for _ in follow(tour, driver):
            pass
