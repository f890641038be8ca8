"""The screens as a test drives them: keys in, text and log out, under a clock that stands."""

import asyncio
import fcntl
import shutil
import time
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Iterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Protocol

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.day.day import Day
from rounds.service.demo import make_demo
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon, now
from rounds.service.plant.record import PlantRecord
from rounds.tui.app import RoundsApp
from rounds.tui.page import Page
from rounds.tui.screens.frame import Frame
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.today import TodayScreen
from tests.conftest import MadeOnce
from tests.days import whole_morning
from tests.tui.quiet import key_event, quiet, resize, resize_front
from tests.tui.seen import seen
from tests.tui.sparing import paint, spare

PATIENCE_SECONDS, TRIES = 120.0, 200
POLL_SECONDS = 0.02
BETWEEN_TRIES = 0.005
"""seconds in which timers of the app may run out"""
MORNING = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)


class Driver:
    """A hand at the keys and an eye on the page."""

    waits = True
    """each press waits until the day is whole; else it is seen as it comes"""

    def __init__(self, app: RoundsApp, reader: Logbook, clock: SetClock) -> None:
        self.app = app
        self.path = reader.file.path
        self.clock = clock
        self._reader = reader

    @property
    def screen(self) -> PageScreen:
        """The screen in front."""
        assert isinstance(self.app.screen, PageScreen)
        return self.app.screen

    @property
    def page(self) -> Page:
        """The page shown."""
        paint(self.screen)
        return seen(self.screen)

    @property
    def text(self) -> str:
        """The page as plain text."""
        return self.page.text() if isinstance(self.app.screen, PageScreen) else ""

    async def press(self, *keys: str) -> None:
        """One key after the other, each done with before the next."""
        for key in keys:
            event = key_event(key)
            event.set_sender(self.app)
            self.app.post_message(event)
            await quiet(self.app)
            if self.waits:
                await self.whole()

    async def whole(self) -> None:
        """Wait until all that is shown of today is worked out."""
        if self._is_calculating():
            await self.until(lambda: not self._is_calculating(), "the whole day")
        await quiet(self.app)

    def _is_calculating(self) -> bool:
        return self.app.is_running and self.app.is_calculating

    async def look(self, seconds: float, *keys: str) -> None:
        """Time goes by, then keys."""
        self.clock.seconds += seconds
        await self.press(*keys)

    async def resize(self, width: int, height: int) -> None:
        """Another size of terminal."""
        await resize(self.app, width, height)
        await self.until(lambda: self.app.screen.size == (width, height), "the new size")

    async def page_at(self, width: int, height: int) -> Page:
        """The page at another size of terminal."""
        (found,) = (await self.pages_at([(width, height)])).values()
        return found

    async def pages_at(self, sizes: Iterable[tuple[int, int]]) -> dict[tuple[int, int], Page]:
        """The page at each size of terminal, to which a screen of the desk is laid out."""
        screen = self.screen
        if isinstance(screen, Frame) and screen.is_painted and not screen.helping:
            return {size: screen.page(*size) for size in sizes}
        before, found = self.app.size, {}
        for size in dict.fromkeys(sizes):
            # what lies behind is not seen, and would be laid out to each size too
            await resize_front(self.app, *size)
            if self.waits:
                await self.whole()
            found[size] = self.page
        await resize_front(self.app, *before)
        return found

    async def until(self, holds: Callable[[], bool], what: str = "the condition") -> None:
        """Wait for a condition, and fail with the page where it never holds."""
        # both: a machine that stood still for a while has not had its tries yet
        tries, end = 0, time.monotonic() + PATIENCE_SECONDS
        while tries < TRIES or time.monotonic() < end:
            if holds():
                return
            tries += 1
            await quiet(self.app)
            await asyncio.sleep(BETWEEN_TRIES)
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
        return record_of(self._reader, plant, self.clock.today())


@asynccontextmanager
async def at_the_keys(
    app: RoundsApp,
    path: Path,
    clock: SetClock,
    size: tuple[int, int] = (80, 24),
    hand: type[Driver] = Driver,
) -> AsyncIterator[Any]:
    """An app that runs and is painted once, as `hand` drives it, until the block is left."""
    async with app.run_test(size=size):
        with Logbook(path, clock) as reader:
            driver = hand(app, reader, clock)
            await driver.until(lambda: " leave" in driver.text, "a page with keys")
            if driver.waits:
                await driver.whole()
            yield driver


class Opens(Protocol):
    """Opens the screens on a logbook."""

    def __call__(
        self, path: Path, size: tuple[int, int] = (80, 24), who: str = "Keeper"
    ) -> AbstractAsyncContextManager[Driver]:
        """Until the block is left."""


@pytest.fixture(scope="session", autouse=True)
def _sparing() -> Iterator[None]:
    """What need not be done at each step or start is done once."""
    with pytest.MonkeyPatch.context() as patch:
        spare(patch)
        yield


@pytest.fixture(autouse=True)
def _at_greenwich(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Local days do not depend on where the tests run, nor colour on how."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.delenv("ROUNDS_COLOURS", raising=False)
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture(autouse=True)
def _no_second_looks_by_chance(monkeypatch: pytest.MonkeyPatch) -> None:
    """Which zones ask for one is drawn anew for each logbook: here all of them do, or none."""
    monkeypatch.setattr("rounds.service.round.second_look.is_drawn", lambda *drawn: drawn[-1] == 1)


@pytest.fixture
def clock() -> SetClock:
    """A clock that stands at nine on 4 May 2026."""
    return SetClock(MORNING)


@pytest.fixture
def opened(clock: SetClock) -> Opens:
    """The screens, opened on a logbook and painted once."""

    @asynccontextmanager
    async def open_screens(
        path: Path, size: tuple[int, int] = (80, 24), who: str = "Keeper"
    ) -> AsyncIterator[Driver]:
        async with at_the_keys(RoundsApp(path, who, clock), path, clock, size) as driver:
            yield driver

    return open_screens


Rows = Callable[[Day, tuple[int, int]], Awaitable[list[str]]]
"""The rows of the first screen at a size, as it shows a day."""


@pytest.fixture
def rows_of_today(opened: Opens, logbook: Logbook) -> Rows:
    """What the first screen says of a day of the logbook, whatever is known of it by now."""

    async def rows(day: Day, size: tuple[int, int]) -> list[str]:
        async with opened(logbook.file.path, size=size) as driver:
            screen = driver.screen
            assert isinstance(screen, TodayScreen)
            screen.day = day
            screen.paint()
            # what is laid out anew is painted in the turn after
            await driver.resize(*size)
            await driver.whole()
            return [line.rstrip() for line in driver.text.splitlines()]

    return rows


@pytest.fixture(scope="session")
def season(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The invented season with all that is inferred from it worked out: made by one worker."""
    kept = tmp_path_factory.getbasetemp()
    if worker_id != "master":
        # the folder of each worker lies in that of the run
        kept = kept.parent
    season = kept / "season.db"
    with (kept / "season.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not season.exists():
            make_season(kept / "new.db").rename(season)
    return season


def make_season(path: Path) -> Path:
    """The season with all of today and of its plants worked out, as it is in the morning."""
    clock = SetClock(MORNING)
    make_demo(path, clock)
    with Logbook(path, clock) as logbook:
        whole_morning(logbook, clock.today())
    return path


@pytest.fixture
def demo(tmp_path: Path, season: Path) -> Path:
    """A fresh copy of the invented season, as it is in the morning."""
    return Path(shutil.copy(season, tmp_path / "demo.db"))


@pytest.fixture
def few(tmp_path: Path, clock: SetClock, made_once: MadeOnce) -> Path:
    """Two plants of the collection, which touch, and a newcomer apart."""

    def make(logbook: Logbook) -> None:
        _put_few(logbook, now(clock))

    return made_once("few", clock, make, tmp_path / "few.db")


@pytest.fixture
def few_for_long(tmp_path: Path, clock: SetClock, made_once: MadeOnce) -> Path:
    """The same three, which came some weeks ago."""

    def make(logbook: Logbook) -> None:
        _put_few(logbook, local_noon(clock.today() - timedelta(days=24)))

    return made_once("few-for-long", clock, make, tmp_path / "few.db")


def _put_few(logbook: Logbook, moment: Moment) -> None:
    put_place(logbook, moment, "porch shelf", PlaceDetails())
    put_place(logbook, moment, "stair foot", PlaceDetails(apart=True))
    for code, name in (("G02", "Thole"), ("G04", "Cuddy")):
        touches = ("G02",) if code == "G04" else None
        here = PlantDetails(name=name, size="small", place="porch shelf", spot="spot 1",
                            already_here=True, touches=touches)  # fmt: skip
        add_plant(logbook, moment, code, here)
    new = PlantDetails(name="Pintle", size="small", form="rosette", place="stair foot")
    add_plant(logbook, moment, "S03", new)


@pytest.fixture
def empty(tmp_path: Path) -> Path:
    """Where a logbook is made when the screens open it."""
    return tmp_path / "new.db"


@pytest.fixture
def book(request: pytest.FixtureRequest) -> Path:
    """A logbook by the name of its fixture."""
    return Path(request.getfixturevalue(request.param))


@pytest.fixture
def polling(monkeypatch: pytest.MonkeyPatch) -> None:
    """The screens ask often whether others have written."""
    monkeypatch.setattr("rounds.tui.app.POLL_SECONDS", POLL_SECONDS)


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


@pytest.fixture
def on_plants(
    opened: Callable[..., AbstractAsyncContextManager[Any]],
) -> Callable[..., AbstractAsyncContextManager[Any]]:
    """The screen of all plants, pushed on the app."""

    @asynccontextmanager
    async def open_plants(path: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Any]:
        async with opened(path, size=size) as driver:
            driver.app.push_screen(PlantsScreen(driver.app.logbook))
            await driver.until(lambda: isinstance(driver.app.screen, PlantsScreen), "all plants")
            await driver.shows(" by risk")
            yield driver

    return open_plants
