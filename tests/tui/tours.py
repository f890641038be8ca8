"""Ways through the screens: every page there is, each reached from the first by keys alone."""

from collections.abc import AsyncIterator, Awaitable, Callable, Iterable
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import plan_day
from rounds.service.round import begin, is_under_way, left_at, resume
from rounds.store import walks
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


def desk_line(code: str) -> Callable[[Any], Awaitable[None]]:
    """From anywhere to the page of a line of the desk."""
    number = str([line for line, _ in LINES].index(code) + 1)

    async def opens(driver: Any) -> None:
        await to_today(driver)
        await driver.press("0", "enter", *number, "enter")

    return opens


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


DESK = Tour(
    (
        Step("today"),
        Step("today-help", ("h",)),
        Step("line", ("h", "1")),
        Step("minutes", ("m", *"12q4")),
        Step("minutes-bad", ("enter",)),
        Step("minutes-changed", ("m", *"25", "enter")),
        Step("today-by-risk", ("o",)),
        Step("today-as-usual", ("o", "m", *"10", "enter", "down")),
        Step("coming", (HOME, "j")),
        Step("coming-help", ("h",)),
        Step("desk", (HOME, "0", "enter")),
        Step("desk-help", ("h",)),
        Step("plants", (HOME, "l")),
        Step("plants-further", ("pagedown", "space")),
        Step("plants-watch", (*"llll", "o", "o")),
        Step("plants-by-streak", (*"lll", "o", "space")),
        Step("plants-typing", (*"lll", "0", "enter", *"G99")),
        Step("plants-new", ("enter",)),
        Step("plants-help", ("n", "h")),
        Step("plant", plant("S03")),
        Step("plant-take-back", ("x",)),
        Step("history", ("n", "2", "enter", "space", "space")),
        Step("visit", ("b", "enter")),
        Step("visit-entry", ("4", "enter")),
        Step("plant-watch", plant("G05")),
        Step("plant-help", ("h",)),
        Step("plant-apart", ("h", "p")),
        Step("plant-put-apart", ("p",)),
        Step("doubts", (HOME, "u")),
        Step("doubts-help", ("h",)),
        Step("visit-doubt", ("h", "enter", "2", "enter", "enter", "8", "enter")),
        Step("doubts-none", (HOME, "u", "g")),
    ),
    any_book=True,
)

QUARANTINE = Tour(
    (
        Step("release", ("4", "enter", "enter")),
        Step("release-help", ("h",)),
        Step("release-not-yet", (*plant("G07"), "enter")),
        Step("reason", ("y", *"alone", "space", "q")),
        Step("released", ("enter",)),
        Step("put-back", ("y",)),
        Step("plant-put-back", ("q",)),
    ),
    any_book=True,
)

ROUND = Tour(
    (
        Step("round", ("enter",)),
        Step("round-help", ("h",)),
        Step("figures", ("1", "2")),
        Step("hidden", ("c",)),
        Step("counted", ("x", "w")),
        Step("live-find", ("3", "f", "a")),
        Step("live-find-apart", ("p",)),
        Step("taken-back", ("x",)),
        Step("later", ("z",)),
        Step("hygiene", ("v",)),
        Step("hygiene-key", ("f",)),
        Step("summary", (), to_the_end),
        Step("after-the-round", ("space",)),
    ),
    any_book=True,
    book="few",
)

OUT_OF_TURN = Tour(
    (
        Step("put-off", ("enter", "z")),
        Step("put-off-why", ("1",)),
        Step("put-off-said", ("2",)),
        Step("another-plant", ("l",)),
        Step("another-plant-typed", ("g", "0")),
        Step("another-zone", ("enter",)),
        Step("another-open", ("3",)),
        Step("back-from-another", ("w", "space")),
        Step("put-off-tomorrow", ("z", "2", "space")),
    ),
    any_book=True,
    book="few",
)

LATER = Tour(
    (
        Step("under-way", ("enter", "w", "space", "2", "s", "z", "space", "5", "f", "q")),
        Step("doubt", ("enter",), next_day),
        Step("alive", ("y",)),
        Step("left-there", ("z", "space")),
        Step("held-key", ("z", "space", "f", "f", "f", "f", "x")),
    ),
    book="few",
)

TWO = Tour(
    (
        Step("take-over", ("enter",), begun_elsewhere),
        Step("taken-over", ("y",)),
        Step("left-behind", (), taken_elsewhere),
    ),
    book="few",
)

BENCH = Tour(
    (
        Step("signs", ("enter", "2", "d", "z", "i")),
        Step("signs-kept", ("1",)),
        Step("signs-listed", ("space", "i", "3", "space")),
        Step("bodies", ("enter",), day_after),
        Step("second-look", ("space",), long_enough),
        Step("second-look-begun", ("y",)),
        Step("whole-plant", (), next_in_one_go),
        Step("whole-plant-where", ("2", "f")),
        Step("whole-plant-opened", ("3",)),
        Step("visit-signs", (*plant("G02"), "2", "enter", "space", "enter")),
    ),
    book="few",
)

FORMS = Tour(
    (
        Step("new-plant", ("l", "0", "enter", *"Gaff", "enter", "y", "down")),
        Step("new-plant-form", ("down", "down", "down")),
        Step("new-plant-fault", (*"palm", "enter")),
        Step("new-plant-ask", (*["backspace"] * 4, "5", "enter", "pagedown")),
        Step("new-plant-kept", ("y",)),
        Step("look", ("n", *plant("S03"), "8", "enter")),
        Step("look-ask", ("down", *"axils", "enter", *"40", "enter", "2", "pagedown")),
        Step("look-kept", ("y",)),
        Step("move", ("enter", "3", "enter")),
        Step("move-ask", ("2", "enter", "pagedown")),
        Step("edit", ("q", "6", "enter")),
        Step("edit-refused", ("pagedown",)),
        Step("gone", ("q", "7", "enter")),
        Step("gone-ask", ("pagedown",)),
        Step("correct", ("q", "2", "enter", "enter", "2", "enter", "enter", "down")),
        Step("correct-ask", ("7", "pagedown")),
        Step("corrected", ("y",)),
        Step("visit-corrected", ("enter",)),
    ),
    book="few",
)

LIVES = Tour(
    (
        Step("repot", (*plant("S03"), "4", "enter")),
        Step("repot-roots", ("enter", "enter", "y", "enter", *"60", "enter", "2", "enter")),
        Step("repot-ask", ("pagedown",)),
        Step("repot-kept", ("y",)),
        Step("divide", ("enter", "5", "enter")),
        Step("divide-codes", ("3", "enter")),
        Step("divide-fault", (*"S77", "pagedown")),
        Step("divide-ask", ("n", "-", "enter", "pagedown")),
        Step("divide-kept", ("y",)),
        Step("plant-divided", ("enter",)),
        Step("history-divided", ("2", "enter")),
        Step("plant-part", plant("S04")),
        Step("history-part", ("2", "enter", *["space"] * 4, "x")),
        Step("plants-since", (HOME, "l")),
        Step("plants-since-help", ("h",)),
    ),
    book="few",
)

HANDS = Tour(
    (
        Step("from-sheet", ("0", "enter", "3", "enter")),
        Step("from-sheet-who", (*"yesterday", "enter")),
        Step("from-sheet-zone", (*"Ada", "enter")),
        Step(
            "from-sheet-fault",
            (*"zones", "enter", "enter", *"2f", "space", *"1w", "enter", *"zz", "enter"),
        ),
        Step("from-sheet-write", (*["backspace"] * 2, "c", "enter", "v", "enter")),
        Step("from-sheet-kept", ("y",)),
        Step("from-sheet-back", ("x", "enter")),
        Step("from-sheet-again", ("q", "enter", "3", "enter")),
        Step("from-sheet-another", ("n",)),
        Step("from-sheet-whole", ("enter", "enter", *"whole", "enter")),
        Step("from-sheet-where", (*"84", "space", *"2fa", "enter")),
        Step("from-sheet-more", ("3", "enter")),
        Step("from-sheet-whole-write", ("c", "enter", "7", "enter", "enter")),
        Step("leaving-none", (HOME, "0", "enter", "5", "enter")),
        Step("away", ("q", "4", "enter")),
        Step("away-ask", (*"2026-05-05", "enter", *"2026-05-14", "enter")),
        Step("away-kept", ("y",)),
        Step("leaving", ("enter", "5", "enter", "space")),
        Step("leaving-help", ("h",)),
        Step("leaving-take-back", ("h", "x")),
        Step("back-today", (HOME,), weeks_later),
        Step("back-minutes", ("m", *"12", "enter")),
    ),
    any_book=True,
)

START = Tour(
    (
        Step("first-start"),
        Step("first-place", (*"glass", "space", *"porch", "enter")),
        Step("first-plants", (*"Thole", "enter", *"G02", "space", *"Cuddy", "enter")),
        Step("first-size", ("enter", *"small", "enter")),
        Step("first-apart-where", (*"cuddy", "enter")),
        Step("first-apart", (*"stair", "space", *"foot", "enter")),
        Step("first-insects-seen", (*"ins", "enter")),
        Step("first-warmth", ("enter", *"12", "enter")),
        Step("first-removed-fault", (*"20", "enter", *"Cuddy", "space", *"axils", "enter")),
        Step("first-removed", ("space", "3", "enter")),
        Step("first-end", ("enter",)),
        Step("first-round", ("enter",)),
        Step("first-today", ("q",)),
    ),
    book="empty",
)

SETTINGS = Tour(
    (
        Step("settings", (), desk_line("settings")),
        Step("settings-help", ("h",)),
        Step("settings-typing", ("h", "2", "enter", *"12")),
        Step("settings-kept", ("enter",)),
        Step("settings-fahrenheit", (), setting("degrees")),
        Step("settings-usual", (*"900", "enter"), setting("usual")),
        Step("settings-who", (), desk_line("who")),
        Step("temperatures", ("enter", "enter"), desk_line("temperatures")),
        Step("temperatures-ask", (*"50", "enter", *"68", "enter")),
        Step("temperatures-kept", ("y",)),
        Step("dilution", (), desk_line("dilution")),
        Step("dilution-said", (*"70", "enter", *"35", "enter", *"100", "enter")),
        Step("today-month-first", (), days_month_first),
        Step("values", (), desk_line("values")),
        Step("values-help", ("h",)),
        Step("values-fixed", (), value("pests.mealybug.stages.egg.sub_stages")),
        Step("values-form", (), value("forms.weight.axils")),
        Step("values-ask", (*".48", "enter", *"counted", "enter")),
        Step("values-changed", ("y", "enter")),
        Step("desk-values", ("q",)),
        Step("plant-values", (), first_plant),
    ),
    book="few",
)

TOURS = {
    "desk": DESK,
    "quarantine": QUARANTINE,
    "round": ROUND,
    "out-of-turn": OUT_OF_TURN,
    "later": LATER,
    "two": TWO,
    "bench": BENCH,
    "forms": FORMS,
    "lives": LIVES,
    "hands": HANDS,
    "start": START,
    "settings": SETTINGS,
}


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
