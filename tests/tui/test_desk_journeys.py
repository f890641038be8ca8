"""What a grower does with the screens from the first key to the last, on an invented collection."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.clock import SetClock
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    move_plant,
    put_place,
)
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.record import PlantRecord
from rounds.tui.page import THIRD
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from rounds.tui.screens.release import ReleaseScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.today import TodayScreen

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
CAME = TODAY - timedelta(70)
OUTSIDE = 7
"""Zones of a leafy plant that are looked at in every round."""


def looked(logbook: Logbook, code: str, days_ago: int, *zones: str, **said: Any) -> None:
    """A look some days ago; without zones one of the whole plant, long enough to be complete."""
    moment = local_noon(TODAY - timedelta(days_ago))
    enter_look(logbook, moment, code, LookEntered(zones, said.pop("seconds", 60.0), **said))


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """G04 touches G02 on the shelf, G14 stands by itself; G11 and S03 stand apart.

    G11 was clean for weeks and its roots were seen; on S03 insects were found ten days ago. Both
    came from the shelf.
    """
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        came = local_noon(CAME)
        put_place(logbook, came, "porch shelf", PlaceDetails())
        put_place(logbook, came, "stair foot", PlaceDetails(apart=True))
        for number, (code, name) in enumerate(
            (("G02", "Thole"), ("G04", "Cuddy"), ("G14", "Gimbal"), ("G11", "Bollard"),
             ("S03", "Pintle")), 1
        ):  # fmt: skip
            details = PlantDetails(name=name, size="small", place="porch shelf",
                                   spot=f"spot {number}", already_here=True,
                                   touches=("G02",) if code == "G04" else None)  # fmt: skip
            add_plant(logbook, came, code, details)
        for code, days_ago, found_ago in (("G11", 56, 54), ("S03", 20, 10)):
            move_plant(logbook, local_noon(TODAY - timedelta(days_ago)), code, "stair foot")
            looked(logbook, code, found_ago, "axils", seconds=30.0, counts={"removed": 2})
            for days in range(found_ago - 1, 0, -2):
                looked(logbook, code, days)
        looked(logbook, "G11", 5, "roots", seconds=60.0, unpotted=True)
        looked(logbook, "G14", 5)
        looked(logbook, "G02", 1)
    return path


def said(driver: Any) -> str:
    """What just happened, in one line."""
    rows = [row.removesuffix("saved").strip() for row in driver.text.splitlines()[18:20]]
    return " ".join(rows).strip()


def live(record: PlantRecord) -> int:
    return sum(look.live() for look in record.log if look.day == record.on)


def view_of(driver: Any) -> Any:
    assert isinstance(driver.screen, RoundScreen)
    return driver.screen.view


async def on_screen(driver: Any, screen: type) -> None:
    await driver.until(lambda: isinstance(driver.app.screen, screen), screen.__name__)


async def minutes(driver: Any, typed: str) -> None:
    await driver.press("m", *typed, "enter")
    await driver.shows("from now on")


async def begin(driver: Any) -> None:
    await driver.shows("enter  begin the round")
    await driver.press("enter")
    await driver.shows("plant 1 of ")


async def rest_of_plant(driver: Any, seconds: float = 60.0) -> None:
    """One press for all that is left of a plant, and past the stop after it."""
    await driver.look(seconds, "v")
    if view_of(driver).stage == "hygiene":
        await driver.press("space")


# the daily round


async def test_a_timed_round_today_and_the_one_of_tomorrow(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(path) as driver:
        await driver.shows("today 4 May", "10 minutes planned", "all 5 plants fit")
        await minutes(driver, "3")
        # nobody else is due: G04 was never seen
        await driver.shows("3 minutes planned", "G04  Cuddy", "first: never fully checked")
        steps = {p.status.code: len(p.steps) for p in driver.screen.day.plan.plan}
        planned = list(steps)
        waits = sorted(left.status.code for left in driver.screen.day.plan.left_out)
        assert "G04" in planned
        assert "G02" in waits
        await begin(driver)
        await driver.shows(f"plant 1 of {len(planned)}", "0:00 of 3:00")
        for code in planned:
            assert view_of(driver).plant.code == code
            for _ in range(steps[code]):
                await driver.look(50, "space")
            if view_of(driver).stage == "hygiene":
                # a stop is no time spent looking
                await driver.look(50, "space")
        walked = 50 * sum(steps.values())
        await driver.shows(
            f"all {len(planned)} plants", f"{walked // 60}:{walked % 60:02} of 3:00",
            "nothing alive seen",
        )  # fmt: skip
        assert sorted(driver.row_with("not checked").split("plants: ")[1].split(", ")) == waits
        await driver.press("space")
        await on_screen(driver, TodayScreen)
        for code in planned:
            looks = [look for look in driver.record(code).log if look.day == TODAY]
            assert len({look.zone for look in looks}) == OUTSIDE
            assert sum(look.seconds for look in looks) == pytest.approx(50 * steps[code], abs=0.1)
            assert driver.record(code).last_complete_look_on == TODAY
    clock.instant += timedelta(days=1)
    async with opened(path) as driver:
        await driver.shows("today 5 May", "you take ", "3 minutes planned")
        # a pace slower than planned was kept: the same minutes hold less
        await minutes(driver, "6")
        # of those not in quarantine comes what waited yesterday
        tomorrow = {
            p.status.code for p in driver.screen.day.plan.plan if p.status.standing != "quarantine"
        }
        assert tomorrow
        assert tomorrow <= set(waits)


async def test_a_quick_tally_while_removing(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await begin(driver)
        while view_of(driver).plant.code != "S03":
            await rest_of_plant(driver)
        await driver.shows("S03  Pintle", "║ day 20 of quarantine")

        async def counted(*keys: str) -> dict[str, int]:
            await driver.look(2, *keys)
            counts = view_of(driver).zone.counts
            rows = {"removed": counts.removed, "killed": counts.killed,
                    "untouched": counts.left, "unsure": counts.doubtful}  # fmt: skip
            for name, count in rows.items():
                # each beside its key
                named = [row[THIRD + 2 :] for row in driver.text.splitlines()]
                found = [row.split()[-1] for row in named if row.startswith(f"{name} ")]
                assert found == [str(count)], name
            return {name: count for name, count in rows.items() if count}

        for count in (1, 2, 3):
            assert await counted("f") == {"removed": count}
        assert await counted("a") == {"removed": 3}
        assert said(driver) == "saved: 1 removed, adult, new growth of S03"
        await driver.press("1", "2")
        await driver.shows("number: 12")
        assert await counted("d", "t") == {"removed": 3, "killed": 12}
        assert said(driver) == "saved: 12 killed, young, new growth of S03"
        # a wrong figure, a wrong stage and a wrong kind are taken back one by one
        assert await counted("7", "x") == {"removed": 3, "killed": 12}
        assert said(driver) == "number cleared"
        assert await counted("s", "e") == {"removed": 3, "killed": 12, "untouched": 1}
        await driver.press("x")
        assert said(driver) == "undone: stage eggs"
        assert await counted("x") == {"removed": 3, "killed": 12}
        assert said(driver) == "undone: 1 untouched at new growth"
        assert await counted("2", "w") == {"removed": 3, "killed": 12, "unsure": 2}
        # a key held down is taken back as one
        assert await counted(*"fffff") == {"removed": 8, "killed": 12, "unsure": 2}
        await driver.press("x")
        await driver.shows("5 removed in 0.0 s: key held down? undo all 5?")
        assert await counted("y") == {"removed": 3, "killed": 12, "unsure": 2}

        await driver.look(20, "space")
        await driver.shows("saved: new growth of S03, 15 found alive")
        await rest_of_plant(driver)
        while view_of(driver).stage != "end":
            await rest_of_plant(driver)
        await driver.shows("15 found alive on 1 plant")
        assert driver.row_with("15 found, 2 unsure").split()[:3] == ["*", "S03", "Pintle"]
        looks = [look for look in driver.record("S03").log if look.day == TODAY]
        assert [(t.kind, t.stage, t.count) for look in looks for t in look.tallies] == [
            ("removed", None, 1),
            ("removed", None, 1),
            ("removed", "adult", 1),
            ("killed", "young", 12),
            ("doubtful", None, 2),
        ]


# the ranking


async def test_the_ranking_is_reviewed(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await driver.shows("l plants")
        await driver.press("l")
        await driver.shows("all plants", "by risk", "5 plants")

        def rows() -> list[str]:
            return [line.status.code for line in driver.screen.shown]

        risks = [line.status.risk.value for line in driver.screen.shown]
        assert risks == sorted(risks, reverse=True)
        await driver.press("o")
        await driver.shows("by need")
        await driver.press("o")
        await driver.shows("by name")
        assert rows() == ["G11", "G04", "G14", "S03", "G02"]
        await driver.press("o")
        await driver.shows("by streak, shortest")
        streaks = [line.status.streak.looks for line in driver.screen.shown]
        assert streaks == sorted(streaks)
        await driver.press("l", "l", "l")
        await driver.shows("in quarantine ", "2 of 5 plants")
        assert set(rows()) == {"G11", "S03"}
        # a name that is not among them is found among all
        await driver.press("0", "enter", *"gimb", "enter")
        await driver.shows("all plants", "by streak, shortest", "G14  Gimbal")
        at = driver.screen.mark
        assert rows()[at] == "G14"
        await driver.press("enter")
        await on_screen(driver, PlantScreen)
        await driver.shows("G14  Gimbal", "no insects ever found", "1   history, 1 look")
        await driver.press("1", "enter")
        await driver.shows("history", "nothing at 7 zones, 1:00")
        await driver.press("q", "q")
        await on_screen(driver, PlantsScreen)
        # back on the same line, in the same order
        assert (driver.screen.mark, rows()[at]) == (at, "G14")
        await driver.shows("by streak, shortest", f">  {at + 1}   G14  Gimbal")
        await driver.press("q")
        await on_screen(driver, TodayScreen)


# the end of a quarantine


async def test_a_quarantine_is_ended_early_and_the_plant_put_back(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        line = driver.row_with("Pintle   day 20").split()[0]
        await driver.press(line, "enter", "2", "enter")
        await on_screen(driver, ReleaseScreen)
        await driver.shows("of 6 unmet", "y end it early", "║ quarantine days since last find 10")
        # without a reason it stays where it is
        await driver.press("y", "enter")
        await driver.shows("y end it early")
        assert driver.record("S03").standing == "quarantine"
        await driver.press("y", *"gift", "space", *"to", "space", "x", "enter")
        await driver.shows(
            "S03: ended early, reason saved",
            "move S03 to porch shelf, spot 5? chance clean there",
        )
        await driver.press("y")
        await driver.shows("S03 is at porch shelf, spot 5 now", "○ on watch from today")
        await driver.press("q")
        await driver.shows("porch shelf, spot 5", "2   quarantine it")
        await driver.press("1", "enter")
        await driver.shows("moved to porch shelf, spot 5", "quarantine ended early: gift to x")
        record = driver.record("S03")
        assert (record.standing, record.place_name(), record.spot()) == (
            "watch", "porch shelf", "spot 5",
        )  # fmt: skip
        (period,) = (p for p in record.plant.periods if p.kind == "quarantine")
        assert (period.early, period.reason) == (True, "gift to x")


async def test_a_quarantine_that_nothing_holds_is_ended(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        row = driver.row_with("║ G11  Bollard  day")
        assert words.say("screens.today.ready") in row
        await driver.press(row.split()[0], "enter", "1", "enter")
        await driver.shows("Ready: all 6 met today.", "y end it today")
        assert driver.text.count("║") == 1, "no wall is left but the one beside the plant"
        for name in ("quarantine days", "degree-days", "clean looks", "unpotted, roots checked",
                     "chance clean  "):  # fmt: skip
            assert driver.row_with(f"    {name}").endswith("met")
        # no reason is asked for
        await driver.press("y")
        await driver.shows(
            "G11 may rejoin the others", "move G11 to porch shelf, spot 4? chance clean there"
        )
        assert "early" not in driver.text
        await driver.press("n")
        await driver.until(lambda: "move G11 to" not in driver.text, "left there")
        record = driver.record("G11")
        assert (record.standing, record.place_name()) == ("watch", "stair foot")
        await driver.press("q", "q")
        await on_screen(driver, TodayScreen)
        await driver.shows("S03  Pintle")
        # what waits to be cleaned takes rows, so all that is left of today needs a high page
        await driver.resize(80, 40)
        # no longer among those in quarantine: its turn to be looked at is what is left of it
        assert "on watch" in driver.row_with("○ G11  Bollard")
        assert "║ G11" not in driver.text
