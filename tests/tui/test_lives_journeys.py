"""Repotting, dividing and what changed since the last round, by keys, on an invented collection."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.division import DivisionEntered, divide
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.history import HistoryScreen, VisitScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
CAME = TODAY - timedelta(28)


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """S03 and S05 came together and stand at the stair foot; on S05 insects were found."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        came = local_noon(CAME)
        put_place(logbook, came, "porch shelf", PlaceDetails())
        put_place(logbook, came, "stair foot", PlaceDetails(apart=True))
        for code, name in (("S03", "Pintle"), ("S05", "Becket")):
            details = PlantDetails(name=name, size="small", place="stair foot", arrived=CAME)
            add_plant(logbook, came, code, details)
        find = LookEntered(("axils",), 30.0, {"removed": 2})
        enter_look(logbook, local_noon(TODAY - timedelta(3)), "S05", find)
        for code in ("S03", "S05"):
            enter_look(logbook, local_noon(TODAY - timedelta(3)), code, LookEntered((), 60.0))
    return path


async def on_screen(driver: Any, screen: type) -> None:
    await driver.until(lambda: isinstance(driver.app.screen, screen), screen.__name__)


async def on_plant(driver: Any, code: str) -> None:
    """To the page of a plant from the first screen."""
    await driver.shows("today 4 May")
    await driver.press("l", "0", "enter", *code, "enter", "enter")
    await on_screen(driver, PlantScreen)
    await driver.shows(code)


async def form_from(driver: Any, line: str) -> None:
    await driver.press(line, "enter")
    await on_screen(driver, FormScreen)


async def test_repotting_with_the_roots_seen_and_found_infested(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver, "S03")
        await driver.shows("4   repot, check roots", "5   divide")
        await form_from(driver, "4")
        await driver.shows("Repotting changes no dates")
        before = driver.record("S03")
        await driver.press("enter", *"yes", "enter", "enter", *"1:10", "enter", "2", "enter")
        await driver.press("enter", "enter", "enter", *"adult", "enter", "pagedown")
        await driver.shows(
            "repotted; roots out of the pot, 1:10 min, 2", "removed, adult; no dates change"
        )
        assert driver.record("S03").log == before.log
        await driver.press("y")
        await driver.shows("saved: S03 Pintle")
        await driver.press("enter")
        await on_screen(driver, PlantScreen)
        record = driver.record("S03")
        assert record.last_find_on == TODAY
        assert record.standing_since == before.standing_since
        look = record.log[-1]
        assert (look.zone, look.unpotted, look.seconds, look.live()) == ("roots", True, 70.0, 2)


async def test_figures_of_roots_nobody_saw_are_not_taken(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver, "S03")
        await form_from(driver, "4")
        await driver.press("enter", "enter", *"no", "enter", *"70", "pagedown")
        await driver.shows("there are figures of the roots: say yes here")
        await driver.press("n")
        await driver.press(*"yes", "pagedown")
        await driver.shows("write it?")


async def test_neither_repotted_nor_seen_is_nothing_to_keep(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver, "S03")
        await form_from(driver, "4")
        await driver.press("enter", "enter", *"no", "pagedown")
        await driver.shows("Nothing to save for S03")
        await driver.press("q")
        await on_screen(driver, PlantScreen)
        assert len(driver.record("S03").log) == 7


async def test_a_plant_is_divided_and_its_parts_go_on(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver, "S05")
        whole = driver.record("S05")
        await form_from(driver, "5")
        await driver.press("3", "enter", *"S20", "space", *"S21", "enter")
        await driver.press(*"Snotter,Sheet", "enter", *"porch", "enter", "pagedown")
        await driver.shows("S05 Becket into 3 parts, today", "new: S20 Snotter, S21 Sheet")
        await driver.press("y")
        await driver.shows("S05 was divided, today; new: S20, S21")
        await driver.press("enter", "q", "q")
        await on_plant(driver, "S20")
        await driver.shows("Snotter", "porch shelf", "divided from S05 on 4 May",
                           "insects last found 1 May", "day 28 of quarantine")  # fmt: skip
        part = driver.record("S20")
        assert part.log == whole.log
        assert part.streak == whole.streak
        assert part.likely.left.mean == pytest.approx(whole.likely.left.mean / 3)


async def test_a_division_is_taken_back_from_the_history_while_nothing_rests_on_it(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await on_plant(driver, "S05")
        await form_from(driver, "5")
        await driver.press("pagedown", "y")
        await driver.shows("new: S06")
        await driver.press("enter", "1", "enter")
        await on_screen(driver, HistoryScreen)
        await driver.shows("divided into 2 parts, new: S06")
        await driver.press("x")
        await driver.shows("undo: divided into 2 parts, new: S06, today?")
        await driver.press("y")
        await driver.shows("undone: divided into 2 parts")
        await driver.press("q", "q", "0", "enter", *"S06", "enter")
        await driver.shows("no plant S06: enter it as new?")


async def test_what_was_seen_of_the_whole_is_in_the_history_of_a_part_and_put_right_there(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    with Logbook(path, clock) as other:
        divide(other, local_noon(TODAY), "S05", DivisionEntered(2))
    async with opened(path) as driver:
        await on_plant(driver, "S06")
        await driver.shows("1   history, 1 look")
        await driver.press("1", "enter")
        await on_screen(driver, HistoryScreen)
        await driver.shows("S05: 2 removed at axils", "S05: in quarantine: newly arrived")
        lines = driver.app.screen.detail.history
        found = next(n for n, line in enumerate(lines, 1) if line.visit)
        came = next(n for n, line in enumerate(lines, 1) if line.of and line.kind == "came")
        # from here nothing of it is taken back, and nothing asks whether it is
        await driver.press(*str(came), "enter")
        await driver.shows("that belongs to S05, before the division")
        # its visit opens at the plant it is of
        await driver.press(*str(found), "enter")
        await on_screen(driver, VisitScreen)
        await driver.shows("S05  Becket")
        await driver.press("q")
        await on_screen(driver, HistoryScreen)
        await driver.shows("S06")
        await driver.press("x")
        await driver.shows("that belongs to S05, before the division")
        assert driver.record("S05").last_find_on == TODAY - timedelta(3)


async def test_a_division_that_a_look_rests_on_stays(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(path) as driver:
        await on_plant(driver, "S05")
        await form_from(driver, "5")
        await driver.press("pagedown", "y", "enter")
        await on_screen(driver, PlantScreen)
        with Logbook(path, clock) as other:
            enter_look(other, local_noon(TODAY), "S06", LookEntered(("axils",), 20.0))
        await driver.press("x", "y")
        await driver.shows("The division of S05 stays", "S06")


async def test_the_page_of_a_part_closes_when_its_division_is_taken_back_elsewhere(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    with Logbook(path, clock) as other:
        entry = divide(other, local_noon(TODAY), "S05", DivisionEntered(2)).entry
        async with opened(path) as driver:
            await on_plant(driver, "S06")
            await driver.press("1", "enter")
            await on_screen(driver, HistoryScreen)
            withdraw(other, local_noon(TODAY), entry)
            await on_screen(driver, PlantsScreen)
            await driver.shows("2 plants")


async def test_plants_say_what_their_risk_was_and_why_it_is_another(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await driver.shows("today 4 May")
        await driver.press("l")
        await on_screen(driver, PlantsScreen)
        await driver.whole()
        await driver.shows("risk   was", "comes from", "\u2584")
        marked = driver.screen.shown[0]
        was = round(driver.screen.day.before.changes[marked.status.plant_id].was)
        assert f"  {was}  " in driver.row_with(">  1")
        await driver.shows(f"risk was {was} on 1 May; since then: ")
        await driver.press("space")
        await driver.shows(f"risk {round(driver.screen.shown[1].status.risk.value)}: hardly any")


@pytest.mark.parametrize("size", [(60, 20), (40, 24)])
async def test_a_small_page_says_it_in_short(
    path: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(path, size=size) as driver:
        await driver.shows("today 4 May")
        await driver.press("l")
        await driver.whole()
        await driver.shows(" on 1 May: ")
        await driver.press("h")
        await driver.shows("comes from")


async def test_new_plants_of_no_named_source_came_with_nobody(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(path) as driver:
        await driver.shows("today 4 May")
        await driver.press("l", "0", "enter", *"Gaff", "enter", "y")
        await driver.press("pagedown")
        await driver.shows("write it?")
        assert "it came with" not in driver.text
        await driver.press("y", "y")
        await driver.press("down", *"Cleat", "pagedown")
        await driver.shows("write it?")
        assert "came with" not in driver.text
        await driver.press("y")
        assert driver.record("S07").day.came_with(driver.record("S07")) == []
