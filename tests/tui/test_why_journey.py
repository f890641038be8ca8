"""Why a figure is what it is, on the page of a plant and on that which ends its quarantine."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any, Protocol

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import plant_gone
from rounds.service.day.work import DayWork
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.moved import Moved
from rounds.service.inference.why import HoldsDown, Sooner, Why
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon, now
from rounds.store import derived
from rounds.tui.page import Page
from rounds.tui.screens.history import HistoryScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.release import ReleaseScreen
from tests.tui.reading import SIZES, complaints

Opened = Callable[..., AbstractAsyncContextManager[Any]]
MOST = Why(
    holds_down=(
        HoldsDown("last-find", 31.6, "last find 9 days, 90 degree-days ago", "found 9 days ago"),
        HoldsDown("roots-unseen", 12.4, "roots unchecked", "roots unchecked"),
        HoldsDown("few-looks", 0.6, "looks on only 3 of 9 days", "few looks"),
        HoldsDown("arrivals", 0.4, "insects that wander in", "insects that wander in"),
    ),
    sooner=(),
)


async def on_plant(driver: Any, code: str) -> None:
    screen = PlantScreen(driver.app.logbook, code)
    driver.app.push_screen(screen)
    await driver.until(lambda: driver.app.screen is screen, "the plant")
    await driver.whole()


async def test_both_pages_say_what_holds_it_down_and_what_would_be_sooner(
    demo: Path, opened: Opened
) -> None:
    async with opened(demo) as driver:
        await on_plant(driver, "G11")
        await driver.shows("held down by: S03 nearby: ", "sooner: ", " with looks daily")
        held, sooner = driver.row_with("held down by: "), driver.row_with("sooner: ")
        await driver.press("h")
        await driver.shows("S03 nearby in quarantine", "looks twice as long", "closes this")
        await driver.press("h", "2", "enter")
        await driver.until(lambda: isinstance(driver.screen, ReleaseScreen), "the release")
        await driver.shows(held.strip(), sooner.strip())


@pytest.fixture
def unasked(demo: Path, clock: SetClock) -> Path:
    """The demo, of which nothing is worked out yet."""
    with Logbook(demo, clock) as logbook:
        derived.forget_all(logbook.file)
    return demo


async def test_it_is_worked_out_for_the_plant_whose_page_is_open_and_for_no_other(
    unasked: Path, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked_out, why = [], DayWork.why

    def counted(work: DayWork, plant_id: int) -> Any:
        worked_out.append(plant_id)
        return why(work, plant_id)

    monkeypatch.setattr(DayWork, "why", counted)
    async with opened(unasked) as driver:
        assert worked_out == []
        await on_plant(driver, "G05")
        await driver.shows("held down by: ")
        assert worked_out == [driver.record("G05").plant.id]
        # its history needs none of it, and back on the page it is known
        await driver.press("1", "enter")
        await driver.until(lambda: isinstance(driver.screen, HistoryScreen), "the history")
        await driver.press("q")
        await driver.shows("held down by: ")
        assert len(worked_out) == 1


async def test_calculating_until_it_is_there_and_anew_after_a_look(
    unasked: Path, opened: Opened, clock: SetClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    is_held, why = [True], DayWork.why

    def later(work: DayWork, plant_id: int) -> Any:
        return iter(()) if is_held[0] else why(work, plant_id)

    monkeypatch.setattr(DayWork, "why", later)
    async with opened(unasked) as driver:
        await on_plant(driver, "G11")
        await driver.shows("held down by: calculating")
        is_held[0] = False
        enter_look(driver.app.logbook, now(clock), "G11", LookEntered((), 180.0))
        driver.screen.reload()
        await driver.whole()
        await driver.shows("held down by: S03 nearby")
        assert "calculating" not in driver.text


async def test_of_a_plant_that_is_gone_nothing_is_asked(demo: Path, opened: Opened) -> None:
    async with opened(demo, size=(120, 40)) as driver:
        plant_gone(driver.app.logbook, now(driver.clock), "G11", "died")
        await on_plant(driver, "G11")
        await driver.shows("gone")
        assert "held down by" not in driver.text
        assert "calculating" not in driver.text
        # nor is said how well one sees what nobody looks at any more
        assert "your eye" not in driver.text
        await on_plant(driver, "S03")
        await driver.shows("your eye")


class Shown(Protocol):
    """The pages of S03 in every size, with reasons given to it."""

    async def __call__(self, why: Why, kind: str) -> list[Page]:
        """Of a plant, or of its release."""


@pytest.fixture
def shown(few: Path, clock: SetClock, opened: Opened) -> Shown:
    """S03 came two days ago and was looked at daily."""
    with Logbook(few, clock) as logbook:
        for number in range(3):
            moment = local_noon(clock.today() + timedelta(number))
            enter_look(logbook, moment, "S03", LookEntered((), 200.0))
    clock.instant += timedelta(2)

    async def pages(why: Why, kind: str) -> list[Page]:
        # so high that the curve is known, which is asked for anew where it is not
        async with opened(few, (120, 40)) as driver:
            if kind == "plant":
                await on_plant(driver, "S03")
                detail = driver.screen.detail
                driver.screen.detail = replace(detail, status=replace(detail.status, why=why))
            else:
                driver.app.push_screen(ReleaseScreen(driver.app.logbook, "S03"))
                await driver.whole()
                status = driver.screen.status
                told = replace(why, course=status.why.course)
                driver.screen.status = replace(status, why=told)
            driver.screen.paint()
            return list((await driver.pages_at(SIZES)).values())

    return pages


@pytest.mark.parametrize("kind", ["plant", "release"])
async def test_points_are_whole_the_word_once_and_less_than_half_a_point_is_not_told(
    shown: Shown, kind: str
) -> None:
    for page in await shown(MOST, kind):
        assert complaints(page, plain=True) == []
        text = " ".join(page.text().split())
        assert "wander in" not in text
        if page.is_wide and "what holds the chance clean down" not in text:
            assert "held down by: found 9 days ago: 32 points; roots unchecked: 12" in text
            assert ("few looks: 1" in text) is (page.width >= 100), "told whole, or not at all"
            # what each of them hides in part is the same: they do not add up
            assert "(overlap)" in text


async def test_in_columns_a_large_page_says_it_in_full(shown: Shown) -> None:
    (large,) = [page for page in await shown(MOST, "plant") if page.is_spread and page.height >= 34]
    assert "what holds the chance clean down; these overlap" in large.text()
    assert ".." not in large.text()
    assert "32 points" in large.text()
    assert "  1 point\n" in large.text()


@pytest.mark.parametrize("kind", ["plant", "release"])
async def test_what_moved_the_day_and_what_is_sooner_are_told(shown: Shown, kind: str) -> None:
    day = date(2026, 5, 28)
    moved = Moved(date(2026, 5, 5), day, "on 5 May it was 28 May; since then: colder")
    daily = replace(MOST, sooner=(Sooner("daily-looks", day, "looks daily"),), moved=moved)
    for page in await shown(daily, kind):
        assert complaints(page, plain=True) == []
        if page.is_wide and page.height >= 24:
            assert "on 5 May it was 28 May; since then: colder" in page.text()
        if page.is_spread and page.height >= 34 and kind == "plant":
            assert "what would be sooner" in page.text()
        elif page.is_wide and page.height >= 24 and kind == "release":
            assert "sooner: 28 May with looks daily" in page.text()


async def test_the_day_named_is_told_with_what_it_holds_if(shown: Shown) -> None:
    named = date(2026, 6, 3)
    ways = (
        Sooner("daily-looks", date(2026, 5, 28), "looks daily"),
        Sooner("move-away", named, "it is moved away from S09"),
    )
    for page in await shown(replace(MOST, sooner=ways), "release"):
        assert complaints(page, plain=True) == []
        if page.width >= 80 and page.height >= 24:
            assert "3 June only if it is moved away from S09" in page.text()


async def test_the_warmth_says_its_exemption_before_it_applies(shown: Shown) -> None:
    for page in await shown(MOST, "release"):
        if page.height >= 24:
            assert "or 99 in 100" in page.text()
        if page.is_wide:
            assert "or 99 in 100 where nothing was ever found" in page.text()
