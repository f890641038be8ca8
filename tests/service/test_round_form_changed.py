"""The form of a plant is put right while a round stands at zones that it has not: it goes on."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.service.collection.plants import PlantDetails, add_plant
from rounds.service.inference.day import records
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.round import RoundView, RoundWalk, resume
from tests.service.whole_plants import in_one_go

A_WHILE_AGO = date(2026, 5, 4) - timedelta(40)

PRESSES: dict[str, Callable[[RoundWalk], RoundView]] = {
    "found": lambda walk: walk.count("killed"),
    "left": lambda walk: walk.count("left"),
    "doubtful": lambda walk: walk.count("doubtful"),
    "next": RoundWalk.go_on,
    "rest": RoundWalk.rest,
    "hidden": RoundWalk.hidden,
    "take back": RoundWalk.take_back,
    "back": RoundWalk.back,
    "signs": RoundWalk.signs,
    "catch up": RoundWalk.catch_up,
}


def to_the_end(walk: RoundWalk, wait: Callable[[float], None]) -> None:
    """Nothing more on any plant; what is asked is left for later."""
    for _ in range(20):
        wait(20)
        view = walk.go_on() if walk.view().stage == "hygiene" else walk.rest()
        if view.question is not None and view.question.code == "which-zone":
            view = walk.digit(1)
        elif view.question is not None:
            view = walk.answer("not-now")
        if view.stage == "end":
            return
    pytest.fail("the round never ended")


@pytest.mark.parametrize("press", PRESSES)
@pytest.mark.parametrize("whole", [False, True], ids=["zone by zone", "in one go"])
@pytest.mark.parametrize("again", [False, True], ids=["walked on", "come back to"])
def test_a_round_goes_on_to_its_end_after_a_form_was_put_right(
    add: Callable[..., Plant],
    walk: Callable[[], RoundWalk],
    wait: Callable[[float], None],
    logbook: Logbook,
    clock: SetClock,
    press: str,
    whole: bool,
    again: bool,
) -> None:
    # a find on the one is not near the other, whose steps stay as they were planned
    for code, place in (("G02", "porch shelf"), ("G05", "seedling bench")):
        add(code, on=A_WHILE_AGO, place=place)
    begun = in_one_go(walk()) if whole else walk()
    wait(20)
    # with a zone closed before, and without
    if again and not whole:
        begun.go_on()
    for code in ("G02", "G05"):
        add_plant(logbook, now(clock), code, PlantDetails(form="fern"), change=True)
    if again:
        begun.leave()
        begun = resume(logbook, begun.walk, take_over=True)
    assert begun.view().stage == "zone"
    PRESSES[press](begun)
    while begun.look_ahead():
        pass
    to_the_end(begun, wait)
    for found in records(logbook, clock.today()):
        # what was looked at where there is no zone stands in the log, and is credited nowhere
        assert {look.zone for look in found.log} - {zone.zone for zone in found.body.zones}
        assert 0 <= found.likely.chance_clean <= 1
