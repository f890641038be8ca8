"""Courses of a plant by keys: begun in a form, ticked off, undone, stopped; and what to do next."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.core.log.courses import Label, PlantCourse
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.courses.written import Asked, treat
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import local_noon
from rounds.tui.pages.plant import lines_of
from rounds.tui.screens.courses import CoursesScreen
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.history import HistoryScreen
from rounds.tui.screens.plant import PlantScreen
from tests.tui.test_lives_journeys import form_from, on_plant, on_screen

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
CAME = TODAY - timedelta(9)


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """S03, on which insects were found on three days, dislikes wet leaves."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        put_place(logbook, local_noon(CAME), "stair foot", PlaceDetails(apart=True, usual_c=22.0))
        details = PlantDetails(
            name="Pintle", size="small", place="stair foot", arrived=CAME, dislikes=("wet-leaves",)
        )
        add_plant(logbook, local_noon(CAME), "S03", details)
        for days in (3, 2, 1):
            day = local_noon(TODAY - timedelta(days))
            enter_look(logbook, day, "S03", LookEntered(("axils",), 30.0, {"removed": 2}))
    return path


async def on_courses(driver: Any) -> None:
    await on_plant(driver, "S03")
    await driver.press("9", "enter")
    await on_screen(driver, CoursesScreen)


def courses(driver: Any) -> tuple[PlantCourse, ...]:
    found: tuple[PlantCourse, ...] = driver.record("S03").lived.courses_on(TODAY)
    return found


def course(driver: Any) -> PlantCourse:
    return courses(driver)[0]


async def test_a_course_is_begun_ticked_off_undone_and_stopped(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_courses(driver)
        await driver.shows("courses of treatment", "begin: contact spray (it dislikes wet leaves)")
        await form_from(driver, "1")
        await driver.shows("contact spray: each step", "It dislikes wet leaves")
        await driver.press("pagedown")
        await driver.shows("contact spray on S03: 4 steps, today to 25 May")
        await driver.press("y", "enter")
        await on_screen(driver, CoursesScreen)
        await driver.shows(
            "spray, 1 of 4 (it dislikes wet leaves)", "due today", "It dislikes wet leaves"
        )
        await driver.press("1", "enter")
        await driver.shows("done today?", "y done", "n not now")
        await driver.press("y")
        await driver.shows(
            "saved: spray, 1 of 4 (it dislikes wet leaves), done today", "spray, 2 of 4"
        )
        assert [step.done_on for step in course(driver).steps][:2] == [TODAY, None]
        await driver.press("x")
        await driver.shows("undo: spray, 1 of 4, done, today?", "y undo it")
        await driver.press("y")
        assert [step.done_on for step in course(driver).steps][:2] == [None, None]
        await driver.press("2", "enter")
        await driver.shows("y stop it", "n keep it")
        await driver.press("y")
        await driver.shows("saved: contact spray stopped")
        assert course(driver).stopped_on == TODAY
        await driver.press("q")
        await on_screen(driver, PlantScreen)


async def test_what_to_do_next_names_the_wet_leaves_and_another_way(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await on_courses(driver)
        await says(driver, "Next, by rule of thumb: go on removing by hand; each look")
        await says(driver, "contact spray (it dislikes wet leaves)")
        for page in (await driver.pages_at(((80, 24), (40, 24), (120, 40)))).values():
            text = " ".join(page.text().split())
            assert "Next, by rule of thumb: go on removing" in text
            assert "dislikes wet leaves" in text or "contact spray, wets leaves" in text


async def test_a_label_is_typed_in_before_a_product_is_begun(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_courses(driver)
        await form_from(driver, "2")
        await driver.press("pagedown")
        assert isinstance(driver.app.screen, FormScreen)
        assert driver.app.screen.stage == "refused"
        await driver.press("n", *"Leaf Rinse", "enter", *"10", "enter", *"2", "enter", "pagedown")
        await driver.shows("labelled product on S03: 2 steps, today to 14 May")
        await driver.press("y")
        await driver.shows("saved: labelled product begun on S03")
        assert course(driver).begun.label.product == "Leaf Rinse"


async def test_the_history_tells_of_a_course_and_undoes_it_from_there(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    with Logbook(path, clock) as logbook:
        for days, said in ((2, Asked("contact-spray", done=True)), (1, Asked("lifting"))):
            treat(logbook, local_noon(TODAY - timedelta(days)), ["S03"], said)
        treat(logbook, local_noon(TODAY), ["S03"], Asked("lifting", stop=True))
    async with opened(path) as driver:
        await on_plant(driver, "S03")
        await driver.press(str(lines_of(driver.screen.detail.status).index("history") + 1), "enter")
        await on_screen(driver, HistoryScreen)
        await driver.shows(
            "removing by hand stopped", "removing by hand begun", "spray, 1 of 4, done",
            "contact spray begun, 4 steps",
        )  # fmt: skip
        for page in (await driver.pages_at(((80, 24), (40, 24)))).values():
            text = page.text()
            assert "stopped" in text
            assert "step done" in text or "spray, 1" in text
        await driver.press("x")
        await driver.shows("undo: removing by hand stopped, today?")
        await driver.press("y")
        assert {c.begun.course: c.stopped_on for c in courses(driver)}["lifting"] is None


@pytest.fixture
def shelf_path(path: Path, clock: SetClock) -> Path:
    """S04 and S05 stand at the stair foot too; S05 has lifting under way."""
    with Logbook(path, clock) as logbook:
        for code in ("S04", "S05"):
            details = PlantDetails(name=code, size="small", place="stair foot", arrived=CAME)
            add_plant(logbook, local_noon(CAME), code, details)
        treat(logbook, local_noon(TODAY - timedelta(1)), ["S05"], Asked("lifting"))
    return path


async def says(driver: Any, text: str) -> None:
    """A sentence is on the page, over as many rows as it needs."""
    await driver.until(lambda: text in " ".join(driver.text.split()), text)


def begun(driver: Any) -> dict[str, list[str]]:
    return {
        code: [c.begun.course for c in driver.record(code).lived.courses_on(TODAY)]
        for code in ("S03", "S04", "S05")
    }


async def test_a_course_is_begun_on_a_whole_shelf_in_one_act_and_undone_in_one(
    shelf_path: Path, opened: Opened
) -> None:
    async with opened(shelf_path) as driver:
        await on_courses(driver)
        await form_from(driver, "1")
        await driver.shows("plants", "S03 alone")
        # choices beside the lines hide nothing of a caution
        for page in (await driver.pages_at(((40, 24), (120, 40), (80, 24)))).values():
            text = " ".join(page.text().split())
            assert "2 all 3 at" in text
            assert ("need a licence." if page.is_wide else "children away") in text
        await says(driver, "some products need a licence.")
        await driver.press("2", "enter", "pagedown")
        await says(driver, "contact spray on all 3 at stair foot: 4 steps, today to 25 May; "
                           "these dislike wet leaves: S03")  # fmt: skip
        await driver.press("y", "enter")
        await on_screen(driver, CoursesScreen)
        assert begun(driver) == {
            "S03": ["contact-spray"], "S04": ["contact-spray"], "S05": ["lifting", "contact-spray"],
        }  # fmt: skip
        await driver.press("x")
        await says(driver, "undo: contact spray begun, 4 steps, today, at all 3 plants?")
        await driver.press("y")
        await says(driver, "undone: contact spray begun, 4 steps, today, at all 3 plants")
        # what was begun another day, by another act, stays
        assert begun(driver) == {"S03": [], "S04": [], "S05": ["lifting"]}


async def test_plants_of_the_shelf_that_have_the_course_already_are_named_and_left_out(
    shelf_path: Path, opened: Opened
) -> None:
    async with opened(shelf_path) as driver:
        await on_courses(driver)
        await form_from(driver, "3")
        await driver.shows("removing by hand: each step", "S03 alone")
        await driver.press("2", "enter", "pagedown")
        await says(driver, "removing by hand on S03, S04: 4 steps, today to 25 May; "
                           "under way already at S05")  # fmt: skip
        await driver.press("y")
        await driver.shows("saved: removing by hand begun on S03, S04")
        assert begun(driver) == {"S03": ["lifting"], "S04": ["lifting"], "S05": ["lifting"]}


async def test_what_is_said_above_the_courses_is_cut_at_no_usual_size(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    with Logbook(path, clock) as logbook:
        treat(logbook, local_noon(TODAY), ["S03"], Asked("contact-spray"))
    async with opened(path) as driver:
        await on_courses(driver)
        await driver.shows("Next, by rule of thumb: go on removing", "spray, 1 of 4")
        sizes = ((80, 24), (60, 20), (40, 24), (120, 40))
        for size, page in (await driver.pages_at(sizes)).items():
            assert ".." not in page.text(), size
            assert "spray, 1 of 4" in page.text(), size
        low = " ".join((await driver.page_at(40, 12)).text().split())
        assert "It dislikes wet leaves: this wets them." in low
        assert "1 spray, 1 of 4" in low


LAST = {80: "begin: rinsing leaves", 40: "rinsing leaves, wets leaves"}
"""The last course there is, by the width of its page."""


async def test_every_course_stands_in_sight_whichever_is_marked(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    """What is said above gives way, all but what to do next and the first caution; help has it."""
    with Logbook(path, clock) as logbook:
        used = local_noon(TODAY - timedelta(2))
        treat(logbook, used, ["S03"], Asked("contact-spray", done=True))
    async with opened(path) as driver:
        await on_courses(driver)
        await says(driver, "Next, by rule of thumb: go on removing by hand")
        lines = [line.brief for line in driver.screen.lines]
        assert lines[-1] == "rinsing leaves, wets leaves"
        for at in range(len(lines)):
            for size, page in (await driver.pages_at(((80, 24), (40, 24)))).items():
                text = page.text()
                assert "more below" not in text, (size, at)
                assert f"{len(lines)}   {LAST[size[0]]}" in text, (size, at)
                assert ".." not in text, (size, at)
                assert "It dislikes wet leaves: this wets" in text, (size, at)
            await driver.press("space")
        await driver.resize(40, 24)
        assert "the sums expected" not in " ".join(driver.text.split())
        await driver.press("h")
        await says(driver, "Found since the first use: 2; the sums expected")


async def test_whether_a_course_works_is_told_in_whole_sentences(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    with Logbook(path, clock) as logbook:
        used = local_noon(TODAY - timedelta(2))
        treat(logbook, used, ["S03"], Asked("contact-spray", done=True))
    async with opened(path, size=(80, 36)) as driver:
        await on_courses(driver)
        await says(driver, "went without. Found since the first use: 2; the sums expected")


async def test_a_course_is_explained_before_it_is_begun_and_tells_its_dates_after(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(path) as driver:
        await on_courses(driver)
        await says(driver, "4 times, 7 days apart: today to 25 May. Assumed to kill each time: "
                           "55 in 100 of those in sight; no eggs, none tucked away, none in the "
                           "pot.")  # fmt: skip
        await driver.press("4", "space")
        await says(driver, "Once. Assumed to kill: 90 in 100 of those in the pot; none above the "
                           "pot. May rejoin")  # fmt: skip
        with Logbook(path, clock) as logbook:
            treat(logbook, local_noon(TODAY - timedelta(8)), ["S03"], Asked("contact-spray"))
            treat(logbook, local_noon(TODAY), ["S03"], Asked("contact-spray", done=True))
        await driver.press("q", "9", "enter")
        for size, page in (await driver.pages_at(((40, 24), (60, 20), (80, 24)))).items():
            text = " ".join(page.text().split())
            assert "done today; due 11 May, 18 May, 25 May" in text, size


async def test_a_step_is_ticked_off_at_all_plants_here_by_one_key_and_undone_by_one(
    shelf_path: Path, opened: Opened, clock: SetClock
) -> None:
    def done() -> list[int]:
        found = (driver.record(code).lived.courses_on(TODAY) for code in ("S03", "S04", "S05"))
        return [len(c.done) for courses in found for c in courses if c.begun.course == "lifting"]

    with Logbook(shelf_path, clock) as logbook:
        treat(logbook, local_noon(TODAY - timedelta(1)), ["S03", "S04"], Asked("lifting"))
    async with opened(shelf_path) as driver:
        await on_courses(driver)
        await driver.press("1", "enter")
        await driver.shows("y done", "v done on all 3 here", "n not now")
        await driver.press("v")
        await says(driver, "saved: remove by hand, 1 of 4, done today at S03, S04, S05")
        assert done() == [1, 1, 1]
        await driver.press("x")
        await says(driver, "undo: remove by hand, 1 of 4, done, today, at all 3 plants?")
        await driver.press("y")
        assert done() == [0, 0, 0]
        await driver.press("q", "q", "q")
        await driver.press("enter")
        while "Done?" not in driver.text:
            await driver.look(60, "v")
        await driver.shows("v done on all 3 here")
        await driver.press("v")
        await says(driver, "1 of 4, S03, S04, S05")
        assert done() == [1, 1, 1]
        await driver.press("x")
        await says(driver, "undone: a step of the course of S03, S04, S05")
        assert done() == [0, 0, 0]


@pytest.mark.parametrize("dates", ["day-month", "month-day", "iso"])
async def test_the_day_of_a_course_is_whole_on_its_line_of_the_plants_page(
    path: Path, opened: Opened, clock: SetClock, dates: str
) -> None:
    """A month of many letters has a few of them where the column is narrow."""
    clock.instant = clock.instant.replace(month=9, day=22)
    with Logbook(path, clock) as logbook:
        choose(logbook, "dates", dates)
        treat(logbook, local_noon(date(2026, 9, 16)), ["S03"], Asked("contact-spray", done=True))
    async with opened(path) as driver:
        await driver.press(".", *"S03")
        await driver.shows("S03  ")
        await driver.press("enter")
        await on_screen(driver, PlantScreen)
        await driver.press("9", "space")
        for size, page in (await driver.pages_at(((80, 24), (40, 24), (120, 40)))).items():
            (told,) = [row for row in page.text().splitlines() if "course due" in row]
            day = told[told.index("course due") + len("course due") :].strip()
            assert "23" in day, size
            assert ".." not in day, size


async def test_what_a_label_asks_is_said_beside_a_course_that_is_due_sooner(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    label = Label("Leaf Rinse", interval_days=7, most_uses=3, reentry_hours=12.0, gear="a mask")
    with Logbook(path, clock) as logbook:
        moment = local_noon(TODAY - timedelta(2))
        treat(logbook, moment, ["S03"], Asked("root-clean-out"))
        treat(logbook, moment, ["S03"], Asked("labelled-product", label=label, done=True))
    asked = ("Wear: a mask.", "Nobody goes near it for 12 hours.")
    async with opened(path) as driver:
        await on_courses(driver)
        await driver.shows("root clean-out", "use Leaf Rinse, 2 of", *asked)
        await driver.resize(40, 24)
        await says(driver, asked[0])
        await driver.press("h")
        await says(driver, asked[1])


async def test_what_to_do_next_says_what_to_mind_at_it(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await on_courses(driver)
        await driver.shows(
            "Next, by rule of thumb: go on removing", "Alcohol burns: no flame or spark near"
        )
