"""While a day is worked out the screens are there: keys are answered, and figures fill in."""

import threading
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager, suppress
from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.clock import SetClock
from rounds.errors import Refused
from rounds.service.collection.plants import PlantDetails, add_plant
from rounds.service.day.day import Day
from rounds.service.day.work import DayWork
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import now
from rounds.tui.app import RoundsApp
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.conftest import Opens
from tests.tui.reading import SIZES, complaints

Opened = Callable[..., AbstractAsyncContextManager[Any]]


class Gate:
    """Lets the thread that works a day out go on piece by piece, or all the way."""

    def __init__(self) -> None:
        self._turns = threading.Semaphore(0)
        self._is_open = threading.Event()

    def one_more(self) -> None:
        """Let one piece come."""
        self._turns.release()

    def open(self) -> None:
        """Let all come."""
        self._is_open.set()
        self._turns.release()

    def wait(self) -> None:
        """In the thread: until it may go on."""
        if not self._is_open.is_set():
            self._turns.acquire()


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    """Each piece of a day waits at it."""
    gate, pieces = Gate(), DayWork.pieces

    def one_by_one(work: DayWork) -> Iterator[Day | None]:
        gate.wait()
        for day in pieces(work):
            yield day
            gate.wait()

    monkeypatch.setattr(DayWork, "pieces", one_by_one)
    yield gate
    gate.open()


@pytest.fixture
def held(opened: Opens, gate: Gate, monkeypatch: pytest.MonkeyPatch) -> Opened:
    """The screens on a logbook whose day is not worked out before the gate is opened."""
    monkeypatch.setattr("tests.tui.conftest.Driver.waits", False)

    @asynccontextmanager
    async def open_screens(path: Path) -> AsyncIterator[Any]:
        async with opened(path) as driver:
            try:
                yield driver
            finally:
                # the screens end when the thread has
                gate.open()

    return open_screens


async def test_the_first_screen_answers_keys_before_anything_is_read(
    few: Path, held: Opened, gate: Gate
) -> None:
    async with held(few) as driver:
        await driver.shows("today 4 May", "calculating the plan", "3 plants")
        assert driver.app.is_calculating
        for page in (await driver.pages_at(SIZES)).values():
            assert complaints(page, plain=True) == []
            said = " ".join(page.text().split())
            assert words.say("calculating.plants", plants=3) in said
        await driver.press("h")
        await driver.shows("help")
        await driver.press("h", "m", "7")
        await driver.shows("minutes for the round", "7_")
        await driver.press("backspace", "enter")
        await driver.press("0")
        await driver.shows("enter opens the menu")
        await driver.press("down")
        gate.open()
        await driver.shows("G02  Thole", "enter  begin the round")
        # the days expected come after the plan
        await driver.whole()
        assert "calculating" not in driver.text


async def test_figures_fill_in_as_they_come(few: Path, held: Opened, gate: Gate) -> None:
    async with held(few) as driver:
        gate.one_more()
        # what rests on no inference is there: who stands apart, for how long
        await driver.shows("S03  Pintle   today", "calculating", "calculating the plan")
        for page in (await driver.pages_at(SIZES)).values():
            assert complaints(page, plain=True) == []
        gate.open()
        await driver.whole()
        await driver.shows("S03  Pintle", "84 (68-93)", "all 3 plants fit")
        assert "calculating" not in driver.text


async def test_a_line_that_was_chosen_is_opened_wherever_it_stands_by_then(
    few: Path, held: Opened, gate: Gate, clock: SetClock
) -> None:
    with Logbook(few, clock) as logbook:
        new = PlantDetails(name="Marline", size="small", place="stair foot")
        add_plant(logbook, now(clock), "S09", new)
        enter_look(logbook, now(clock), "S09", LookEntered(("axils",), 30.0, {"left": 9}))
    async with held(few) as driver:
        gate.one_more()
        await driver.shows("1 ║ S03  Pintle", "2 ║ S09  Marline")
        await driver.press("1")
        gate.open()
        await driver.whole()
        await driver.shows("1 ║ S09  Marline", "2 ║ S03  Pintle")
        await driver.press("enter")
        await driver.shows("S03  Pintle", "end quarantine")


async def test_enter_waits_for_the_plan_says_so_and_begins(
    few: Path, held: Opened, gate: Gate
) -> None:
    async with held(few) as driver:
        await driver.press("enter")
        await driver.shows("the round begins as soon as its plan is ready")
        assert isinstance(driver.screen, TodayScreen)
        gate.open()
        await driver.until(lambda: isinstance(driver.screen, RoundScreen), "the round")


async def test_another_key_takes_the_beginning_back(few: Path, held: Opened, gate: Gate) -> None:
    async with held(few) as driver:
        await driver.press("enter", "down")
        assert "the round begins" not in driver.text
        gate.open()
        await driver.whole()
        await driver.shows("enter  begin the round")
        assert isinstance(driver.screen, TodayScreen)


async def test_other_pages_are_reached_and_fill_in_too(few: Path, held: Opened, gate: Gate) -> None:
    async with held(few) as driver:
        await driver.press("l")
        await driver.until(lambda: isinstance(driver.screen, PlantsScreen), "all plants")
        await driver.shows("3 plants", "risk: calculating", "chance clean: soon")
        for page in (await driver.pages_at(SIZES)).values():
            assert complaints(page, plain=True) == []
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.screen, PlantScreen), "the plant")
        await driver.shows("risk: calculating", "streak 0 looks")
        for page in (await driver.pages_at(SIZES)).values():
            assert complaints(page, plain=True) == []
        gate.open()
        await driver.whole()
        assert "calculating" not in driver.text
        await driver.press("q", "q", "1", "enter", "2", "enter")
        await driver.shows("needed before it may rejoin", "unmet")


async def test_leaving_while_it_is_worked_out_ends_the_thread(
    few: Path, held: Opened, gate: Gate
) -> None:
    async with held(few) as driver:
        worker = driver.app.worker
        await driver.press("q")
        await driver.until(lambda: not driver.app.is_running, "an end")
        gate.open()
    assert worker.ended.is_set()


async def test_what_cannot_be_worked_out_is_a_sentence_and_nothing_ends(
    few: Path, held: Opened, gate: Gate, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuses(work: DayWork) -> Iterator[Day | None]:
        yield work.known()
        raise Refused("entries-too-rare", code="G02")

    monkeypatch.setattr(DayWork, "pieces", refuses)
    async with held(few) as driver:
        said = " ".join(str(Refused("entries-too-rare", code="G02")).split()[:5])
        await driver.until(lambda: said in " ".join(driver.text.split()), "the fault")
        await driver.press("down", "enter")
        await driver.until(lambda: said in " ".join(driver.text.split()), "the fault again")
        assert driver.app.is_running
        # the thread tells the fault before it rests
        await driver.until(lambda: not driver.app.is_calculating, "the thread at rest")
        await driver.press("l")
        await driver.shows("3 plants")


async def test_a_fault_of_the_program_in_the_thread_ends_it_as_any_other(
    few: Path, clock: SetClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(work: DayWork) -> Iterator[Day | None]:
        raise ZeroDivisionError("a fault of ours")

    monkeypatch.setattr(DayWork, "pieces", fails)
    app = RoundsApp(few, "Keeper", clock)
    with suppress(Exception):
        async with app.run_test() as pilot:
            for _ in range(500):
                await pilot.pause()
                if app.crash is not None:
                    break
    assert app.crash is not None
    assert "a fault of ours" in app.crash
    assert app.worker is not None
    assert app.worker.ended.is_set()


# other windows


@pytest.mark.usefixtures("polling")
async def test_settings_of_another_window_hold_here(
    few: Path, opened: Opens, clock: SetClock
) -> None:
    async with opened(few) as driver:
        await driver.shows("10 minutes planned", "today 4 May", "q leave")
        with Logbook(few, clock) as other:
            other.keep_minutes(7.0)
            choose(other, "dates", "iso")
            other.put_setting("keys", "right")
        await driver.shows("7 minutes planned", "2026-05-04", "p leave")
        await driver.whole()
        with Logbook(few, clock) as other:
            other.walk_by_risk(True)
        await driver.shows("strictly by risk")


@pytest.mark.usefixtures("polling")
async def test_results_another_window_works_out_repaint_nothing(
    few: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(few) as driver:
        day = driver.screen.day
        with Logbook(few, clock) as other:
            for _ in DayWork(other, clock.today()).pieces():
                pass
        await driver.press("down", "down", "down")
        assert driver.screen.day is day


async def test_after_an_entry_made_here_what_is_seen_is_there_at_once(
    demo: Path, held: Opened, gate: Gate
) -> None:
    async with held(demo) as driver:
        gate.open()
        await driver.whole()
        logbook = driver.app.logbook
        code = next(s.code for s in driver.screen.day.ordered if s.last_find_on is None)
        await driver.press("l", "0", "enter", *code, "enter", "enter")
        before = driver.screen.detail.status
        enter_look(logbook, now(logbook.clock), code, LookEntered((), 200.0))
        driver.screen.reload()
        after = driver.screen.detail.status
        assert after.last_look_on == logbook.clock.today()
        assert (before.risk is None, after.risk is None) == (False, True)
        others = [s for s in driver.screen.day.ordered if s.risk is not None]
        assert others, "what nothing was entered about is shown from what is kept"
        await driver.whole()
        assert driver.screen.detail.status.risk is not None
