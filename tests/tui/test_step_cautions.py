"""Where a step of a course is asked in the round, what to mind at it stands with it."""

import tomllib
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

import rounds
from rounds import words
from rounds.core.collection import Plant
from rounds.core.log.courses import Label
from rounds.service.courses.cautions import BY_KIND
from rounds.service.courses.written import Asked, treat
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.round import RoundView, RoundWalk
from rounds.tui.forms.begin_course import begin_course_form
from rounds.tui.page import THIRD
from rounds.tui.pages.round import round_page
from tests.tui.conftest import Opens

TODAY = date(2026, 5, 4)
BEGAN = TODAY - timedelta(8)
SIZES = ((80, 24), (80, 22), (40, 24), (40, 20), (40, 12), (120, 40))
LABEL = Label("Leaf Rinse", interval_days=7, most_uses=3, reentry_hours=12.0, gear="gloves, mask")

Add = Callable[..., Plant]
Walk = Callable[[], RoundWalk]


def asked_of(logbook: Logbook, walk: Walk, course: str, label: Label) -> RoundView:
    """A round as the step of a course is asked that was due yesterday."""
    treat(logbook, local_noon(TODAY - timedelta(1)), ["G02"], Asked(course, label))
    walked = walk()
    view = walked.view()
    while view.question is None:
        view = walked.go_on()
    return view


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize(
    ("course", "label", "first"),
    [
        ("lifting", Label(), ("flame", "swabs burn")),
        ("contact-spray", Label(), ("label", "loves")),
        ("root-clean-out", Label(), ("loves", "eroxide")),
        ("labelled-product", LABEL, ("gloves, mask", "12 h")),
    ],
)
def test_the_cautions_that_matter_most_stand_with_the_step(
    logbook: Logbook,
    add: Add,
    walk: Walk,
    course: str,
    label: Label,
    first: tuple[str, ...],
    size: tuple[int, int],
) -> None:
    add("G02", on=BEGAN)
    view = asked_of(logbook, walk, course, label)
    page = round_page(view, *size)
    text = " ".join(page.text().split())
    assert "due 3 May. Done?" in text
    assert [said for said in first if said not in text] == []


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_a_plant_that_dislikes_wet_leaves_is_warned_first(
    logbook: Logbook, add: Add, walk: Walk, size: tuple[int, int]
) -> None:
    add("G02", on=BEGAN, dislikes=("wet-leaves",))
    view = asked_of(logbook, walk, "contact-spray", Label())
    assert view.question is not None
    assert "dislikes wet leaves" in view.question.minds[0].brief
    text = " ".join(round_page(view, *size).text().split())
    assert text.lower().count("dislikes wet leaves") == 2


def test_once_it_is_answered_they_are_gone(logbook: Logbook, add: Add, walk: Walk) -> None:
    add("G02", on=BEGAN)
    treat(logbook, local_noon(TODAY - timedelta(1)), ["G02"], Asked("lifting"))
    walked = walk()
    view = walked.view()
    while view.question is None:
        assert "flame" not in round_page(view, 80, 24).text()
        view = walked.go_on()
    assert "flame" in round_page(view, 80, 24).text()
    assert "flame" not in round_page(walked.answer("not-now"), 80, 24).text()


def test_every_caution_has_a_short_form_of_one_row() -> None:
    file = Path(rounds.__file__).parent / "words" / "en" / "courses.toml"
    table: dict[str, Any] = tomllib.loads(file.read_text(encoding="utf-8"))
    assert set(table["caution"]) == set(table["brief-mind"])
    assert {code for codes in BY_KIND.values() for code in codes} <= set(table["caution"])
    for code in table["brief-mind"]:
        said = words.say(f"courses.brief-mind.{code}", gear="mask", hours="12", limit="89.6 degF")
        assert len(said) <= 79 - THIRD, said


@pytest.mark.parametrize("size", [(80, 24), (40, 24), (120, 40)], ids=str)
async def test_they_are_in_sight_with_the_question_of_a_form_however_many_lines_it_has(
    few_for_long: Path, opened: Opens, size: tuple[int, int]
) -> None:
    async with opened(few_for_long, size) as driver:
        assert driver.app.logbook is not None
        driver.app.push_screen(begin_course_form(driver.app.logbook, "S03", "labelled-product"))
        await driver.shows("begin a course")
        await driver.press("down", "down", *"Rinse", "down", "7", "down", "3", "pagedown")
        await driver.shows("write it?")
        text = " ".join(driver.text.split())
        for caution in ("label", "loves", "pets" if size[0] == 40 else "Birds"):
            assert caution in text
