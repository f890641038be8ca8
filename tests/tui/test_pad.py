"""A round by a hand that stays on the number pad: what lies on no key of it is had by number."""

from collections.abc import Iterator
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import plan_day
from rounds.service.round import begin
from rounds.tui.app import RoundsApp
from rounds.tui.keys import SETS, key_set, use
from rounds.tui.pages.by_number import (
    RARER_ROLES,
    ROLES,
    answers_by_number,
    keys_by_number,
    rarer_by_number,
)
from rounds.tui.pages.round import round_page
from rounds.tui.screens.others import OthersScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.conftest import Driver, at_the_keys
from tests.tui.reading import SIZES, complaints

PAD = {*"0123456789", "plus", "full_stop", "minus", "asterisk", "slash", "enter"}


@pytest.fixture(autouse=True)
def _as_usual() -> Iterator[None]:
    """Whatever was laid over them, the usual keys come back."""
    yield
    use(key_set())


class PadDriver(Driver):
    """Presses what a pad has, and nothing else."""

    async def press(self, *keys: str) -> None:
        assert set(keys) <= PAD
        await super().press(*keys)


@pytest.fixture
def on_pad(clock: SetClock) -> Any:
    """The round of a logbook, begun with the keys of a set."""

    @asynccontextmanager
    async def open_with(path: Path, keys: str = "pad") -> Any:
        app = RoundsApp(path, "Keeper", clock, keys)
        async with at_the_keys(app, path, clock, hand=PadDriver) as driver:
            await driver.press("enter")
            await driver.shows("plant 1 of ")
            yield driver

    return open_with


def counts(driver: Any) -> Any:
    return driver.screen.view.zone.counts


async def test_a_count_takes_the_figures_typed_before_enter(few: Path, on_pad: Any) -> None:
    async with on_pad(few) as driver:
        await driver.shows("enter  more")
        await driver.press("1", "2", "enter")
        await driver.shows("which of these?", "1 killed", "2 untouched", "0 leave", "number: 12")
        await driver.press("1")
        assert counts(driver).killed == 12
        await driver.shows("is infested. Quarantine")
        # a figure alone is how many, also while a question waits
        await driver.press("3", "full_stop")
        assert counts(driver).removed == 3
        await driver.press("2", "enter", "enter", "2")
        assert counts(driver).left == 2
        await driver.press("enter", "enter", "4")
        await driver.shows("saved: 2 untouched, young, new growth of G02")


async def test_a_question_is_answered_by_number_and_by_no_figure_alone(
    few: Path, on_pad: Any
) -> None:
    async with on_pad(few) as driver:
        code = driver.screen.view.plant.code
        await driver.press("full_stop", "1")
        assert driver.screen.view.pending == "1"
        assert driver.record(code).standing == "collection"
        await driver.press("enter")
        await driver.shows(
            "G02 is infested. Quarantine from today?", "1 quarantine", "2 can't be moved"
        )
        # one that stands for nothing chooses nothing and says so; the answers wait still
        await driver.press("9")
        await driver.shows("there is no 9 to choose here")
        assert driver.record(code).standing == "collection"
        await driver.press("2")
        await driver.until(
            lambda: driver.record(code).standing == "quarantine", "apart where it is"
        )
        assert counts(driver).removed == 1


async def test_enter_goes_from_the_answers_to_the_keys_and_back_to_neither(
    few: Path, on_pad: Any
) -> None:
    async with on_pad(few) as driver:
        await driver.press("full_stop", "enter")
        await driver.shows("1 quarantine")
        await driver.press("enter")
        await driver.shows("1 killed", "which of these?")
        await driver.press("enter")
        await driver.shows("or which of these?", "1 another pest", "2 another plant")
        await driver.press("enter")
        await driver.until(lambda: "which of these?" not in driver.text, "the list closed")
        # any other key closes it too, and does its own work
        await driver.press("enter", "minus")
        assert counts(driver).removed == 0
        await driver.until(lambda: "1 quarantine" not in driver.text, "the answers closed")


async def test_a_question_with_figures_of_its_own_is_left_by_enter(few: Path, on_pad: Any) -> None:
    async with on_pad(few) as driver:
        zone = driver.screen.view.zone.zone
        await driver.press("enter", "6")
        await driver.shows("why can't you see it")
        await driver.press("enter")
        await driver.until(lambda: driver.screen.view.question is None, "the question left")
        assert driver.screen.view.zone.zone == zone
        await driver.press("enter", "6", "1")
        await driver.until(lambda: driver.screen.view.zone.zone != zone, "the next zone")


async def test_another_pest_is_counted_and_another_plant_found_from_the_pad(
    few: Path, on_pad: Any
) -> None:
    async with on_pad(few) as driver:
        await driver.press("enter", "enter", "1")
        await driver.shows("next counts: citrus mealybug")
        await driver.press("full_stop")
        assert counts(driver).removed == 1
        await driver.press("enter", "enter", "enter", "2")
        await driver.until(lambda: isinstance(driver.app.screen, OthersScreen), "other plants")


async def test_the_round_is_left_from_the_pad(few: Path, on_pad: Any) -> None:
    async with on_pad(few) as driver:
        await driver.press("enter", "0")
        await driver.until(lambda: isinstance(driver.app.screen, TodayScreen), "today")
        await driver.shows("go on with the round")


@pytest.mark.parametrize("keys", [name for name in SETS if name != "pad"])
async def test_where_letters_are_near_enter_clears_the_figures_as_any_other_key(
    few: Path, on_pad: Any, keys: str
) -> None:
    async with on_pad(few, keys) as driver:
        await driver.press("7")
        assert driver.screen.view.pending == "7"
        await driver.press("enter")
        assert driver.screen.view.pending == ""
        assert "enter  more" not in driver.text
        assert "which of these?" not in driver.text


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_lists_by_number_have_room_on_every_page(
    few: Path, clock: SetClock, size: tuple[int, int]
) -> None:
    use(key_set("pad"))
    with Logbook(few, clock) as logbook:
        walk = begin(logbook, plan_day(logbook, clock.today()))
        view = walk.count("removed")
    assert view.question is not None
    for listed in (answers_by_number(view.question), keys_by_number(), rarer_by_number()):
        page = round_page(replace(view, question=listed.question), *size)
        assert complaints(page, plain=True) == []
        said = " ".join(page.text().split())
        for answer in listed.question.answers:
            assert f"{answer.role} {answer.text}" in said
    assert "enter more" in said


def test_every_role_of_the_round_is_on_the_pad_or_on_a_number() -> None:
    signs = {role for role, key in key_set("pad").items() if not key.isalpha()}
    assert signs == {"next", "removed", "take-back", "doubtful", "back"}
    questions = {"yes", "no", "remains", "not-now", "put-apart", "cannot-move"}
    outside = {"minutes", "order", "doubts", "coming", "find"}
    # enter is a key of the pad; help says on letters what the numbers say themselves
    assert {*signs, *ROLES, *RARER_ROLES, *questions, *outside, "begin", "help"} == set(
        key_set("pad")
    )
