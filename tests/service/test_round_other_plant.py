"""Any other plant opened in the round for a find just seen, then back to where one was."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.errors import Refused
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.plan.pace import pace_learned
from rounds.service.plan.today import plan_day
from rounds.service.round import RoundView, RoundWalk, begin, resume
from tests.service.whole_plants import in_one_go

TODAY = date(2026, 5, 4)
A_WHILE_AGO = TODAY - timedelta(40)
DAY_BEFORE = TODAY - timedelta(1)
AXILS = 3

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
Wait = Callable[[float], None]


@pytest.fixture
def two(add: Add, walk: Callable[[], RoundWalk], wait: Wait) -> RoundWalk:
    """A round of two plants, 12 seconds into the second zone of the first; 20 at the one before."""
    for code in ("G02", "G04"):
        add(code, on=A_WHILE_AGO)
    begun = walk()
    wait(20)
    begun.go_on()
    wait(12)
    assert (at(begun.view()), zone(begun.view())) == ("G02", "undersides")
    return begun


def plant_id(walk: RoundWalk, code: str) -> int:
    plant = walk.logbook.collection().plant(code)
    assert plant is not None
    return plant.id


def opened(walk: RoundWalk, code: str, number: int = AXILS) -> RoundView:
    walk.open_other(plant_id(walk, code))
    return walk.digit(number)


def at(view: RoundView) -> str:
    assert view.plant is not None
    return view.plant.code


def zone(view: RoundView) -> str:
    assert view.zone is not None
    return view.zone.zone


def looks_at(walk: RoundWalk, code: str) -> dict[str, EffectiveLook]:
    with Logbook(walk.logbook.file.path, walk.logbook.clock) as other:
        plant = other.collection().plants[plant_id(walk, code)]
        return {k.zone: k for k in record_of(other, plant, TODAY).log if k.day == TODAY}


def back_from(walk: RoundWalk) -> RoundView:
    """Go on from a detour, past the question about a find and the hygiene stop."""
    view = walk.go_on()
    if view.question is not None:
        walk.answer("not-now")
        view = walk.go_on()
    return walk.go_on() if view.stage == "hygiene" else view


def test_the_zone_is_asked_and_the_next_press_counts(two: RoundWalk) -> None:
    view = two.open_other(plant_id(two, "G04"))
    assert view.question is not None
    assert view.question.text == "G04: at which zone did you see something?"
    assert view.question.answers[AXILS - 1].text == "axils"
    assert at(view) == "G02", "until it is answered one is where one was"
    view = two.digit(AXILS)
    assert (at(view), zone(view)) == ("G04", "axils")
    view = two.count("removed")
    assert view.zone is not None
    assert view.zone.counts.removed == 1
    assert [t.kind for t in looks_at(two, "G04")["axils"].tallies] == ["removed"]


def test_the_look_that_waits_is_no_evidence_and_its_seconds_come_back(
    two: RoundWalk, wait: Wait
) -> None:
    opened(two, "G04")
    looks = looks_at(two, "G02")
    assert (looks["undersides"].outcome, looks["undersides"].seconds) == ("partial", 12.0)
    wait(9)
    two.count("removed")
    view = back_from(two)
    assert (at(view), zone(view)) == ("G02", "undersides")
    assert view.zone is not None
    assert round(view.zone.seconds, 3) == 12
    assert round(view.elapsed_seconds, 3) == 20 + 12 + 9
    wait(5)
    two.go_on()
    looks = looks_at(two, "G02")
    assert (looks["undersides"].outcome, round(looks["undersides"].seconds, 3)) == ("looked", 17)
    assert looks_at(two, "G04")["axils"].seconds == pytest.approx(9)


def test_what_was_counted_at_the_zone_that_waits_is_still_there(two: RoundWalk) -> None:
    two.digit(3)
    two.count("doubtful")
    opened(two, "G04")
    assert looks_at(two, "G02")["undersides"].open_doubts() == 3
    view = two.go_on()
    assert view.zone is not None
    assert (at(view), view.zone.counts.doubtful) == ("G02", 3)
    assert two.take_back().message.startswith("undone: 3 unsure")


def test_what_one_comes_back_to_is_said(two: RoundWalk) -> None:
    view = opened(two, "G04")
    assert view.message == "G04: axils is open; after it, back to G02"
    assert two.go_on().message.endswith("back at G02, undersides")


def test_nothing_counted_and_undone_all_is_as_it_was(two: RoundWalk) -> None:
    before = two.view()
    steps = two.course.steps
    opened(two, "G04")
    view = two.take_back()
    assert view.message == "back at G02, undersides"
    assert (view.plant, view.zone) == (before.plant, before.zone)
    assert two.course.steps == steps
    assert looks_at(two, "G04") == {}


def test_undo_goes_through_it_press_by_press(two: RoundWalk, wait: Wait) -> None:
    wait(3)
    opened(two, "G04")
    two.count("doubtful")
    two.go_on()
    wait(4)
    view = two.take_back()
    assert (at(view), zone(view)) == ("G04", "axils")
    assert view.zone is not None
    assert view.zone.counts.doubtful == 1
    assert looks_at(two, "G02")["undersides"].outcome == "partial"
    assert two.take_back().message == "undone: 1 unsure at axils"
    view = two.take_back()
    assert (at(view), zone(view)) == ("G02", "undersides")
    assert view.zone is not None
    assert round(view.zone.seconds, 3) == 19, "what was looked at after coming back is not lost"
    view = two.take_back()
    assert (at(view), zone(view)) == ("G02", "new-growth")
    assert not two.course.is_detour


@pytest.mark.parametrize("presses", ["asked", "open", "counted", "back"])
def test_after_a_kill_one_stands_where_one_stood(two: RoundWalk, presses: str) -> None:
    two.open_other(plant_id(two, "G04"))
    if presses != "asked":
        two.digit(AXILS)
    if presses in ("counted", "back"):
        two.count("doubtful")
    if presses == "back":
        two.go_on()
    before = two.view()
    again = resume(two.logbook, two.walk, take_over=True)
    view = again.view()
    assert view.zone is not None
    assert before.zone is not None
    assert (at(view), view.zone.zone, view.zone.counts) == (
        at(before), before.zone.zone, before.zone.counts
    )  # fmt: skip
    while at(view) != "G02":
        view = again.go_on()
    assert zone(view) == "undersides"


def test_at_the_hygiene_stop_on_the_way_back_too(two: RoundWalk) -> None:
    opened(two, "G04")
    two.count("removed")
    two.answer("not-now")
    assert two.go_on().stage == "hygiene"
    again = resume(two.logbook, two.walk, take_over=True)
    assert again.view().stage == "hygiene"
    assert (at(again.go_on()), zone(again.view())) == ("G02", "undersides")
    again.take_back()
    assert (at(again.view()), zone(again.view())) == ("G04", "axils")


def test_its_other_zones_come_in_its_turn(two: RoundWalk) -> None:
    opened(two, "G04")
    two.go_on()
    while at(two.view()) == "G02":
        two.go_on()
    seen = []
    while two.view().stage == "zone":
        seen.append(zone(two.view()))
        two.go_on()
    assert "axils" not in seen
    assert len(seen) == 6


@pytest.fixture
def alone(add: Add, look: LookIn, logbook: Logbook) -> RoundWalk:
    """A round of G02 with room for more; G04 elsewhere was seen whole yesterday: not in it."""
    add("G02", on=A_WHILE_AGO)
    add("G04", on=A_WHILE_AGO, place="seedling bench")
    look("G04", DAY_BEFORE)
    begun = begin(logbook, replace(plan_day(logbook, TODAY, 0.5), minutes=3.0))
    assert codes(begun) == ["G02"]
    return begun


def codes(walk: RoundWalk) -> list[str]:
    plants = walk.logbook.collection().plants
    return [plants[plant_id].code for plant_id in walk.course.plants]


def test_a_plant_that_is_not_in_the_round_leaves_it_again_where_nothing_was_looked_at(
    alone: RoundWalk,
) -> None:
    steps = alone.course.steps
    opened(alone, "G04")
    assert codes(alone) == ["G02", "G04"]
    alone.take_back()
    assert alone.course.steps == steps
    opened(alone, "G04")
    assert at(alone.back()) == "G02"
    assert alone.course.steps == steps
    assert resume(alone.logbook, alone.walk, take_over=True).course.steps == steps


def test_looked_at_without_a_find_its_other_zones_do_not_come(alone: RoundWalk) -> None:
    opened(alone, "G04")
    alone.go_on()
    assert [s.zone for s in alone.course.of_plant(plant_id(alone, "G04"))] == ["axils"]
    while alone.view().stage == "zone":
        assert at(alone.view()) == "G02"
        alone.go_on()


@pytest.mark.parametrize("role", ["not-now", "put-apart", "cannot-move"])
def test_a_find_there_brings_the_rest_of_it_into_the_round(alone: RoundWalk, role: str) -> None:
    opened(alone, "G04")
    alone.count("removed")
    view = alone.go_on()
    assert view.question is not None
    assert view.question.code == "live-find"
    assert at(view) == "G04", "what becomes of it is said before one goes back"
    alone.answer(role)
    own = alone.course.of_plant(plant_id(alone, "G04"))
    assert own[0].zone == "axils"
    assert len({step.zone for step in own}) == len(own) == 7
    assert alone.go_on().stage == "hygiene"
    view = alone.go_on()
    assert at(view) == "G02"
    while at(view) == "G02":
        view = alone.go_on()
    assert at(view) == "G04"
    planned = sum(step.planned_seconds for step in alone.course.steps)
    assert planned <= 180 + 1e-6


def test_a_find_where_no_minutes_are_left_brings_no_more_of_it(
    alone: RoundWalk, wait: Wait
) -> None:
    for _ in range(10):
        wait(30)
        alone.heard()
    opened(alone, "G04")
    alone.count("removed")
    alone.answer("not-now")
    assert [s.zone for s in alone.course.of_plant(plant_id(alone, "G04"))] == ["axils"]
    assert at(back_from(alone)) == "G02"


def test_undone_the_find_takes_the_rest_of_it_out_again(alone: RoundWalk) -> None:
    before = alone.course.steps
    opened(alone, "G04")
    alone.count("removed")
    alone.answer("not-now")
    assert len(alone.course.steps) == len(before) + 7
    alone.take_back()
    assert len(alone.course.steps) == len(before) + 1
    alone.take_back()
    assert alone.course.steps == before


def test_steps_in_one_go_are_left_as_they_are_but_for_that_zone(
    add: Add, walk: Callable[[], RoundWalk], wait: Wait
) -> None:
    for code in ("G02", "G04"):
        add(code, on=A_WHILE_AGO)
    begun = in_one_go(walk())
    wait(6)
    view = opened(begun, "G04")
    assert (at(view), zone(view)) == ("G04", "axils")
    wait(8)
    begun.count("doubtful")
    view = begun.go_on()
    assert view.zone is not None
    assert (at(view), view.zone.name, round(view.zone.seconds, 3)) == ("G02", "whole plant", 6)
    begun.go_on()
    view = begun.view()
    assert view.zone is not None
    assert (at(view), view.zone.of) == ("G04", 6)
    assert begun.go_on().stage == "end"
    assert {zone: look.outcome for zone, look in looks_at(begun, "G04").items()} == dict.fromkeys(
        looks_at(begun, "G04"), "looked"
    )
    assert looks_at(begun, "G04")["axils"].seconds == pytest.approx(8)


def test_a_detour_from_a_detour_leads_back_twice(add: Add, walk: Callable[[], RoundWalk]) -> None:
    for code in ("G02", "G04", "G05"):
        add(code, on=A_WHILE_AGO)
    begun = walk()
    opened(begun, "G04")
    opened(begun, "G05")
    assert at(begun.view()) == "G05"
    assert at(begun.go_on()) == "G04"
    assert at(begun.go_on()) == "G02"


def test_what_is_seen_on_a_whole_plant_is_placed_first(
    add: Add, walk: Callable[[], RoundWalk]
) -> None:
    for code in ("G02", "G04"):
        add(code, on=A_WHILE_AGO)
    begun = in_one_go(walk())
    begun.count("removed")
    view = begun.open_other(plant_id(begun, "G04"))
    assert view.question is not None
    assert view.question.code == "which-zone"


def test_those_near_come_first_in_the_list(add: Add, walk: Callable[[], RoundWalk]) -> None:
    add("G02", on=A_WHILE_AGO, spot="1")
    add("A01", on=A_WHILE_AGO, place="seedling bench")
    add("G04", "Binnacle Rose", on=A_WHILE_AGO, spot="9")
    add("G05", on=A_WHILE_AGO, spot="2")
    add("Z01", on=A_WHILE_AGO, place="seedling bench", touches=("G02",))
    begun = walk()
    while at(begun.view()) != "G02":
        begun.rest()
    assert [other.code for other in begun.others()] == ["Z01", "G05", "G04", "A01"]
    rose = next(other for other in begun.others() if other.code == "G04")
    assert [typed for typed in ("g0", "bin", "ros", "04") if rose.is_meant(typed)] == [
        "g0", "bin", "ros",
    ]  # fmt: skip


def test_another_window_that_took_the_round_over_is_not_written_over(two: RoundWalk) -> None:
    other = resume(two.logbook, two.walk, take_over=True)
    two.open_other(plant_id(two, "G04"))
    with pytest.raises(Refused):
        two.digit(AXILS)
    two.trouble("")
    assert looks_at(two, "G04") == {}
    assert at(other.view()) == "G02"
    opened(other, "G04")
    two.catch_up()
    assert at(two.view()) == "G04" or "walks" in two.view().message


def test_the_pace_is_learned_from_neither(two: RoundWalk, logbook: Logbook, wait: Wait) -> None:
    known = pace_learned(logbook, TODAY).looks
    wait(30)
    opened(two, "G04")
    wait(40)
    two.go_on()
    wait(10)
    two.go_on()
    assert {"undersides", "new-growth"} == set(looks_at(two, "G02")) - {"axils"}
    assert known == pace_learned(logbook, TODAY).looks == 1, "the zone looked at before"
    wait(two.course.planned_here())
    two.go_on()
    assert pace_learned(logbook, TODAY).looks == 2
