"""The screens as a test drives them: keys in, text and log out, under a clock that stands."""

import time
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

import pytest
from textual.pilot import Pilot

from rounds.clock import SetClock
from rounds.service.demo import make_demo
from rounds.service.logbook import Logbook
from rounds.service.standing import PlantRecord
from rounds.tui.app import RoundsApp
from rounds.tui.page import Page
from rounds.tui.screens.sheet_screen import SheetScreen

TRIES = 200
MORNING = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)


class Driver:
    """A hand at the keys and an eye on the page."""

    def __init__(
        self, app: RoundsApp, pilot: Pilot[None], reader: Logbook, clock: SetClock
    ) -> None:
        self.app = app
        self.clock = clock
        self._pilot = pilot
        self._reader = reader

    @property
    def screen(self) -> SheetScreen:
        """The screen in front."""
        assert isinstance(self.app.screen, SheetScreen)
        return self.app.screen

    @property
    def page(self) -> Page:
        """The page shown."""
        return self.screen.sheet.page

    @property
    def text(self) -> str:
        """The page as plain text."""
        return self.page.text() if isinstance(self.app.screen, SheetScreen) else ""

    async def press(self, *keys: str) -> None:
        """One key after the other, each done with before the next."""
        for key in keys:
            await self._pilot.press(key)
            await self._pilot.pause()

    async def look(self, seconds: float, *keys: str) -> None:
        """Time goes by, then keys."""
        self.clock.seconds += seconds
        await self.press(*keys)

    async def resize(self, width: int, height: int) -> None:
        """Another size of terminal."""
        await self._pilot.resize_terminal(width, height)
        await self._pilot.pause()

    async def until(self, holds: Callable[[], bool], what: str = "the condition") -> None:
        """Wait for a condition, and fail with the page where it never holds."""
        for _ in range(TRIES):
            if holds():
                return
            await self._pilot.pause()
        pytest.fail(f"{what} never held; the page was:\n{self.text}")

    async def shows(self, *texts: str) -> None:
        """Wait until the page says all of this."""
        await self.until(lambda: all(text in self.text for text in texts), f"{texts} on the page")

    def row_with(self, text: str) -> str:
        """The one row that says it."""
        found = [row for row in self.text.splitlines() if text in row]
        assert len(found) == 1, f"{text!r} stands on {len(found)} rows of\n{self.text}"
        return found[0]

    def record(self, code: str) -> PlantRecord:
        """What the file says of a plant, read through a connection of its own."""
        plant = self._reader.collection().plant(code)
        assert plant is not None
        return PlantRecord(self._reader, plant, self.clock.today())


class Opens(Protocol):
    """Opens the screens on a logbook."""

    def __call__(
        self, path: Path, size: tuple[int, int] = (80, 24)
    ) -> AbstractAsyncContextManager[Driver]:
        """Until the block is left."""


@pytest.fixture(autouse=True)
def _at_greenwich(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Local days do not depend on where the tests run, nor colour on how."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def clock() -> SetClock:
    """A clock that stands at nine on 4 May 2026."""
    return SetClock(MORNING)


@pytest.fixture
def opened(clock: SetClock) -> Opens:
    """The screens, opened on a logbook and painted once."""

    @asynccontextmanager
    async def open_screens(path: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Driver]:
        app = RoundsApp(path, "Keeper", clock)
        async with app.run_test(size=size) as pilot:
            with Logbook(path, clock) as reader:
                driver = Driver(app, pilot, reader, clock)
                await driver.until(lambda: " leave" in driver.text, "a page with keys")
                yield driver

    return open_screens


@pytest.fixture
def demo(tmp_path: Path, clock: SetClock) -> Path:
    """A fresh copy of the invented season."""
    return make_demo(tmp_path / "demo.db", clock).path


@pytest.fixture
def keys_named() -> Callable[[Page], set[str]]:
    """The keys a page prints as keys: bold, alone or several in a row."""

    def named(page: Page) -> set[str]:
        return {
            key
            for cells in page.rows
            for cell in cells
            if cell.role == "strong"
            for key in cell.text.split()
        }

    return named
