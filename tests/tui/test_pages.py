"""Every page at every size over names made to break it, questions and help among them."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plan.today import plan_day
from rounds.service.round import begin
from rounds.service.round.view import Answer, Question, RoundView
from rounds.tui.keys import key_of
from rounds.tui.page import Page
from rounds.tui.pages.help import TELL_MEANINGS, help_told
from rounds.tui.pages.round import round_page
from tests.tui.reading import NAMES, PLACES, SIZES, complaints, sizes_in_turn, way_out
from tests.tui.touring import Tour, follow, plant, press
from tests.tui.tours import TOURS

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]

pytestmark = pytest.mark.usefixtures("polling")


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


# over the season as it is the same is asked of every page where it is captured
@pytest.mark.parametrize(
    "tour", [pytest.param(tour, id=name) for name, tour in TOURS.items() if tour.any_book]
)
async def test_pages_hold_together_at_every_size_whatever_the_names(
    tour: Tour, hostile: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    found, turn = [], 0
    async with opened(hostile) as driver:
        async for name in follow(tour, driver):
            out, turn = way_out(driver), turn + 1
            pages = await driver.pages_at(sizes_in_turn(turn))
            for (width, height), page in pages.items():
                where = f"{name} at {width}x{height}"
                found += [f"{where}, {what}" for what in complaints(page, plain=False)]
                if out not in keys_named(page):
                    found.append(f"{where}: no way out is named")
    assert "\n".join(found) == ""


def round_view(path: Path, clock: SetClock) -> RoundView:
    with Logbook(path, clock) as logbook:
        return begin(logbook, plan_day(logbook, clock.today())).view()


@pytest.mark.parametrize("code", ["doubt", "left-there", "live-find", "hidden", "burst"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_a_question_stands_with_all_its_answers(
    demo: Path, clock: SetClock, keys_named: KeysNamed, code: str, size: tuple[int, int]
) -> None:
    asked = words.section(f"round.ask.{code}.answers")
    answers = tuple(Answer(role, text) for role, text in asked.items())
    filled = {"day": "28 September 2025", "zone": "flower spike", "count": 99, "code": "G02"}
    text = words.say(f"round.ask.{code}.text", **filled, kind="untouched", seconds="12.5")
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
        await press(driver, (*plant("S03"), "2", "enter", "y"))
        await driver.shows("reason, then enter")
        driver.screen.line.text = "綿虫" * 40
        await driver.press("e", "n", "d")
        await driver.shows("綿虫end_")
        assert complaints(driver.page, plain=False) == []


@pytest.mark.parametrize("screen", TELL_MEANINGS)
def test_help_says_what_marks_and_figures_mean(screen: str) -> None:
    for size in SIZES:
        told = [row.texts[0] for row in help_told(screen, [], Page(*size)).behind]
        meanings = (*words.section("meanings.marks"), *words.section("meanings.figures"))
        assert told == [(what, "quiet") for what in meanings]
