"""All plants on the screen: orders, choices, finding by name, ten thousand lines."""

from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.core.quarantine.streak import Streak
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plan.ranking import CHOICES, ORDERS, PlantLine, sorted_lines
from rounds.service.plant.status_text import standing_text, where_text
from rounds.tui.keys import key_of
from rounds.tui.page import Page
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.plant import PlantScreen
from rounds.tui.screens.plants import PlantsScreen
from tests.tui.many import many
from tests.tui.reading import SIZES, complaints

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]
OnPlants = Callable[..., AbstractAsyncContextManager[Any]]


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """Three invented plants, one of them apart; names with markup and with a common part."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        moment = now(clock)
        put_place(logbook, moment, "porch shelf", PlaceDetails())
        put_place(logbook, moment, "stair foot", PlaceDetails(apart=True))
        for code, name in (("G02", "[b]Thole[/]"), ("G05", "Halyard")):
            here = PlantDetails(name=name, size="small", place="porch shelf", already_here=True)
            add_plant(logbook, moment, code, here)
        new = PlantDetails(name="Lanyard", size="small", place="stair foot")
        add_plant(logbook, moment, "S07", new)
    return path


def codes_shown(driver: Any) -> list[str]:
    return [line.status.code for line in driver.screen.shown]


def marked(driver: Any) -> str:
    """The code on the one row that has the mark."""
    rows = [row for row in driver.text.splitlines() if row.lstrip().startswith(">")]
    assert len(rows) == 1
    return str(driver.screen.shown[driver.screen.mark].status.code) if rows else ""


async def type_line(driver: Any, text: str) -> None:
    await driver.press("0", "enter")
    await driver.shows("name or code, then enter:")
    await driver.press(*("space" if character == " " else character for character in text))
    await driver.press("enter")


async def test_the_marked_plant_is_told_above_the_list(demo: Path, on_plants: OnPlants) -> None:
    async with on_plants(demo) as driver:
        for presses in ((), ("space",), ("down", "down"), ("b",), ("pagedown",), ("pageup",)):
            await driver.press(*presses)
            line = driver.screen.shown[driver.screen.mark]
            rows = driver.text.splitlines()
            assert rows[2].split()[:2] == [line.status.code, line.status.name]
            assert where_text(line.status) in rows[2]
            assert standing_text(line.status) in rows[2]
            assert line.status.reasons[0].text in " ".join("\n".join(rows[3:5]).split())
            assert f"> {driver.screen.mark + 1:2} " in driver.text


async def test_the_list_is_longer_than_the_page(demo: Path, on_plants: OnPlants) -> None:
    async with on_plants(demo) as driver:
        count = len(driver.screen.shown)
        rows = driver.screen.lines_shown()
        assert count > 2 * rows
        await driver.shows(f"{count} plants", f"{count - rows} more below")
        assert "more above" not in driver.text
        await driver.press("pagedown")
        await driver.shows(f"{rows} more above", f"{count - 2 * rows} more below")
        await driver.press("pagedown", "pagedown", "pagedown")
        assert driver.screen.mark == count - 1
        await driver.shows(f"{count - rows} more above")
        assert "more below" not in driver.text


async def test_o_goes_through_every_order_and_says_which(demo: Path, on_plants: OnPlants) -> None:
    async with on_plants(demo) as driver:
        await driver.press("space", "space")
        orders: list[str] = []
        for _ in ORDERS:
            await driver.press("O")
            assert driver.screen.mark == 0
            orders.append(driver.text.splitlines()[0])
            lines = sorted_lines(driver.screen.ranking.lines, driver.screen.order)
            assert codes_shown(driver) == [line.status.code for line in lines]
        assert len(set(orders)) == len(ORDERS)
        assert driver.screen.order == "risk"
        await driver.press("o", "o")
        await driver.shows("by name")
        names = [line.status.name for line in driver.screen.shown]
        assert names == sorted(names, key=str.casefold)


async def test_l_goes_through_every_choice_and_says_which(demo: Path, on_plants: OnPlants) -> None:
    async with on_plants(demo) as driver:
        said: dict[str, tuple[str, Callable[[PlantLine], object]]] = {
            "planned": ("planned today", lambda line: line.is_planned),
            "waiting": ("waiting until tomorrow", lambda line: line.waits),
            "apart": ("in quarantine", lambda line: line.status.standing == "quarantine"),
            "watch": ("on watch", lambda line: line.status.standing == "watch"),
            "doubts": ("with unsure specks", lambda line: line.status.open_doubts),
            "collection": ("in the collection", lambda line: line.status.standing == "collection"),
        }
        everybody = driver.screen.shown
        for which, (text, belongs) in said.items():
            await driver.press("l")
            assert driver.screen.which == which
            row = driver.text.splitlines()[0]
            assert row.split("  ")[1] == text
            expected = [line.status.code for line in everybody if belongs(line)]
            assert expected, f"the demo has nobody {which}"
            assert codes_shown(driver) == expected
            assert f"{len(expected)} of {len(everybody)} plants" in row
        await driver.press("l")
        assert codes_shown(driver) == [line.status.code for line in everybody]
        assert set(CHOICES) == {"all", *said}


async def test_a_choice_that_holds_nobody_says_so(path: Path, on_plants: OnPlants) -> None:
    async with on_plants(path) as driver:
        await driver.press("l", "l", "l", "l")
        await driver.shows("no plant is on watch", "0 of 3 plants", "l which", "q back")
        assert "open it" not in driver.text
        # nothing to open, nothing to move to
        await driver.press("space", "pagedown", "enter", "o", "l")
        await driver.shows("no unsure specks")
        assert isinstance(driver.screen, PlantsScreen)


async def test_a_line_is_opened_by_the_mark_or_by_its_number(
    demo: Path, on_plants: OnPlants
) -> None:
    async with on_plants(demo) as driver:
        await driver.press("space", "enter")
        await driver.until(lambda: isinstance(driver.app.screen, PlantScreen), "the plant")
        await driver.shows(driver.app.screen_stack[-2].shown[1].status.name)
        await driver.press("q")
        await driver.until(lambda: isinstance(driver.app.screen, PlantsScreen), "the list")
        assert driver.screen.mark == 1
        await driver.press("1", "2")
        await driver.shows("line 12: enter opens it")
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.app.screen, PlantScreen), "the plant")
        await driver.press("q")
        assert driver.screen.mark == 11


async def test_a_plant_is_found_by_its_code(demo: Path, on_plants: OnPlants) -> None:
    async with on_plants(demo) as driver:
        await type_line(driver, "g14")
        assert marked(driver) == "G14"
        # also where the choice leaves it out
        await driver.press("l", "l", "l")
        await driver.shows("in quarantine ")
        await type_line(driver, "G14")
        await driver.shows("all plants")
        assert marked(driver) == "G14"


async def test_the_same_part_of_a_name_finds_one_after_the_other(
    path: Path, on_plants: OnPlants
) -> None:
    async with on_plants(path) as driver:
        assert codes_shown(driver) == ["S07", "G02", "G05"]
        await type_line(driver, "YARD")
        await driver.shows("2 of 2 with YARD")
        assert marked(driver) == "G05"
        await type_line(driver, "yard")
        await driver.shows("1 of 2 with yard")
        assert marked(driver) == "S07"


async def test_an_unknown_name_is_offered_as_a_new_plant(path: Path, on_plants: OnPlants) -> None:
    async with on_plants(path) as driver:
        await type_line(driver, "G99")
        await driver.shows("no plant G99: enter it as new?", "y enter it", "n no")
        await driver.press("n")
        assert "no plant G99" not in driver.text
        # y alone answers nothing
        await driver.press("y")
        assert isinstance(driver.screen, PlantsScreen)
        await type_line(driver, "G99")
        await driver.press("Y")
        await driver.until(lambda: isinstance(driver.app.screen, FormScreen), "the form")
        await driver.shows("G99")


async def test_another_key_drops_the_question_and_does_its_work(
    path: Path, on_plants: OnPlants
) -> None:
    async with on_plants(path) as driver:
        await type_line(driver, "G99")
        await driver.press("space")
        assert "no plant G99" not in driver.text
        assert driver.screen.mark == 1


async def test_letters_and_figures_are_text_while_a_name_is_typed(
    path: Path, on_plants: OnPlants
) -> None:
    async with on_plants(path) as driver:
        await driver.press("0", "enter", *"qohly12", "down", "pagedown")
        await driver.shows("qohly12_", "ctrl+q  leave")
        assert (driver.screen.mark, driver.screen.number, driver.screen.order) == (0, "", "risk")
        await driver.press(*["backspace"] * 7, "enter")
        await driver.shows("0 enter  by name")
        assert "name or code" not in driver.text
        assert driver.screen.mark == 0


async def pages_scrolled_down(driver: Any) -> AsyncIterator[Page]:
    """What is in sight, then what further down is, to the end."""
    before = ""
    while (page := driver.page).text() != before:
        yield page
        before = page.text()
        await driver.press("pagedown")


async def test_help_explains_and_swallows_no_key(
    demo: Path, on_plants: OnPlants, keys_named: KeysNamed
) -> None:
    async with on_plants(demo) as driver:
        bound = {str(b.id).partition(".")[2] for b in PlantsScreen.BINDINGS}  # type: ignore[union-attr]
        wanted = {key_of(role) for role in bound - {"yes", "no"}} | {"0", "1-9"}
        assert wanted - keys_named(driver.page) == set(), "the strip names every key"
        await driver.press("h")
        for size in SIZES:
            await driver.resize(*size)
            # opened again it begins at its first line
            await driver.press("h", "h")
            pages = [page async for page in pages_scrolled_down(driver)]
            assert wanted - {key for page in pages for key in keys_named(page)} == set(), size
            assert [what for page in pages for what in complaints(page, plain=True)] == [], size
        await driver.resize(80, 24)
        await driver.press("H", "h", "space")
        assert (driver.screen.helping, driver.screen.mark) == (False, 1)
        await driver.press("h", "o")
        assert (driver.screen.helping, driver.screen.order) == (False, "need")
        await driver.press("h", "3", "h")
        assert driver.screen.helping


async def test_names_are_never_markup(path: Path, on_plants: OnPlants) -> None:
    async with on_plants(path) as driver:
        await type_line(driver, "[b]")
        assert marked(driver) == "G02"
        assert driver.text.count("[b]Thole[/]") == 2
        await type_line(driver, "[/nobody]")
        await driver.shows("no plant [/nobody]: enter it as new?")


async def test_what_was_written_meanwhile_is_read_on_coming_back(
    path: Path, on_plants: OnPlants, clock: SetClock
) -> None:
    async with on_plants(path) as driver:
        await driver.press("space", "space", "enter")
        await driver.until(lambda: isinstance(driver.app.screen, PlantScreen), "the plant")
        looked = LookEntered(zones=(), seconds=60.0)
        enter_look(driver.app.logbook, now(clock), "S07", looked)
        await driver.press("q")
        await driver.until(lambda: isinstance(driver.app.screen, PlantsScreen), "the list")

        def is_read() -> bool:
            return any(
                k.status.code == "S07" and k.status.streak.looks == 1 for k in driver.screen.shown
            )

        await driver.until(is_read, "the look")
        # seen today it comes last; the mark stays with its plant
        assert codes_shown(driver)[driver.screen.mark] == "G05"


async def there_and_back(driver: Any) -> None:
    """Open the page of the marked plant, and come back to the list."""
    await driver.press("enter")
    await driver.until(lambda: isinstance(driver.app.screen, PlantScreen), "the plant")
    await driver.press("q")
    await driver.until(lambda: isinstance(driver.app.screen, PlantsScreen), "the list")


async def test_without_a_change_nothing_is_read_again(path: Path, on_plants: OnPlants) -> None:
    async with on_plants(path) as driver:
        before = driver.screen.ranking
        await there_and_back(driver)
        # why the figures of the plant opened are so was worked out; of the rest all stayed
        ranking = driver.screen.ranking
        both = zip(ranking.lines, before.lines, strict=True)
        stayed = [line.status is old.status for line, old in both]
        assert stayed == [False, *[True] * (len(stayed) - 1)]
        assert ranking.lines[0].status.why is not None
        await there_and_back(driver)
        assert driver.screen.ranking is ranking


async def test_a_plant_entered_meanwhile_is_marked(
    path: Path, on_plants: OnPlants, clock: SetClock
) -> None:
    async with on_plants(path) as driver:
        await driver.press("l", "l", "l")
        await type_line(driver, "G99")
        await driver.press("y")
        await driver.until(lambda: isinstance(driver.app.screen, FormScreen), "the form")
        details = PlantDetails(name="Gaff", size="small", place="porch shelf", already_here=True)
        add_plant(driver.app.logbook, now(clock), "G99", details)
        driver.app.pop_screen()
        await driver.shows("4 plants", "Gaff")
        assert marked(driver) == "G99"


async def test_the_plan_of_today_is_taken_over(demo: Path, opened: Opened) -> None:
    async with opened(demo) as driver:
        await driver.shows("begin the round")
        day = driver.screen.view.day
        driver.app.push_screen(PlantsScreen(driver.app.logbook))
        await driver.shows("by risk")
        assert {id(line.status) for line in driver.screen.shown} == {id(s) for s in day.ordered}


async def test_an_empty_logbook_says_how_to_begin(
    tmp_path: Path, on_plants: OnPlants, keys_named: KeysNamed
) -> None:
    async with on_plants(tmp_path / "new.db") as driver:
        await driver.shows("no plants yet", "0 plants")
        for page in (await driver.pages_at(SIZES)).values():
            assert complaints(page, plain=True) == []
            assert {"q", "0", "h"} - keys_named(page) == set()
        await driver.press("space", "enter", "o", "l")
        await type_line(driver, "Thole")
        await driver.shows("no plant Thole: enter it as new?")


HOSTILE = (
    ("G02[b]", "[bold red]Thole[/] " * 9),
    ("G05" + "x" * 60, "Halyard of the long name " * 20),
    ("鉢植え七番", "綿虫の鉢植えの長い長い名前の植物" * 4),
    ("G14", "Gimbal\x1b[2J\x07\r\n\t"),
)


@pytest.fixture
def hostile(tmp_path: Path, clock: SetClock) -> Path:
    """Invented plants whose names break pages, apart for years, looked at long ago."""
    path = tmp_path / "hostile.db"
    with Logbook(path, clock) as logbook:
        arrival = now(SetClock(clock.instant - timedelta(days=1400)))
        put_place(logbook, arrival, "stair foot" * 20, PlaceDetails(apart=True))
        for code, name in HOSTILE:
            details = PlantDetails(name=name, size="small", place="stair foot" * 20, spot=name)
            add_plant(logbook, arrival, code, details)
            enter_look(logbook, arrival, code, LookEntered(zones=(), seconds=600.0))
    return path


async def test_the_page_holds_together_at_every_size(
    hostile: Path, demo: Path, on_plants: OnPlants, keys_named: KeysNamed
) -> None:
    found = []
    for path in (hostile, demo):
        async with on_plants(path) as driver:
            for what in ("list", "typing", "asking", "message"):
                if what == "typing":
                    await driver.press("0", "enter", *"nobody of this name is to be found")
                if what == "asking":
                    driver.screen.line.text = (
                        "綿虫の鉢植え " * 6 if path is hostile else "G99 " * 15
                    )
                    await driver.press("enter")
                if what == "message":
                    await driver.press("n", "7")
                for size, page in (await driver.pages_at(SIZES)).items():
                    where = f"{path.stem}, {what} at {size}"
                    found += [f"{where}: {c}" for c in complaints(page, plain=path is demo)]
                    way_out = "ctrl+q" if what == "typing" else "q"
                    if way_out not in keys_named(page):
                        found.append(f"{where}: no way out is named")
    assert "\n".join(found) == ""


async def test_days_long_ago_are_told_whole(hostile: Path, on_plants: OnPlants) -> None:
    async with on_plants(hostile) as driver:
        driver.screen.order = "last-look"
        for page in (await driver.pages_at(((80, 24), (120, 40), (40, 24)))).values():
            rows = page.text()
            assert rows.count("1400 d ago") >= len(HOSTILE)
            assert "║ day 1400 of quarantine" in rows


async def test_what_is_typed_past_the_end_of_a_question_pushes_the_list_not_over_it(
    path: Path, on_plants: OnPlants
) -> None:
    async with on_plants(path) as driver:
        await driver.resize(40, 12)
        await type_line(driver, "G99 " + "x" * 34)
        assert complaints(driver.page, plain=True) == []
        text = " ".join(driver.text.split())
        assert "no plant G99 " + "x" * 34 + ": enter it as new?" in text
        assert "> 1" in text


@pytest.mark.parametrize("found", [None, date(2025, 11, 28)])
async def test_a_long_streak_is_told_whole(
    path: Path, on_plants: OnPlants, found: date | None
) -> None:
    async with on_plants(path) as driver:
        screen = driver.screen
        one = many(driver.app.logbook, screen.day.on).lines[0]
        streak = Streak(365, 700, None, None)
        screen.shown = [replace(one, status=replace(one.status, streak=streak, last_find_on=found))]
        screen.order = "last-find"
        for page in (await driver.pages_at(((80, 24), (120, 40)))).values():
            text = page.text()
            assert "streak 365 in 700 d" in text
            assert ("28 November" if found else "never") in text
