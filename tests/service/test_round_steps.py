"""A step of a course that is due is ticked off in the round, as its plant is left."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.courses.written import Asked, treat
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.round import RoundView, RoundWalk

TODAY = date(2026, 5, 4)
BEGAN = TODAY - timedelta(8)

Add = Callable[..., Plant]
Walk = Callable[[], RoundWalk]


@pytest.fixture
def sprayed(logbook: Logbook, add: Add, walk: Walk) -> RoundWalk:
    """A round at a plant whose second spray was due yesterday."""
    add("G02", on=BEGAN)
    treat(logbook, local_noon(BEGAN), ["G02"], Asked("contact-spray", done=True))
    return walk()


def to_the_end(walk: RoundWalk) -> RoundView:
    """On through the zones until something is asked, or the round is over."""
    view = walk.view()
    for _ in range(30):
        if view.question is not None or view.stage == "end":
            return view
        view = walk.go_on()
    raise AssertionError("neither asked nor over")


def done_on(walk: RoundWalk) -> list[date | None]:
    plant = walk.logbook.collection().plant("G02")
    assert plant is not None
    return [step.done_on for step in plant.courses_on(TODAY)[0].steps]


def test_it_is_asked_for_as_the_plant_is_left_with_its_day(sprayed: RoundWalk) -> None:
    question = to_the_end(sprayed).question
    assert question is not None
    assert (question.code, [a.role for a in question.answers]) == ("step", ["yes", "not-now"])
    assert question.text == "spray, 2 of 4: due 3 May. Done?"


def test_a_plant_that_dislikes_wet_leaves_is_asked_with_that_word(
    logbook: Logbook, add: Add, walk: Walk
) -> None:
    add("G02", on=BEGAN, dislikes=("wet-leaves",))
    treat(logbook, local_noon(BEGAN), ["G02"], Asked("contact-spray", done=True))
    question = to_the_end(walk()).question
    assert question is not None
    assert question.text == "spray, 2 of 4 (it dislikes wet leaves): due 3 May. Done?"


def test_yes_is_on_disk_as_done_today_and_undo_takes_it_back(sprayed: RoundWalk) -> None:
    to_the_end(sprayed)
    view = sprayed.answer("yes")
    assert view.message == "saved: spray, 2 of 4, G02"
    assert done_on(sprayed) == [BEGAN, TODAY, None, None]
    assert sprayed.take_back().message == "undone: a step of the course of G02"
    assert done_on(sprayed) == [BEGAN, None, None, None]
    asked = to_the_end(sprayed).question
    assert asked is not None
    assert asked.code == "step"


def test_not_now_leaves_it_due_and_the_round_goes_on(sprayed: RoundWalk) -> None:
    to_the_end(sprayed)
    assert sprayed.answer("not-now").question is None
    assert to_the_end(sprayed).stage == "end"
    assert done_on(sprayed) == [BEGAN, None, None, None]


def test_what_is_not_due_yet_is_not_asked(logbook: Logbook, add: Add, walk: Walk) -> None:
    add("G02", on=BEGAN)
    treat(logbook, local_noon(TODAY - timedelta(2)), ["G02"], Asked("contact-spray", done=True))
    assert to_the_end(walk()).stage == "end"


def test_the_figures_of_the_round_know_at_once_what_was_used(
    logbook: Logbook, add: Add, look: Callable[..., object], walk: Walk
) -> None:
    add("G02", on=BEGAN)
    look("G02", BEGAN, "axils", seconds=30, counts={"left": 2}, stage="young")
    treat(logbook, local_noon(BEGAN), ["G02"], Asked("contact-spray", done=True))
    walked = walk()
    question = to_the_end(walked).question
    while question is not None and question.code != "step":
        walked.answer("not-now")
        question = to_the_end(walked).question
    before = walked.live.at(walked.plant, walked.course, 0.0)
    walked.answer("yes")
    after = walked.live.at(walked.plant, walked.course, 0.0)
    assert before is not None
    assert after is not None
    assert after.chance_clean > before.chance_clean
    assert after.left < before.left
