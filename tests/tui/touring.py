"""How a tour goes through the screens: its steps, and what happens on the way."""

from collections.abc import AsyncIterator, Awaitable, Callable, Iterable
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plan.today import plan_day
from rounds.service.round import begin, is_under_way, left_at, resume
from rounds.store import walks
from rounds.tui.pages.plant import lines_of
from rounds.tui.pages.today_lines import lines_of as lines_of_today
from rounds.tui.screens.desk import LINES
from rounds.tui.screens.first_start import FirstStartScreen
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.sheet_entry import SheetEntryScreen
from rounds.tui.screens.today import TodayScreen

MOST_LEFT = 20
"""Screens left one after the other on the way to today, at the most."""

HOME = "home"
"""Stands for as many q as lead back to today."""


def plant(code: str) -> tuple[str, ...]:
    """The keys that lead from anywhere to the page of a plant."""
    return (HOME, "l", "0", "enter", *code, "enter", "enter")


@dataclass(frozen=True, slots=True)
class Step:
    """The name of a page, and what leads there from the page before."""

    name: str
    keys: tuple[str, ...] = ()
    happens: Callable[[Any], Awaitable[None]] | None = None
    """what happens before the keys, other than by them"""


@dataclass(frozen=True, slots=True)
class Tour:
    """Steps through a logbook: a fixture by name. `any_book` where its keys fit every logbook."""

    steps: tuple[Step, ...]
    book: str = "demo"
    any_book: bool = False


def types(screen: Any) -> bool:
    """Whether letters are text: in the lines of a form, and while a line is typed elsewhere."""
    if isinstance(screen, FormScreen):
        return screen.stage == "lines"
    if isinstance(screen, FirstStartScreen):
        return screen.step != "end"
    return getattr(screen, "line", None) is not None


async def to_today(driver: Any) -> None:
    """Back to the first screen, out of what is being typed."""
    left = 0
    while not isinstance(driver.app.screen, TodayScreen):
        left += 1
        assert left <= MOST_LEFT, f"no key leads back from\n{driver.text}"
        out = "pagedown" if isinstance(driver.app.screen, FormScreen) else "enter"
        if isinstance(driver.app.screen, SheetEntryScreen):
            # what was refused stays in the line
            await driver.press(
                *["backspace"] * len(driver.screen.line.text if types(driver.screen) else "")
            )
            out = "enter" if driver.screen.stage == "who" else "q"
        await driver.press(out if types(driver.screen) else "q")
        if out == "q" and types(driver.screen):
            await driver.press("enter")


async def press(driver: Any, keys: Iterable[str]) -> None:
    """Keys one after the other."""
    for key in keys:
        if key == HOME:
            await to_today(driver)
        else:
            await driver.press(key)
            # what the lines that were in sight meanwhile said stays known where others are shown
            await driver.until(lambda: not works_out(driver), "the lines in sight worked out")


def works_out(driver: Any) -> bool:
    """Whether a page still works out what its lines say."""
    return bool(getattr(driver.app.screen, "is_working_out", False))


async def worked_out(driver: Any) -> None:
    """Nothing is being worked out any more."""
    await driver.whole()
    await driver.until(
        lambda: getattr(driver.screen, "pause_after_press", None) is None, "a pause after a press"
    )


async def to_the_end(driver: Any) -> None:
    """Through the rest of the round; a find outside quarantine is left for later."""
    while (view := driver.screen.view).stage != "end":
        waits = view.question is not None and view.question.code == "live-find"
        await driver.press("z" if waits else "space" if view.stage == "hygiene" else "v")


async def next_day(driver: Any) -> None:
    """A day passes; coming back from a page today is planned anew."""
    driver.clock.instant += timedelta(days=1)
    await driver.press("l", "q")


def desk_number(code: str) -> str:
    """The number of a line of the menu."""
    return str([line for line, _ in LINES].index(code) + 1)


def desk_line(code: str) -> Callable[[Any], Awaitable[None]]:
    """From anywhere to the page of a line of the desk."""

    async def opens(driver: Any) -> None:
        await to_today(driver)
        await driver.press("0", "enter", *desk_number(code), "enter")

    return opens


def plant_line(code: str, line: str) -> Callable[[Any], Awaitable[None]]:
    """From anywhere to what a line of the page of a plant opens."""

    async def opens(driver: Any) -> None:
        await press(driver, plant(code))
        number = lines_of(driver.screen.detail.status).index(line) + 1
        await press(driver, (*str(number), "enter"))

    return opens


def found_on(code: str) -> Callable[[Any], Awaitable[None]]:
    """Insects are found on a plant; who stood near it."""

    async def opens(driver: Any) -> None:
        found = LookEntered(("axils",), 30.0, {"removed": 1})
        enter_look(driver.app.logbook, now(driver.clock), code, found)
        await plant_line(code, "exposure")(driver)

    return opens


async def same_step(driver: Any) -> None:
    """From anywhere to the line of Today that stands for a step due at several plants."""
    await to_today(driver)
    await driver.until(lambda: any(line.is_shared for line in _due(driver)), "a step of several")
    number = [line.is_shared for line in _due(driver)].index(True) + 1
    await driver.press(*str(number), "enter")


def _due(driver: Any) -> Any:
    return lines_of_today(driver.screen.day)


def setting(code: str) -> Callable[[Any], Awaitable[None]]:
    """The first line of a setting is opened by its number."""

    async def opens(driver: Any) -> None:
        codes = [setting.code for setting in driver.screen.settings()]
        await driver.press(*str(codes.index(code) + 1), "enter")

    return opens


def value(code: str) -> Callable[[Any], Awaitable[None]]:
    """The line of a value is opened by its number, help closed."""

    async def opens(driver: Any) -> None:
        codes = [row.code for row in driver.screen.rows]
        await driver.press(*str(codes.index(code) + 1), "enter")

    return opens


async def days_month_first(driver: Any) -> None:
    """Out of the form, into the settings, and back to today."""
    await desk_line("settings")(driver)
    await setting("dates")(driver)
    await to_today(driver)


async def first_plant(driver: Any) -> None:
    """The page of the first plant that today lists."""
    await to_today(driver)
    await driver.press("1", "enter")


async def weeks_later(driver: Any) -> None:
    """The days away have gone by."""
    driver.clock.instant += timedelta(days=11)


async def begun_elsewhere(driver: Any) -> None:
    """Another window begins the round and finds something; this one shows it."""
    with Logbook(driver.path, driver.clock) as other:
        begin(other, plan_day(other, other.clock.today()), "Second Keeper").count("removed")
    await driver.shows("a round is under way")


async def taken_elsewhere(driver: Any) -> None:
    """Another window takes the round over; this one says so."""
    with Logbook(driver.path, driver.clock) as other:
        walk = is_under_way(other, other.clock.today())
        assert walk is not None
        resume(other, walk, "Second Keeper", take_over=True)
    await driver.shows("Second Keeper has been walking this round")


async def day_after(driver: Any) -> None:
    """The round is left for the night."""
    await driver.press("q")
    await next_day(driver)


async def long_enough(driver: Any) -> None:
    """A zone is looked at for as long as is planned, and each is one to look at twice."""
    twice_each(driver)
    driver.clock.seconds += 12


def twice_each(driver: Any) -> None:
    """It is the turn of every zone to be looked at twice."""
    logbook = driver.screen.walk.logbook
    every = replace(logbook.parameters.second_looks, one_in=1)
    logbook.parameters = replace(logbook.parameters, second_looks=every)


async def next_in_one_go(driver: Any) -> None:
    """The rest of this plant, and the next is planned to be looked at in one go."""
    await driver.press("v")
    if driver.screen.view.stage == "hygiene":
        await driver.press("space")
    await in_one_go(driver)
    driver.clock.seconds += 9


async def in_one_go(driver: Any) -> None:
    """The plant at hand is planned as one step, and the round come back to."""
    await driver.press("q")
    with Logbook(driver.path, driver.clock) as other:
        walk = is_under_way(other, other.clock.today())
        assert walk is not None
        here = left_at(other, walk)
        assert here is not None
        steps = walks.steps_of(other.file, walk.id)
        whole = [replace(s, whole_plant=s.plant_id == here.plant_id) for s in steps]
        walks.replace_steps(other.file, walk.id, whole)
    await driver.press("enter")


async def follow(tour: Tour, driver: Any) -> AsyncIterator[str]:
    """Every page of a tour, by name, with nothing left to work out."""
    async for name in walk(tour, driver):
        await worked_out(driver)
        yield name


async def walk(tour: Tour, driver: Any) -> AsyncIterator[str]:
    """Every page of a tour, by name, with the driver standing on it.

    What a pause after a key is for may still be worked out.
    """
    for step in tour.steps:
        if step.happens is not None:
            await step.happens(driver)
        await press(driver, step.keys)
        yield step.name
