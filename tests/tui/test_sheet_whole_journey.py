"""A plant the sheet has as one line is typed in as one, and a find on it says where it was."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.core.log.effective import EffectiveLook
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.screens.desk import DeskScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.touring import desk_number

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
YESTERDAY = TODAY - timedelta(days=1)
LONG_AGO = TODAY - timedelta(days=90)
OUTSIDE = ["new-growth", "undersides", "axils", "sheaths", "stem-base", "medium", "pot-rim"]
WEIGHTS = dict(zip(OUTSIDE, (0.15, 0.25, 0.35, 0.10, 0.05, 0.02, 0.03), strict=True))


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """Invented: G05 waits longest; G04 and what comes after get a glance in the time there is."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        put_place(logbook, local_noon(LONG_AGO), "porch shelf", PlaceDetails())
        for code, days in (("G02", 1), ("G04", 4), ("G05", 8)):
            here = PlantDetails(name="Thole", size="small", place="porch shelf", already_here=True)
            add_plant(logbook, local_noon(LONG_AGO), code, here)
            seen = local_noon(YESTERDAY - timedelta(days))
            enter_look(logbook, seen, code, LookEntered((), 60.0))
        logbook.keep_minutes(0.95)
    return path


async def at_the_glance(driver: Any) -> None:
    """Past G05, which goes in zone by zone, to G04."""
    await driver.until(lambda: isinstance(driver.app.screen, TodayScreen), "today")
    await driver.press("0", "enter", *desk_number("from-sheet"), "enter")
    await lines(driver, "yesterday", "Ada")
    await driver.shows("G05  Thole")
    await lines(driver, "z")
    await driver.shows("G04  Thole", "> whole plant")


async def lines(driver: Any, *typed: str) -> None:
    """Each taken by enter; an empty one is enter alone."""
    for line in typed:
        await driver.press(*("space" if c == " " else c for c in line), "enter")


def looks(driver: Any, code: str = "G04") -> dict[str, EffectiveLook]:
    """The looks that stand of the day of the sheet, by zone."""
    return {look.zone: look for look in driver.record(code).log if look.day == YESTERDAY}


def shares(seconds: float, zones: list[str] = OUTSIDE) -> Any:
    whole = sum(WEIGHTS[zone] for zone in zones)
    return pytest.approx({zone: seconds * WEIGHTS[zone] / whole for zone in zones}, abs=1e-3)


def found(driver: Any) -> dict[str, list[tuple[str, int, str | None]]]:
    """What was counted, at the zones at which something was."""
    counts: dict[str, list[tuple[str, int, str | None]]] = {}
    for look in driver.record("G04").log:
        if look.day == YESTERDAY and look.tallies:
            counts.setdefault(look.zone, []).extend(
                (t.kind, t.count, t.stage) for t in look.tallies
            )
    return {zone: sorted(counted, key=str) for zone, counted in counts.items()}


async def test_where_the_plan_has_it_zone_by_zone_the_page_says_how_it_goes_in_as_one(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await driver.until(lambda: isinstance(driver.app.screen, TodayScreen), "today")
        await driver.press("0", "enter", *desk_number("from-sheet"), "enter")
        await lines(driver, "yesterday", "Ada")
        await driver.shows("G05  Thole", "where the sheet has the plant in one line")
        said = " ".join(driver.text.split())
        assert "e eggs; whole where the sheet has the plant in one line" in said


async def test_enter_alone_is_all_of_it_looked_at_for_the_seconds_planned(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await at_the_glance(driver)
        planned = driver.screen.whole_seconds
        assert 0 < planned < 20
        await driver.shows(f"0:{planned:02}, nothing", "c one zone not seen", "- not checked")
        assert "axils" not in driver.text
        await lines(driver, "")
        await driver.shows(f"write G04, 3 May: whole plant, 0:{planned:02}, nothing?")
        assert looks(driver) == {}
        await driver.press("y")
        await driver.shows("saved: G04, whole plant")
        assert {zone: look.seconds for zone, look in looks(driver).items()} == shares(planned)
        assert {look.outcome for look in looks(driver).values()} == {"looked"}
        # back again with all of it
        await lines(driver, "x")
        await driver.shows("> whole plant", "undone: G04")
        assert looks(driver) == {}
        await lines(driver, "-")
        await driver.shows("nothing saved for G04")


async def test_a_find_asks_at_which_zone_and_what_more(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await at_the_glance(driver)
        await lines(driver, "1:24 2fa 1w")
        await driver.shows("2 removed adult, 1 unsure: at which zone?", "3 axils", "7 pot rim",
                           "> at which zone")  # fmt: skip
        for wrong in ("8", "0", "s", "zz"):
            await lines(driver, wrong)
            await driver.shows(f"'{wrong}' is not one of its zones; try 1 to 7")
            await driver.press(*["backspace"] * 2)
        await lines(driver, "3")
        await driver.shows("axils", "2 removed adult, 1 unsure", "> more found", "whole plant")
        await lines(driver, "40")
        await driver.shows("'40' cannot be read: counts such as 2f 1w, or enter alone")
        await driver.press("backspace", "backspace")
        await lines(driver, "1s", "Und", "1d", "axils", "")
        await driver.shows(
            "write G04, 3 May: whole plant, 1:24, 2 removed, 1", "killed, 1 untouched,"
        )
        await driver.press("y")
        await driver.shows(
            "saved: G04, whole plant, 1:24, 2 removed", "alive, not in quarantine yet"
        )
        assert found(driver) == {
            "axils": [("doubtful", 1, None), ("killed", 1, None), ("removed", 2, "adult")],
            "undersides": [("left", 1, None)],
        }
        log = [look for look in driver.record("G04").log if look.day == YESTERDAY]
        assert sum(look.seconds for look in log) == pytest.approx(84, abs=1e-3)


async def test_what_could_not_be_seen_takes_no_seconds(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await at_the_glance(driver)
        await lines(driver, "40 c")
        await driver.shows("couldn't see: at which zone?")
        await lines(driver, "7", "c")
        await lines(driver, "7")
        await driver.shows("pot rim is entered already")
        await driver.press("backspace")
        await lines(driver, "6", "2f", "pot")
        await driver.shows("pot rim is entered already")
        await driver.press(*["backspace"] * 3)
        await lines(driver, "sheaths", "v")
        await driver.shows("whole plant, 0:40, 2 removed, 2 not seen?")
        await driver.press("y")
        await driver.shows("saved: G04, whole plant, 0:40, 2 removed, 2 not seen; alive")
        seen = [zone for zone in OUTSIDE if zone not in ("medium", "pot-rim")]
        kept = looks(driver)
        assert {zone: kept[zone].seconds for zone in seen} == shares(40, seen)
        assert {kept[zone].outcome for zone in ("medium", "pot-rim")} == {"cannot-see"}


async def test_x_takes_back_step_by_step(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await at_the_glance(driver)
        await lines(driver, "2f")
        await lines(driver, "x")
        await driver.shows("undone: 2 removed, not yet at a zone", "> whole plant")
        assert driver.screen.lines == ()
        await lines(driver, "2f", "3", "1w", "x")
        await driver.shows("undone: 1 unsure, not yet at a zone", "> more found")
        await lines(driver, "1w", "4", "")
        await driver.press("n")
        await driver.shows("undone: sheaths", "> more found")
        await lines(driver, "x")
        await driver.shows("undone: axils", "> more found")
        await lines(driver, "x")
        await driver.shows("undone: whole plant", "> whole plant")
        await lines(driver, "1d", "1", "")
        await driver.press("y")
        await driver.shows("saved: G04, whole plant, 0:", "1 killed; alive, not in quarantine yet")
        await lines(driver, "x")
        await driver.shows("undone: G04", "> more found")
        assert looks(driver) == {}


@pytest.mark.parametrize("size", [(80, 24), (40, 24), (60, 20), (40, 12)])
async def test_it_is_gone_on_with_where_it_was_left(
    path: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(path, size=size) as driver:
        await at_the_glance(driver)
        await lines(driver, "50 2f", "3", "1w")
        await driver.shows("> at which zone")
    async with opened(path, size=size) as driver:
        await driver.until(lambda: isinstance(driver.app.screen, TodayScreen), "today")
        await driver.press("0", "enter", *desk_number("from-sheet"), "enter", "y")
        # what was not said of a zone yet is asked about again
        await driver.shows("> at which zone")
        await lines(driver, "x")
        await driver.shows("> more found")
        await lines(driver, "")
        await driver.press("y")
        await driver.until(lambda: bool(looks(driver)), "the looks")
        assert found(driver) == {"axils": [("removed", 2, None)]}
        assert sum(look.seconds for look in looks(driver).values()) == pytest.approx(50, abs=1e-3)


async def test_a_sheet_that_has_it_the_other_way_is_followed(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await at_the_glance(driver)
        await driver.shows("zones  one by one")
        await lines(driver, "zones")
        await driver.shows("G04 goes in zone by zone", "> new growth", "pot rim")
        # said again it changes nothing, with lines there too
        await lines(driver, "5", "zones")
        await driver.shows("G04 goes in zone by zone", "> undersides       0:08   _")
        await lines(driver, "whole")
        await driver.shows("G04 has lines that are not written")
        await driver.press(*["backspace"] * 5)
        await lines(driver, "x", "whole")
        await driver.shows("G04 goes in as one line", "> whole plant")
        # how long is not known: the plan has it zone by zone
        await lines(driver, "")
        await driver.shows("How long did all of it take?")
        await lines(driver, "33")
        await driver.shows("write G04, 3 May: whole plant, 0:33, nothing?")
        await driver.press("y")
        await driver.shows("saved: G04")
        assert {zone: look.seconds for zone, look in looks(driver).items()} == shares(33)
        await lines(driver, "q")
        await driver.until(lambda: isinstance(driver.app.screen, DeskScreen), "the desk")


async def test_a_count_is_not_lost_while_its_zone_is_not_said(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(path) as driver:
        await at_the_glance(driver)
        await lines(driver, "84 2f", "z")
        await driver.shows("G04 has lines that are not written")
        assert driver.app.screen.stage == "where"
        await driver.press("backspace")
        await lines(driver, "q")
        await driver.until(lambda: isinstance(driver.app.screen, DeskScreen), "the desk")
        # a look of that day, entered elsewhere: the numbers stay those of the paper
        with Logbook(path, clock) as logbook:
            entered = LookEntered(("new-growth",), 30.0)
            enter_look(logbook, local_noon(YESTERDAY), "G04", entered)
        await driver.press("enter")
        await driver.shows("go on with the sheet")
        await driver.press("y")
        await driver.until(lambda: driver.app.screen.stage == "where", "the same question")
        await lines(driver, "3")
        assert driver.app.screen.lines[1].zone == "axils"
        assert [c.count for c in driver.app.screen.lines[1].counted] == [2]
