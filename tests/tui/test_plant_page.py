"""The page of a plant, its history, single visits, and the open doubts, by keys alone."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.clock import SetClock
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    plant_gone,
    put_place,
    put_weather,
)
from rounds.service.entries.corrections import settle
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon, now
from rounds.tui.keys import key_of
from rounds.tui.page import Page
from rounds.tui.pages.plant import lines_of
from rounds.tui.screens.doubts import DoubtsScreen
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.history import HistoryScreen, VisitScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.release import ReleaseScreen
from rounds.words.forms import number_in_column
from tests.tui.reading import NAMES, PLACES, SIZES, complaints, sizes_in_turn

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]


def days_ago(clock: SetClock, days: int) -> Moment:
    instant = clock.instant - timedelta(days=days, minutes=89)
    return Moment(instant.date(), instant)


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """Thole and Cuddy touch on the shelf; on Thole three were taken off, and two are doubtful."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        came = days_ago(clock, 40)
        put_place(logbook, came, "porch shelf", PlaceDetails())
        put_place(logbook, came, "stair foot", PlaceDetails(apart=True))
        for code, name in (("G02", "Thole"), ("G04", "Cuddy")):
            here = PlantDetails(name=name, size="small", place="porch shelf", already_here=True)
            add_plant(logbook, came, code, here)
        touching = PlantDetails(touches=("G02",), note="by the [door]")
        add_plant(logbook, came, "G04", touching, change=True)
        new = PlantDetails(name="Pintle", size="small", place="stair foot")
        add_plant(logbook, came, "S03", new)
        doubt = LookEntered(("medium",), 10.0, {"doubtful": 1})
        enter_look(logbook, days_ago(clock, 3), "S03", doubt)
        enter_look(logbook, days_ago(clock, 2), "G02", LookEntered((), 60.0))
        doubt = LookEntered(("sheaths",), 8.0, {"doubtful": 1})
        enter_look(logbook, days_ago(clock, 1), "G02", doubt)
        finds = LookEntered(("axils",), 25.0, {"removed": 3}, stage="adult")
        enter_look(logbook, days_ago(clock, 1), "G02", finds)
    return path


async def push(driver: Any, screen: Any) -> None:
    driver.app.push_screen(screen)
    await driver.until(lambda: driver.app.screen is screen, "the screen")
    await driver.shows(" back")


async def on_plant(driver: Any, code: str = "G02") -> None:
    await push(driver, PlantScreen(driver.app.logbook, code))


async def on_visit(driver: Any) -> None:
    """The looks of yesterday, reached from the page of the plant."""
    await on_plant(driver)
    await driver.press("2", "enter")
    await driver.until(lambda: isinstance(driver.screen, HistoryScreen), "the history")
    await driver.press("enter")
    await driver.until(lambda: isinstance(driver.screen, VisitScreen), "the visit")


def live(driver: Any, code: str = "G02") -> int:
    return sum(look.live() for look in driver.record(code).log)


async def test_the_page_says_how_the_plant_stands(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver)
        await driver.shows(
            "leafy plant, small",
            "here since 25 March or earlier; insects last found 3 May",
            "in the collection",
            "2   history, 2 looks",
            "newest entry: 3 removed at axils, adult, 3 May 7:31",
            "touches G04",
            "p quarantine",
        )
        (axils,) = (zone for zone in driver.screen.detail.zones if zone.zone == "axils")
        row = driver.row_with("axils        ")
        assert f" {number_in_column(axils.probably_left)}  1 d " in row
        assert row.endswith("5   divide")
        await driver.press("q")
        await driver.until(lambda: not isinstance(driver.screen, PlantScreen), "today again")


async def test_the_page_says_that_it_was_hotter_than_anything_is_known_of(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    with Logbook(path, clock) as logbook:
        day = clock.today() - timedelta(days=3)
        put_weather(logbook, days_ago(clock, 0), "porch shelf", day, 19, 34)
    async with opened(path) as driver:
        await on_plant(driver)
        await driver.shows("above 32 degC on 1 May:", "beyond what is known", "touches G04")


async def test_a_wrong_press_of_yesterday_is_put_right(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_visit(driver)
        await driver.shows("looks, 3 May 7:31", "3 removed at axils")
        await driver.press("space", "space", "space")
        await driver.shows(">  4 *", "3 removed, adult")
        await driver.press("enter")
        await driver.shows("3 removed at axils, adult, 3 May 7:31: what is wrong with it?",
                           "x undo", "enter change it", "z keep it")  # fmt: skip
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.screen, FormScreen), "the form")
        await driver.press("enter", "1", "enter", "enter")
        await driver.press("y")
        await driver.shows("saved: G02, 1 removed")
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.screen, VisitScreen), "the visit again")
        # both stand there, and which of them counts is said in words
        await driver.shows(
            "3 removed, adult        corrected", "1 removed, adult", "1 removed at axils"
        )
        assert live(driver) == 1
        assert driver.record("G02").last_find_on == driver.record("G02").log[-1].day


async def test_a_wrong_press_of_yesterday_is_taken_back(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_visit(driver)
        await driver.press("4", "enter")
        await driver.shows("what is wrong with it?")
        await driver.press("X")
        await driver.shows("undone: 3 removed at axils, adult, 3 May 7:31",
                           "3 removed, adult        withdrawn")  # fmt: skip
        assert live(driver) == 0
        await driver.press("enter")
        await driver.shows("is withdrawn: nothing more to change")
        await driver.press("q", "q")
        await driver.until(lambda: isinstance(driver.screen, PlantScreen), "the plant")
        await driver.shows(
            "no insects ever found", "newest entry: nothing at axils, 0:25 min, 3 May 7:31"
        )


async def test_the_wrong_zone_is_put_right_and_its_counts_go_along(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await on_visit(driver)
        await driver.press("3", "enter")
        await driver.shows("look at axils, 0:25 min, 3 May 7:31: what is wrong with it?")
        await driver.press("enter", *"medium", "enter", "enter", "y")
        await driver.shows("saved: G02, medium")
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.screen, VisitScreen), "the visit again")
        await driver.shows("1 unsure at sheaths; 3 removed at medium")
        (look,) = (look for look in driver.record("G02").log if look.live())
        assert (look.zone, look.live(), look.seconds) == ("medium", 3, 25.0)


async def test_x_asks_before_it_takes_the_newest_entry_back(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver)
        await driver.press("x")
        await driver.shows("undo: 3 removed at axils, adult, 3 May 7:31?", "y undo it",
                           "n keep it")  # fmt: skip
        await driver.press("n")
        await driver.shows("newest entry: 3 removed")
        assert live(driver) == 3
        # any other key closes the question and does its own work
        await driver.press("x", "space", "y")
        assert (live(driver), driver.screen.mark) == (3, 1)
        await driver.press("X", "Y")
        await driver.shows("undone: 3 removed at axils, adult, 3 May 7:31")
        assert live(driver) == 0
        await driver.press("x", "y")
        await driver.shows("undone: nothing at axils")
        await driver.press("x", "y", "x", "y", "q")
        await on_plant(driver)
        await driver.shows("newest entry: nothing at pot rim, 0:01 min, 2 May 7:31")


async def test_a_look_taken_back_says_what_went_with_it(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_visit(driver)
        await driver.press("3", "enter", "x")
        await driver.shows("undone: look at axils, 0:25 min, 3 May 7:31, and its count")
        assert live(driver) == 0


async def test_a_doubt_is_settled_from_its_visit(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_visit(driver)
        await driver.shows("1 unsure                unresolved")
        await driver.press("2", "enter")
        await driver.shows("1 unsure at sheaths, 3 May 7:31: what was it?", "y was alive",
                           "g old remains", "n not an insect",
                           "touch it with the swab")  # fmt: skip
        await driver.press("g")
        await driver.shows("old remains", "1 unsure                old remains")
        assert driver.record("G02").open_doubts == ()
        # it was said too soon: settled otherwise, then opened again
        await driver.press("enter")
        await driver.shows("old remains: what is wrong with it?", "w still unsure")
        await driver.press("y")
        await driver.shows("was alive", "1 unsure                was alive")
        assert live(driver) == 4
        await driver.press("enter", "w")
        await driver.shows("unsure again", "unresolved")
        assert len(driver.record("G02").open_doubts) == 1


async def test_doubts_are_settled_one_after_the_other(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await push(driver, DoubtsScreen(driver.app.logbook))
        await driver.shows("2 to resolve", ">  1 ? S03  Pintle", "2 ? G02  Thole",
                           "1 unsure at medium on S03, since 1 May: what is it")  # fmt: skip
        await driver.press("space")
        await driver.shows("1 unsure at sheaths on G02, since 3 May: what is it today?")
        await driver.press("N")
        await driver.shows("1 unsure at sheaths on G02, not an insect", "1 to resolve")
        assert driver.record("G02").open_doubts == ()
        # the mark is on the one that is left
        await driver.press("y")
        await driver.shows("no unsure specks", "1 unsure at medium on S03, was alive")
        assert live(driver, "S03") == 1
        await driver.press("y", "g", "n")
        # the newest answer goes first
        await driver.press("x")
        await driver.shows("1 unsure at medium on S03: unsure again", ">  1 ? S03  Pintle")
        await driver.press("x")
        await driver.shows("2 to resolve", ">  2 ? G02  Thole")
        await driver.press("x")
        await driver.shows("nothing here to undo")
        assert len(driver.record("G02").open_doubts) == 1


async def test_a_doubt_opens_its_plant_and_comes_back_settled(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await push(driver, DoubtsScreen(driver.app.logbook))
        await driver.press("2", "enter")
        await driver.until(lambda: isinstance(driver.screen, PlantScreen), "the plant")
        doubt = driver.screen.detail.history[0].visit.entries()[1]
        settle(driver.app.logbook, now(driver.clock), doubt.id, "remains")
        await driver.press("q")
        await driver.until(lambda: isinstance(driver.screen, DoubtsScreen), "the doubts")
        await driver.shows("1 to resolve", ">  1 ? S03  Pintle")


async def test_put_apart_asks_moves_and_watches_what_it_touched(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver)
        await driver.press("p")
        await driver.shows("quarantine G02 from today?", "p quarantine", "k can't be moved", "n no")
        await driver.press("n")
        assert driver.record("G02").standing == "collection"
        await driver.press("1", "enter")
        await driver.shows("quarantine G02 from today?")
        await driver.press("p")
        await driver.shows("G02 is in quarantine from today: move it to stair foot",
                           "║ quarantined today", "2   end quarantine")  # fmt: skip
        # the message may go over two rows
        assert "G04 touched it: on watch" in " ".join(driver.text.split())
        assert (driver.record("G02").standing, driver.record("G04").standing) == (
            "quarantine",
            "watch",
        )
        assert driver.record("G02").place_name() == "stair foot"
        await driver.press("p")
        await driver.shows("G02 is in quarantine already.")
        await driver.press("1", "enter")
        await driver.shows("in quarantine: insects found", "moved to stair foot")


async def test_what_cannot_be_moved_stands_apart_where_it_is(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver)
        await driver.press("p", "k")
        await driver.shows("G02 is in quarantine where it is", "porch shelf", "║ quarantined today")
        assert driver.record("G02").place_name() == "porch shelf"


@pytest.mark.parametrize("line", ["look", "move", "edit", "gone"])
async def test_a_line_opens_its_form_and_what_it_writes_is_seen(
    path: Path, opened: Opened, line: str
) -> None:
    async with opened(path) as driver:
        await on_plant(driver)
        number = lines_of(driver.screen.detail.status).index(line) + 1
        await driver.press(str(number), "enter")
        await driver.until(lambda: isinstance(driver.screen, FormScreen), line)
        assert driver.screen.form.title == words.say(f"desk_forms.title.{line}")
        logbook = driver.app.logbook
        plant_gone(logbook, now(driver.clock), "G02", "died")
        driver.app.pop_screen()
        await driver.until(lambda: isinstance(driver.screen, PlantScreen), "the plant")
        await driver.shows("1   history, 2 looks", "2   not gone after all", "gone")
        assert "quarantine" not in driver.text


async def test_the_quarantine_is_ended_from_here(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver, "S03")
        await driver.shows(">  1   history", "2   end quarantine")
        await driver.press("2", "enter")
        await driver.until(lambda: isinstance(driver.screen, ReleaseScreen), "its page")


async def test_a_move_is_taken_back_from_the_history(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver)
        await driver.press("p", "p", "1", "enter")
        await driver.shows("1   4 May              touches nothing", "moved to stair foot")
        await driver.press("space", "x")
        await driver.shows("undo: moved to stair foot, today?")
        await driver.press("y")
        await driver.shows("undone: moved to stair foot, today")
        assert driver.record("G02").place_name() == "porch shelf"
        # coming is not a move, nor is standing apart
        await driver.press("9", "9", "enter")
        await driver.shows("there is no line 99")
        await driver.press(str(driver.screen.lines_count()), "enter")
        await driver.shows("this line can't be undone here")


async def test_entries_of_a_visit_are_taken_back_one_by_one(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_plant(driver, "G02")
        await driver.press("2", "enter", "x")
        await driver.shows("enter opens it; there you undo its entries one by one")


@pytest.mark.parametrize(
    ("screen", "code"),
    [(PlantScreen, "plant"), (HistoryScreen, "history"), (DoubtsScreen, "doubts")],
)
async def test_help_names_the_keys_and_swallows_no_press(
    path: Path, opened: Opened, keys_named: KeysNamed, screen: Any, code: str
) -> None:
    async with opened(path) as driver:
        logbook = driver.app.logbook
        made = screen(logbook) if screen is DoubtsScreen else screen(logbook, "G02")
        await push(driver, made)
        await driver.press("h")
        await driver.shows("help", "any other key closes it")
        bound = {str(b.id).partition(".")[2] for b in screen.BINDINGS} - {"help"}
        answers = {"yes", "no", "remains", "cannot-move"} if screen is not DoubtsScreen else set()
        assert {key_of(role) for role in bound - answers} - keys_named(driver.page) == set()
        await driver.press("space")
        await driver.until(lambda: "any other key closes it" not in driver.text, "help closed")
        assert driver.screen.mark == 1


async def test_the_zones_of_a_narrow_page_stand_under_help(path: Path, opened: Opened) -> None:
    async with opened(path, size=(40, 24)) as driver:
        await on_plant(driver)
        assert "pot rim" not in driver.text
        await driver.press("h")
        await driver.shows("pot rim        <1 left; 2 d", "roots          1 left; never")


@pytest.fixture
def hostile(tmp_path: Path, clock: SetClock) -> Path:
    """Invented plants whose names, notes and reasons hold markup, controls, or no end."""
    path = tmp_path / "hostile.db"
    with Logbook(path, clock) as logbook:
        came = local_noon(clock.instant.date() - timedelta(days=12))
        put_place(logbook, came, PLACES[0], PlaceDetails())
        put_place(logbook, came, PLACES[1], PlaceDetails(apart=True))
        for code, name in NAMES:
            details = PlantDetails(
                name=name, botanical_name=name, note=name * 3, source=name,
                size="small", form="sympodial-orchid", place=PLACES[0], spot=name,
                already_here=True,
            )  # fmt: skip
            add_plant(logbook, came, code, details)
            # three rounds a day: as many lines as in two months, and far fewer days to work out
            for number in range(30):
                on = clock.instant.date() - timedelta(days=number // 3)
                day = local_noon(on, f"{name}{number % 3}")
                hidden = LookEntered(("axils",), 0.0, cannot_see=name)
                enter_look(logbook, day, code, hidden)
                if number < 3:
                    # found once: what is worked out of more of them takes most of the time
                    finds = {"left": 99, "doubtful": 9} if number == 0 else {"doubtful": 9}
                    counted = LookEntered(("pseudobulbs",), 3599.0, finds)
                    enter_look(logbook, day, code, counted)
        changed = PlantDetails(touches=tuple(code for code, _ in NAMES[1:]), name="\x1b[1m")
        add_plant(logbook, now(clock), NAMES[0][0], changed, change=True)
    return path


async def test_pages_hold_together_at_every_size_whatever_the_names(
    hostile: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    found, met = [], set()
    async with opened(hostile) as driver:
        logbook = driver.app.logbook
        for turn, (code, _) in enumerate(NAMES):
            plant, history = PlantScreen(logbook, code), HistoryScreen(logbook, code)
            visit = next(line.visit for line in history.detail.history if line.visit)
            visited = VisitScreen(logbook, code, visit.day, visit.round_id)
            doubts = DoubtsScreen(logbook)
            history.mark, doubts.mark = 28, 17
            for screen, presses in (
                (plant, ("p",)),
                (plant, ("n", "x")),
                (plant, ("h",)),
                (history, ("1",)),
                (visited, ("space", "space", "space", "enter")),
                (visited, ("g", "enter")),
                (visited, ("y",)),
                (doubts, ()),
                (doubts, ("g",)),
            ):
                if driver.screen is not screen:
                    await push(driver, screen)
                await driver.press(*presses)
                pages = await driver.pages_at(sizes_in_turn(turn, len(NAMES)))
                for size, page in pages.items():
                    where = f"{type(screen).__name__} {presses} at {size}"
                    found += [f"{where}: {what}" for what in complaints(page, plain=False)]
                    if "q" not in keys_named(page):
                        found.append(f"{where}: no way out")
                    met.add((type(screen), presses, size))
    # each page at each size; with all names together a tour does so once more
    assert len(met) == 9 * len(SIZES)
    assert "\n".join(found) == ""
