"""The band beside the figure of a plant that is done: that of its page, worked out in a pause."""

from collections.abc import Callable

import pytest

from rounds import words
from rounds.core.inference import backward
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundWalk

from .asking import Add, before, record

Wait = Callable[[float], None]


def left_behind(add: Add, walk: Callable[[], RoundWalk], wait: Wait) -> RoundWalk:
    """One of two plants is done, and hands are cleaned before the next."""
    for code in ("S03", "S09"):
        add(code, place="stair foot", arrived=before(9), on=before(9))
    walked = walk()
    walked.count("removed")
    wait(3)
    walked.rest()
    walked.view()
    assert walked.view().stage == "hygiene"
    return walked


def text_of(walked: RoundWalk) -> str:
    plant = walked.view().plant
    return plant.clean_text if plant else ""


def test_a_plant_that_is_done_has_the_band_of_its_page_after_a_pause(
    add: Add, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    walked = left_behind(add, walk, wait)
    assert "(" not in text_of(walked), "not before there was time for it"
    while walked.look_ahead():
        pass
    likely, on_page = walked.likely(), record(logbook, walked.plant.plant.code).likely.band
    assert likely is not None
    assert (likely.low, likely.high) == pytest.approx((on_page.low, on_page.high), abs=1e-9)
    said = text_of(walked)
    assert said.startswith(words.say("band.clean-brief", chance=""))
    assert "-" in said


def test_it_is_worked_out_in_steps_between_keys(
    add: Add, walk: Callable[[], RoundWalk], wait: Wait, monkeypatch: pytest.MonkeyPatch
) -> None:
    walked = left_behind(add, walk, wait)
    monkeypatch.setattr(backward, "PART", 100)
    steps = 0
    while walked.look_ahead():
        steps += 1
    assert steps > 10


def test_a_plant_that_is_looked_at_has_none(
    add: Add, walk: Callable[[], RoundWalk], wait: Wait
) -> None:
    walked = left_behind(add, walk, wait)
    while walked.look_ahead():
        pass
    walked.go_on()
    while walked.look_ahead():
        pass
    assert walked.view().stage == "zone"
    assert "(" not in text_of(walked)
