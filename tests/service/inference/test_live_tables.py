"""How often what the keys will mean is worked out."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from rounds.core.collection import Plant
from rounds.core.inference.live import live_table
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundWalk, begin, live
from tests.days import plan_by_zone

from .asking import SECONDS_PER_FIND, TODAY, Add, LookIn, before
from .walking import end_zone, shown

Wait = Callable[[float], None]


@pytest.fixture
def built(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many zones each table holds that is built from now on."""
    found: list[int] = []

    def counting(log: Any, looks: Any, weights: Any, **asked: Any) -> Any:
        found.append(len(looks))
        return live_table(log, looks, weights, **asked)

    monkeypatch.setattr(live, "live_table", counting)
    return found


def test_the_table_is_built_once_for_each_plant(
    add: Add, look: LookIn, walk: Callable[[], RoundWalk], wait: Wait, built: list[int]
) -> None:
    for code in ("S03", "S09"):
        add(code, place="stair foot", arrived=before(9), on=before(9))
        look(code, before(2))
    walked = walk()
    while walked.view().stage != "end":
        if walked.view().stage == "hygiene":
            walked.go_on()
            continue
        for _ in range(3):
            walked.count("removed")
            walked.view()
        for _ in range(3):
            walked.take_back()
            walked.view()
        walked.other_key()
        walked.view()
        end_zone(walked, wait)
    assert built == [7, 7]


def in_haste(logbook: Logbook) -> RoundWalk:
    """A round with next to nothing planned for each zone: less than a look with a find counts."""
    day = plan_by_zone(logbook, TODAY, 3.0)
    plan = tuple(
        replace(plant, zones=tuple(replace(zone, planned_seconds=0.5) for zone in plant.zones))
        for plant in day.plan
    )
    return begin(logbook, replace(day, plan=plan))


def test_a_find_where_next_to_nothing_was_planned_makes_one_of_its_zone_alone(
    apart: Plant, logbook: Logbook, built: list[int]
) -> None:
    walked = in_haste(logbook)
    unseen = shown(walked)
    walked.count("removed")
    assert shown(walked) < unseen
    walked.take_back()
    assert shown(walked) == unseen
    assert built == [7, 1]


def at_axils(walked: RoundWalk, wait: Wait) -> RoundWalk:
    """At a zone that is planned for longer than one find takes."""
    while walked.course.step.zone != "axils":
        shown(walked)
        end_zone(walked, wait)
    assert walked.course.step.planned_seconds > SECONDS_PER_FIND
    return walked


def test_no_number_of_finds_makes_another_in_the_frame_of_a_key(
    apart: Plant, walk: Callable[[], RoundWalk], wait: Wait, built: list[int]
) -> None:
    walked = at_axils(walk(), wait)
    figures = []
    for number in range(30):
        figures.append(shown(walked))
        walked.count("removed")
        if number == 0:
            # a pause: from now on up to 15 are told
            assert walked.look_ahead()
        assert not walked.look_ahead()
    assert built == [7, 1]
    assert figures == sorted(figures, reverse=True)
    assert len(set(figures)) == 16


def test_no_key_makes_another(
    apart: Plant, walk: Callable[[], RoundWalk], wait: Wait, built: list[int]
) -> None:
    walked = walk()
    while walked.course.step.zone != "axils":
        end_zone(walked, wait)
        walked.view()
    assert walked.course.step.planned_seconds > SECONDS_PER_FIND
    for press in (walked.other_key, walked.pause, walked.view, walked.hidden, walked.take_back):
        press()
    for figure in (1, 3):
        walked.digit(figure)
        walked.count("removed")
    assert built == [7]


def test_a_find_that_closes_makes_another_and_so_does_a_zone_unseen(
    apart: Plant, walk: Callable[[], RoundWalk], wait: Wait, built: list[int]
) -> None:
    walked = walk()
    walked.view()
    end_zone(walked, wait)
    walked.count("removed")
    end_zone(walked, wait)
    walked.view()
    assert built == [7, 5]
    end_zone(walked, wait)
    walked.view()
    assert built == [7, 5]
    walked.hidden()
    walked.digit(1)
    walked.view()
    assert built == [7, 5, 3]


def test_a_first_find_in_a_short_zone_is_made_ready_between_keys(
    apart: Plant, logbook: Logbook, built: list[int]
) -> None:
    walked = in_haste(logbook)
    nothing = shown(walked)
    assert not walked.look_ahead(), "there is nothing to be said that was not said"
    assert built == [7, 1]
    assert shown(walked) == nothing
    figures = [nothing]
    for _ in range(6):
        walked.count("removed")
        figures.append(shown(walked))
        assert not walked.look_ahead()
    assert built == [7, 1], "no press paid for it"
    assert figures == sorted(set(figures), reverse=True)


def test_what_was_made_ready_says_the_same(
    apart: Plant, logbook: Logbook, built: list[int]
) -> None:
    figures = []
    walked = in_haste(logbook)
    for is_ready in (True, False):
        walked.live = live.LiveFigure()
        shown(walked)
        if is_ready:
            walked.look_ahead()
        walked.digit(3)
        walked.count("removed")
        figures.append(shown(walked))
        walked.take_back()
    assert figures[0] == pytest.approx(figures[1], rel=1e-12)
    assert built == [7, 1, 7, 1]


def test_a_zone_planned_for_longer_than_a_find_needs_nothing_more(
    apart: Plant, walk: Callable[[], RoundWalk], wait: Wait, built: list[int]
) -> None:
    walked = at_axils(walk(), wait)
    shown(walked)
    assert not walked.look_ahead()
    assert built == [7]
