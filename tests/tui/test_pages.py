"""Every page at every size, over a season as it is and over names made to break a page."""

from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.clock import SetClock
from rounds.service.logbook import Logbook
from rounds.service.moment import now
from rounds.service.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.round import begin
from rounds.service.round.view import Answer, Question, RoundView
from rounds.service.today import plan_day
from rounds.tui.keys import key_of
from rounds.tui.page import Page
from rounds.tui.pages.round import round_page
from tests.tui.reading import CAPTURES, NAMES, PLACES, SIZES, compare, complaints

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]

TYPED = {"minutes", "reason"}
"""The pages on which letters are text."""


@pytest.fixture
def hostile(tmp_path: Path, clock: SetClock) -> Path:
    """Invented plants whose names hold markup, controls, wide characters, or no end."""
    path = tmp_path / "hostile.db"
    with Logbook(path, clock) as logbook:
        arrival = now(SetClock(clock.instant - timedelta(days=400)))
        put_place(logbook, arrival, PLACES[0], PlaceDetails())
        put_place(logbook, arrival, PLACES[1], PlaceDetails(apart=True))
        for code, name in NAMES:
            for number, place in enumerate(PLACES):
                details = PlantDetails(
                    name=name,
                    size="small",
                    # the form with the most zones
                    form="sympodial-orchid",
                    place=place,
                    spot=f"spot {name}",
                    already_here=number == 0,
                )
                add_plant(logbook, arrival, f"{number}{code}", details)
    return path


@pytest.fixture
def book(request: pytest.FixtureRequest) -> Path:
    """The demo or the hostile logbook, by name."""
    return Path(request.getfixturevalue(request.param))


async def tour(driver: Any) -> AsyncIterator[str]:
    """Every page there is, by name, with the driver standing on it."""
    yield "today"
    await driver.press("h")
    yield "today-help"
    await driver.press("h", "m", *"12q4")
    yield "minutes"
    await driver.press("enter")
    yield "minutes-bad"
    await driver.press("1", "enter")
    yield "release"
    await driver.press("y", *"alone", "space", "q")
    yield "reason"
    await driver.press("enter")
    yield "released"
    await driver.press("q", "enter")
    yield "round"
    await driver.press("h")
    yield "round-help"
    await driver.press("1", "2")
    yield "figures"
    await driver.press("c")
    yield "hidden"
    await driver.press("x", "3", "f", "a", "w")
    yield "counted"
    await driver.press("v")
    yield "hygiene"
    await driver.press("f")
    yield "hygiene-key"
    for _ in range(60):
        if driver.screen.view.stage == "end":
            break
        await driver.press("space" if driver.screen.view.stage == "hygiene" else "v")
    yield "summary"


@pytest.mark.parametrize("book", ["demo", "hostile"], indirect=True)
async def test_pages_hold_together_at_every_size(
    book: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    plain = book.stem == "demo"
    found, seen = [], set()
    async with opened(book) as driver:
        async for name in tour(driver):
            seen.add(name)
            for width, height in SIZES:
                page = driver.screen.page(width, height)
                where = f"{name} at {width}x{height}"
                found += [f"{where}, {what}" for what in complaints(page, plain=plain)]
                # while a line is typed, q is a letter like any other
                way_out = "ctrl+q" if name in TYPED else key_of("leave")
                if way_out not in keys_named(page):
                    found.append(f"{where}: no way out is named")
    assert len(seen) == 15
    assert "\n".join(found) == ""


async def test_an_empty_logbook_holds_together_at_every_size(
    tmp_path: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    async with opened(tmp_path / "new.db") as driver:
        for keys, way_out in (((), "q"), (("m", "9", "x"), "ctrl+q"), (("enter",), "q")):
            await driver.press(*keys)
            for size in SIZES:
                page = driver.screen.page(*size)
                assert complaints(page, plain=True) == []
                assert way_out in keys_named(page)


def round_view(path: Path, clock: SetClock) -> RoundView:
    with Logbook(path, clock) as logbook:
        return begin(logbook, plan_day(logbook, clock.today())).view()


@pytest.mark.parametrize("code", ["doubt", "left-there", "hidden", "burst"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_a_question_stands_with_all_its_answers(
    demo: Path, clock: SetClock, keys_named: KeysNamed, code: str, size: tuple[int, int]
) -> None:
    asked = words.section(f"round.ask.{code}.answers")
    answers = tuple(Answer(role, text) for role, text in asked.items())
    filled = {"day": "28 September 2025", "zone": "flower spike", "count": 99}
    text = words.say(f"round.ask.{code}.text", **filled, kind="left there", seconds="12.5")
    view = replace(round_view(demo, clock), question=Question(code, text, answers))
    page = round_page(view, *size)
    assert complaints(page, plain=True) == []
    assert {key_of(answer.role) for answer in answers} - keys_named(page) == set()
    shown = " ".join(page.text().split())
    assert text in shown
    assert [a.text for a in answers if a.text not in shown] == []


@pytest.mark.parametrize("size", [(40, 24), (40, 16), (40, 12)])
async def test_the_end_of_what_is_typed_is_seen(
    demo: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(demo, size=size) as driver:
        await driver.press("1", "enter", "y")
        await driver.shows("reason, then enter")
        driver.screen.line.text = "綿虫" * 40
        await driver.press("e", "n", "d")
        await driver.shows("綿虫end_")
        assert complaints(driver.page, plain=False) == []


@pytest.mark.parametrize("without_colour", [False, True], ids=["colour", "no-colour"])
@pytest.mark.parametrize("size", [(80, 24), (40, 24)], ids=["80x24", "40x24"])
async def test_the_demo_looks_as_captured(
    demo: Path,
    opened: Opened,
    monkeypatch: pytest.MonkeyPatch,
    size: tuple[int, int],
    without_colour: bool,
) -> None:
    if without_colour:
        monkeypatch.setenv("NO_COLOR", "1")
    async with opened(demo, size=size) as driver:
        assert driver.screen.has_class("-plain") is without_colour
        different = []
        async for name in tour(driver):
            different.append(compare(f"{name}-{size[0]}x{size[1]}", driver.text))
    assert [what for what in different if what] == []


def test_there_is_no_capture_of_a_page_that_is_gone() -> None:
    names = {file.stem.rpartition("-")[0] for file in CAPTURES.glob("*.txt")}
    assert len(names) == 15
