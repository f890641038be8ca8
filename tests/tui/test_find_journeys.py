"""Insects alive outside quarantine, and two hands on one logbook, each from the first key on."""

from collections.abc import Callable, Iterator
from contextlib import AbstractAsyncContextManager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.day.at_hand import day_of
from rounds.service.entries.corrections import settle
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon, now
from rounds.service.plant.doubts import open_doubts
from rounds.service.plant.record import PlantRecord
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.today import TodayScreen

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
pytestmark = pytest.mark.usefixtures("polling")


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """G04 touches G02, which was seen whole yesterday; G14 was not for 5 days. Few minutes.

    So G04 and G14 fit into today, and G02 waits.
    """
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        came = local_noon(TODAY - timedelta(40))
        put_place(logbook, came, "porch shelf", PlaceDetails())
        put_place(logbook, came, "stair foot", PlaceDetails(apart=True))
        for code, name in (("G02", "Thole"), ("G04", "Cuddy"), ("G14", "Gimbal")):
            touches = ("G02",) if code == "G04" else None
            here = PlantDetails(name=name, size="small", place="porch shelf",
                                already_here=True, touches=touches)  # fmt: skip
            add_plant(logbook, came, code, here)
        for code, days in (("G02", 1), ("G14", 5)):
            seen = LookEntered((), 60.0)
            enter_look(logbook, local_noon(TODAY - timedelta(days)), code, seen)
        logbook.keep_minutes(1.5)
    return path


@pytest.fixture
def elsewhere(path: Path, clock: SetClock) -> Iterator[Logbook]:
    """Another hand on the same logbook, as a command has it."""
    with Logbook(path, clock) as opened:
        yield opened


def said(driver: Any) -> str:
    """What just happened, in one line."""
    rows = [row.removesuffix("saved").strip() for row in driver.text.splitlines()[17:20]]
    return " ".join(" ".join(rows).split())


def question(driver: Any) -> str | None:
    asked = driver.screen.view.question
    return asked.code if asked else None


def codes(driver: Any) -> list[str]:
    """The plants of the round, in the order they are walked."""
    plants = driver.app.logbook.collection().plants
    return [plants[plant_id].code for plant_id in driver.screen.walk.course.plants]


def found_today(record: PlantRecord) -> int:
    return sum(look.live() for look in record.log if look.day == TODAY)


async def at_g04(driver: Any) -> None:
    await driver.shows("G04  Cuddy", "enter  begin the round")
    await driver.press("enter")
    await driver.shows("plant 1 of 2", "G04  Cuddy")
    assert codes(driver) == ["G04", "G14"]


async def on_screen(driver: Any, screen: type) -> None:
    await driver.until(lambda: isinstance(driver.app.screen, screen), screen.__name__)


# a live find in the round


async def test_a_find_is_put_apart_and_what_it_touched_joins(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await at_g04(driver)
        await driver.look(5, "2", "f")
        await driver.shows("G04 is infested. Quarantine from today?", "p quarantine",
                           "k can't be moved", "z not now", "saved: 2 removed,")  # fmt: skip
        await driver.look(2, "p")
        await driver.shows("║ quarantined today", "stair foot")
        assert said(driver) == (
            "G04 is in quarantine from today: move it to stair foot; G02 touched it: on watch; "
            "nearby, today too: G02; no time today for G14"
        )
        assert codes(driver) == ["G04", "G02"]
        assert [driver.record(code).standing for code in ("G04", "G02", "G14")] == [
            "quarantine", "watch", "collection",
        ]  # fmt: skip
        # the rest of it is looked at all the same, then what it touched
        await driver.look(30, "v")
        await driver.shows("clean your hands before G02 Thole: 2 found alive on G04")
        assert "not quarantined" not in driver.text
        await driver.press("space")
        await driver.shows("plant 2 of 2", "G02  Thole", "○ on watch from today", "it touched G04")
        await driver.look(60, "v")
        await driver.shows("all 2 plants", "2 found alive on 1 plant")
        assert "G14" in driver.row_with("not checked")
        await driver.press("space")
        await driver.shows("clean porch shelf", "2 ║ G04  Cuddy")


async def test_what_cannot_be_moved_is_cleared_around(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await at_g04(driver)
        await driver.look(5, "f", "K")
        await driver.shows("║ quarantined today", "porch shelf")
        assert said(driver).startswith("G04 is in quarantine where it is: make room around it")
        await driver.press("q")
        await driver.shows("2 ║ G04  Cuddy", "make room around it")
        record = driver.record("G04")
        assert (record.standing, record.place_name()) == ("quarantine", "porch shelf")


async def test_a_find_left_for_later_is_put_apart_from_today(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await at_g04(driver)
        await driver.look(5, "s")
        await driver.shows("G04 is infested. Quarantine from today?")
        await driver.press("z")
        assert said(driver) == (
            "G04 not quarantined; stays on Today; nearby, today too: G02; no time today for G14"
        )
        # it is asked once in a round, unless the round is left and come back to
        await driver.press("f")
        assert question(driver) is None
        await driver.press("q")
        await driver.shows("quarantine at once    G04  Cuddy", "due today")
        await driver.press("enter")
        await driver.shows("G04 is infested. Quarantine from today?")
        await driver.press("q")
        await on_screen(driver, TodayScreen)
        line = driver.row_with("quarantine at once").split()[0]
        await driver.press(line, "enter", "p")
        await driver.shows("quarantine G04 from today?", "p quarantine")
        await driver.press("p")
        await driver.shows("║ quarantined today", "G02 touched it")
        await driver.press("q")
        await driver.until(lambda: "quarantine at once" not in driver.text, "nothing waits")
        assert driver.record("G02").standing == "watch"


async def test_put_apart_is_taken_back_whole(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await at_g04(driver)
        await driver.look(5, "f", "p")
        await driver.shows("║ quarantined today")
        await driver.press("x")
        # the find is still there, and it is asked about again
        await driver.shows("in the collection", "porch shelf", "undone: G04 is not in quarantine",
                           "G04 is infested. Quarantine from today?")  # fmt: skip
        assert [driver.record(code).standing for code in ("G04", "G02")] == ["collection"] * 2
        assert driver.record("G04").place_name() == "porch shelf"
        await driver.press("x")
        await driver.until(lambda: question(driver) is None, "the find is withdrawn too")
        assert said(driver) == (
            "undone: 1 removed at new growth; no longer in this round: G02; back in this round: G14"
        )
        assert found_today(driver.record("G04")) == 0


# somebody else writes


async def test_today_shows_what_another_hand_writes(
    path: Path, opened: Opened, elsewhere: Logbook
) -> None:
    async with opened(path) as driver:
        await driver.shows("G04  Cuddy", "l plants")
        assert "unsure speck" not in driver.text
        doubt = LookEntered(("axils",), 9.0, {"doubtful": 1})
        enter_look(elsewhere, now(elsewhere.clock), "G14", doubt)
        await driver.shows("1 unsure speck", "G14  Gimbal", "u unsure")
        elsewhere.keep_minutes(20.0)
        await driver.shows("20 minutes planned", "all 3 plants fit")


async def test_the_ranking_and_a_plant_show_what_another_hand_writes(
    path: Path, opened: Opened, elsewhere: Logbook
) -> None:
    async with opened(path) as driver:
        await driver.press("l", "space")
        await driver.shows("3 plants")
        marked = driver.screen.shown[driver.screen.mark].status.code
        enter_look(elsewhere, now(elsewhere.clock), "G14", LookEntered((), 60.0))

        def is_read() -> bool:
            today = elsewhere.clock.today()
            return any(
                k.status.code == "G14" and k.status.last_look_on == today
                for k in driver.screen.shown
            )

        await driver.until(is_read, "the look of today")
        assert driver.screen.shown[driver.screen.mark].status.code == marked, (
            "the mark stays on its plant"
        )
        new = PlantDetails(name="Toggle", size="small", place="stair foot")
        add_plant(elsewhere, now(elsewhere.clock), "S04", new)
        await driver.shows("4 plants", "S04  Toggle")
        assert isinstance(driver.screen, PlantsScreen)

        await driver.press("0", "enter", *"G02", "enter", "enter")
        await on_screen(driver, PlantScreen)
        await driver.shows("history, 1 look", "no insects ever found")
        finds = LookEntered(("axils",), 20.0, {"killed": 2})
        enter_look(elsewhere, now(elsewhere.clock), "G02", finds)
        await driver.shows("newest entry: 2 killed at axils", "insects last found today",
                           "history, 2 looks")  # fmt: skip


async def test_the_round_shows_what_another_hand_writes(
    path: Path, opened: Opened, elsewhere: Logbook
) -> None:
    doubt = LookEntered(("new-growth",), 9.0, {"doubtful": 1})
    enter_look(elsewhere, local_noon(TODAY - timedelta(1)), "G04", doubt)
    async with opened(path) as driver:
        await driver.shows("enter  begin the round")
        await driver.press("enter")
        await driver.shows("unsure since 3 May at new growth: what is it today?")
        (line,) = open_doubts(day_of(elsewhere, TODAY).ordered)
        settle(elsewhere, now(elsewhere.clock), line.entry, "remains")
        await driver.until(lambda: question(driver) is None, "the question is answered")
        # the round goes on as it was
        await driver.look(3, "f")
        await driver.shows("G04 is infested. Quarantine from today?", "1 found")


# two windows


async def test_a_second_window_is_told_who_walks_and_may_take_over(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(path) as first:
        await at_g04(first)
        await first.look(5, "f", "z")
        clock.instant += timedelta(minutes=4)
        async with opened(path, who="Second Keeper") as second:
            await second.shows("a round is under way")
            await second.press("enter")
            await second.shows("Keeper has been walking this round since 9:00, now at G04,",
                               "y take over", "n let it go on there")  # fmt: skip
            await second.press("n")
            await second.until(lambda: "take over" not in second.text, "left there")
            assert isinstance(second.screen, TodayScreen)
            # the first goes on as before
            await first.press("f")
            await first.shows("saved: 1 removed, new growth of", "2 found")
            await second.press("enter", "Y")
            await on_screen(second, RoundScreen)
            await second.shows("G04  Cuddy", "2 found")

            # the first is told without a key, and writes nothing
            await first.until(
                lambda: "Second Keeper has been walking" in first.text, "the first is told"
            )
            assert "Second Keeper has been walking this round since 9:04" in said(first)
            assert "saved" not in first.text
            await first.press("f", "3", "d", "space", "v", "x")
            assert "Second Keeper has been walking this round" in said(first)
            assert found_today(second.record("G04")) == 2

            await second.press("z")
            await second.look(6, "d")
            await second.shows("saved: 1 killed, new growth of", "3 found")
            await first.shows("3 found")
            await second.look(20, "space")
            await first.shows("> undersides")
            await second.press("q")
            await on_screen(second, TodayScreen)
        # nobody else walks it now: it goes on here, at the zone it was left at
        await first.press("f")
        await first.until(lambda: found_today(first.record("G04")) == 4, "it is walked here")
        assert first.record("G04").log[-1].zone == "undersides"


async def test_the_cautions_of_a_stop_are_never_cut(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await at_g04(driver)
        await driver.look(5, "f", "p")
        await driver.look(30, "v")
        await driver.shows("clean your hands before G02 Thole")
        cautions = ("swab", "hands", "tools", "fresh air", "children")
        for size in ((40, 12), (40, 16), (40, 20), (40, 24), (60, 20), (80, 12), (80, 22)):
            await driver.resize(*size)
            said = driver.text
            # where rows are few it says how many are below, and they come with page down
            assert "more below" not in said or size[1] == 12, said
            while "more below" in driver.text:
                before = driver.text
                await driver.press("pagedown")
                assert driver.text != before, before
                said += driver.text
            assert ".." not in said, said
            for caution in cautions:
                assert caution in " ".join(said.split()), said
