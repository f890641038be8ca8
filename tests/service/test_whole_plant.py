"""A plant looked at in one go: closed together, opened by a find at the zone that is named."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import collection_on, record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundWalk, resume
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.shown.said import of_plant
from rounds.store import walks
from tests.service.whole_plants import (
    AXILS,
    DAY_BEFORE,
    OUTSIDE,
    TODAY,
    WEIGHTS,
    Add,
    Wait,
    Walk,
    asks,
    chance,
    in_one_go,
    log_of,
    share,
    zone,
)


def test_the_zone_line_says_so_and_no_zone_is_the_one_at_hand(whole: RoundWalk) -> None:
    view = whole.view()
    assert view.zone is not None
    assert (view.zone.zone, view.zone.name, view.zone.of) == ("", "whole plant", 7)
    assert view.zone.planned_seconds == pytest.approx(14)
    assert view.plant is not None
    assert not any(line.is_here for line in view.plant.zones)


@pytest.mark.parametrize("key", ["go_on", "rest"])
def test_space_and_v_close_all_zones_which_share_the_seconds(
    whole: RoundWalk, wait: Wait, key: str
) -> None:
    wait(20)
    assert getattr(whole, key)().stage == "end"
    looks = log_of(whole)
    assert sorted(look.zone for look in looks) == sorted(OUTSIDE)
    assert {look.outcome for look in looks} == {"looked"}
    assert {k.zone: k.seconds for k in looks} == pytest.approx(
        {zone: share(zone, 20) for zone in OUTSIDE}, abs=1e-3
    )
    assert whole.progress.elapsed_seconds() == pytest.approx(20)


def test_in_one_go_the_clock_runs_for_all_that_is_planned(whole: RoundWalk, wait: Wait) -> None:
    steps = [replace(step, planned_seconds=15.0) for step in whole.course.steps]
    walks.replace_steps(whole.logbook.file, whole.walk.id, steps)
    whole.leave()
    again = resume(whole.logbook, whole.walk)
    wait(4000)
    assert again.view().clock_stands
    again.go_on()
    assert sum(look.seconds for look in log_of(again)) == pytest.approx(7 * 15, abs=1e-3)


def test_taken_back_it_is_one_go_again(whole: RoundWalk, wait: Wait) -> None:
    wait(20)
    whole.go_on()
    view = whole.take_back()
    assert view.zone is not None
    assert (view.zone.name, round(view.zone.seconds)) == ("whole plant", 20)
    assert [(look.is_open, look.tallies) for look in log_of(whole)] == [(True, ())]


def test_the_chance_is_that_of_all_zones_clean(whole: RoundWalk, wait: Wait) -> None:
    wait(14)
    expected = chance(whole)
    before = whole.plant.record.likely.chance_clean
    assert expected is not None
    assert expected > before
    whole.go_on()
    # the same seconds, shared as planned or by reference time, are nearly as good
    assert record_of(whole.logbook, whole.plant.plant, TODAY).likely.chance_clean == (
        pytest.approx(expected, abs=2e-3)
    )


@pytest.mark.parametrize("kind", ["removed", "killed", "left", "doubtful"])
def test_a_find_asks_at_which_zone_and_is_on_disk_before(
    whole: RoundWalk, wait: Wait, kind: str
) -> None:
    wait(9)
    view = whole.count(kind)
    assert view.question is not None
    assert view.question.code == "which-zone"
    assert [a.role for a in view.question.answers] == [*"1234567"]
    assert view.question.answers[AXILS - 1].text == "axils"
    assert view.zone is not None
    assert getattr(view.zone.counts, kind) == 1
    # in the log, and so in every sum, before its zone is said
    [look] = log_of(whole)
    assert [(t.kind, t.count) for t in look.tallies] == [(kind, 1)]
    assert view.plant is not None
    assert not any(line.state.endswith("found") for line in view.plant.zones)
    again = resume(whole.logbook, whole.walk, take_over=True).view()
    assert again.question == view.question
    assert again.zone is not None
    assert again.zone.counts == view.zone.counts


def test_the_count_is_written_at_its_zone_and_the_others_stand_open(
    whole: RoundWalk, wait: Wait
) -> None:
    wait(19)
    whole.digit(1)
    whole.digit(2)
    view = whole.count("removed")
    assert view.question is not None
    assert view.question.text == "12 removed: at which zone?"
    view = whole.digit(AXILS)
    assert (zone(view), view.pending) == ("axils", "")
    assert view.zone is not None
    assert (view.zone.counts.removed, view.zone.of) == (12, 7)
    looks = {look.zone: look for look in log_of(whole)}
    assert looks["axils"].is_open
    assert [(t.kind, t.count) for t in looks["axils"].tallies] == [("removed", 12)]
    for other in set(OUTSIDE) - {"axils"}:
        assert (looks[other].outcome, looks[other].tallies) == ("looked", ())
        assert looks[other].seconds == pytest.approx(share(other, 19), abs=1e-3)
    assert view.zone.seconds == pytest.approx(share("axils", 19), abs=1e-3)
    assert view.elapsed_seconds == pytest.approx(19, abs=1e-2)


def test_from_there_the_zones_are_looked_at_that_of_the_find_first(
    whole: RoundWalk, wait: Wait
) -> None:
    whole.count("removed")
    view = whole.digit(AXILS)
    whole.answer("not-now")
    seen = []
    while view.stage == "zone":
        seen.append(zone(view))
        wait(20)
        view = whole.go_on()
    # those that need little stay together
    assert seen == ["axils", "", "undersides"]
    day = next(d for d in record_of(whole.logbook, whole.plant.plant, TODAY)
               .days("mealybug") if d.day == TODAY)  # fmt: skip
    assert (day.complete, day.live) == (True, True)


def test_what_is_planned_for_an_opened_zone_is_what_makes_it_seen(
    whole: RoundWalk, wait: Wait
) -> None:
    wait(7)
    whole.count("removed")
    view = whole.digit(AXILS)
    assert view.zone is not None
    reference = 60 * WEIGHTS["axils"] / sum(WEIGHTS.values())
    assert view.zone.planned_seconds == pytest.approx(reference / 2)
    whole.answer("not-now")
    view = whole.go_on()
    assert view.zone is not None
    together = [zone for zone in OUTSIDE if zone not in ("axils", "undersides")]
    assert (view.zone.name, view.zone.of) == ("5 zones together", 5)
    # two seconds of each were planned when they were one: none gets less, none more than it needs
    planned = [max(share(z, 30) - share(z, 7), min(2.0, share(z, 30))) for z in together]
    assert view.zone.planned_seconds == pytest.approx(sum(planned), abs=5e-3)


def test_a_zone_seen_long_enough_on_the_way_still_gets_its_share_of_the_plan(
    whole: RoundWalk, wait: Wait
) -> None:
    wait(59)
    whole.count("removed")
    whole.digit(AXILS)
    view = whole.answer("not-now")
    assert view.elapsed_seconds == pytest.approx(59, abs=1e-2)
    planned = {}
    while view.stage == "zone":
        assert view.zone is not None
        planned[zone(view)] = view.zone.planned_seconds
        view = whole.go_on()
    assert view.elapsed_seconds == pytest.approx(59, abs=1e-2)
    assert planned.pop("axils") == pytest.approx(share("axils", 30))
    # two seconds of each were planned when they were one; some zones are small and need less
    others = [zone for zone in OUTSIDE if zone != "axils"]
    assert planned == pytest.approx({"": sum(min(2.0, share(zone, 30)) for zone in others)})


def test_a_figure_no_zone_has_leaves_the_question(whole: RoundWalk) -> None:
    whole.count("removed")
    assert asks(whole.digit(9)) == "which-zone"
    assert asks(whole.digit(0)) == "which-zone"


def test_the_tenth_zone_lies_on_nought(add: Add, walk: Walk) -> None:
    add("S12", "Fiddle", on=DAY_BEFORE, form="sympodial-orchid")
    begun = in_one_go(walk())
    view = begun.count("removed")
    assert view.question is not None
    assert [(a.role, a.text) for a in view.question.answers][9] == ("0", "pot rim")
    assert zone(begun.digit(0)) == "pot-rim"


def test_a_sign_opens_the_zones_too(whole: RoundWalk) -> None:
    whole.signs()
    view = whole.digit(1)
    assert view.question is not None
    assert view.question.text == "ants: at which zone?"
    assert zone(whole.digit(AXILS)) == "axils"
    [sign] = record_of(whole.logbook, whole.plant.plant, TODAY).signs
    assert (sign.zone, sign.kind) == ("axils", "ants")


def test_x_takes_back_the_count_then_the_opening(whole: RoundWalk, wait: Wait) -> None:
    wait(19)
    whole.count("doubtful")
    whole.digit(AXILS)
    wait(3)
    assert whole.take_back().message == "undone: 1 unsure at axils"
    view = whole.take_back()
    assert view.zone is not None
    assert (view.zone.name, view.zone.of) == ("whole plant", 7)
    assert view.zone.seconds == pytest.approx(22, abs=1e-2)
    assert [look.is_open for look in log_of(whole)] == [True]
    assert [step.zone for step in whole.course.steps] == OUTSIDE
    assert whole.go_on().stage == "end"
    assert sum(k.seconds for k in log_of(whole)) == pytest.approx(22, abs=1e-2)


@pytest.mark.parametrize("come_back", [False, True])
def test_taken_back_the_opening_leaves_the_seconds_as_they_were_planned(
    whole: RoundWalk, wait: Wait, come_back: bool
) -> None:
    before = list(whole.course.steps)
    wait(6)
    whole.count("removed")
    whole.digit(AXILS)
    assert sum(step.planned_seconds for step in whole.course.steps) > 20
    walk = resume(whole.logbook, whole.walk, take_over=True) if come_back else whole
    walk.take_back()
    view = walk.take_back()
    assert view.zone is not None
    assert view.zone.name == "whole plant"
    assert view.zone.planned_seconds == pytest.approx(14)
    assert list(walk.course.steps) == before
    assert walks.steps_of(walk.logbook.file, walk.walk.id) == before


def test_each_plant_opened_in_a_round_goes_back_to_its_own_seconds(add: Add, walk: Walk) -> None:
    for code in ("G02", "G05"):
        add(code, on=DAY_BEFORE)
    begun = in_one_go(walk())
    before = list(begun.course.steps)
    begun.count("doubtful")
    begun.digit(AXILS)
    begun.rest()
    assert begun.plant.plant.code == "G05"
    begun.count("doubtful")
    begun.digit(AXILS)
    begun.take_back()
    begun.take_back()
    # the rest of the plant before, then its find, then the opening
    begun.take_back()
    begun.take_back()
    begun.take_back()
    assert begun.plant.plant.code == "G02"
    assert [s.planned_seconds for s in begun.course.steps] == [s.planned_seconds for s in before]


def test_after_closing_the_zone_of_a_find_x_opens_that_one(whole: RoundWalk, wait: Wait) -> None:
    whole.count("doubtful")
    whole.digit(AXILS)
    wait(5)
    whole.go_on()
    assert zone(whole.take_back()) == "axils"
    whole.take_back()
    view = whole.take_back()
    assert view.zone is not None
    assert view.zone.name == "whole plant"


def test_c_is_for_single_zones(whole: RoundWalk) -> None:
    view = whole.hidden()
    assert asks(view) is None
    assert "in one go" in view.message


@pytest.mark.parametrize("stop", ["asked", "opened", "next"])
def test_after_a_kill_it_stands_where_it_stood(whole: RoundWalk, wait: Wait, stop: str) -> None:
    wait(5)
    whole.count("doubtful")
    if stop != "asked":
        whole.digit(AXILS)
    if stop == "next":
        whole.go_on()
    before = whole.view()
    again = resume(whole.logbook, whole.walk, take_over=True).view()
    assert again.zone is not None
    assert before.zone is not None
    assert (again.zone.zone, again.zone.name, again.zone.of, again.zone.counts) == (
        before.zone.zone, before.zone.name, before.zone.of, before.zone.counts
    )  # fmt: skip
    assert again.plant is not None
    assert before.plant is not None
    assert again.plant.zones == before.plant.zones


def test_v_after_the_opening_closes_what_is_left(whole: RoundWalk, wait: Wait) -> None:
    wait(5)
    whole.count("doubtful")
    whole.digit(AXILS)
    whole.go_on()
    wait(30)
    assert whole.rest().stage == "end"
    assert whole.progress.elapsed_seconds() == pytest.approx(35, abs=1e-2)


def test_going_back_leaves_the_plant_for_later(add: Add, walk: Walk, wait: Wait) -> None:
    for code in ("G02", "G05"):
        add(code, on=DAY_BEFORE)
    begun = in_one_go(walk())
    wait(20)
    begun.go_on()
    second = begun.plant.plant.code
    wait(3)
    begun.back()
    assert begun.plant.plant.code != second
    assert begun.view().zone is not None
    wait(2)
    begun.go_on()
    assert begun.plant.plant.code == second
    assert begun.go_on().stage == "end"


def test_a_doubt_of_any_zone_is_asked_about(
    add: Add, walk: Walk, look: Callable[..., LookWritten]
) -> None:
    add("G02", on=DAY_BEFORE)
    look("G02", DAY_BEFORE, "sheaths", seconds=20, counts={"doubtful": 1})
    begun = in_one_go(walk())
    view = begun.view()
    assert view.question is not None
    assert "sheaths" in view.question.text
    begun.answer("no")
    assert asks(begun.view()) is None
    assert begun.take_back().message == "undone: the answer about the unsure speck"
    assert asks(begun.view()) == "doubt"


def test_at_the_end_it_is_told_apart_from_zones_looked_at_too_short(
    add: Add, walk: Walk, wait: Wait
) -> None:
    add("G02", on=DAY_BEFORE)
    add("G04", on=DAY_BEFORE)
    begun = in_one_go(walk())
    wait(14)
    begun.go_on()
    # the second plant is opened by a find, and its other zones are left too soon
    begun.count("removed")
    begun.digit(AXILS)
    while begun.view().stage == "zone":
        begun.go_on()
        if begun.question is not None:
            begun.answer("not-now")
    summary = begun.view().summary
    assert summary is not None
    assert summary.in_one_go == ("G02",)
    assert summary.short
    assert all(zone.startswith("G04 ") for zone in summary.short)


def test_small_zones_are_one_step_by_the_same_keys(add: Add, walk: Walk, wait: Wait) -> None:
    add("G02", on=DAY_BEFORE)
    begun = walk()
    steps = [replace(step, group=int(step.zone in SMALL)) for step in begun.course.steps]
    walks.replace_steps(begun.logbook.file, begun.walk.id, steps)
    begun.leave()
    begun = resume(begun.logbook, begun.walk)
    assert list(begun.course.steps) == steps
    while zone(begun.view()):
        wait(5)
        begun.go_on()
    view = begun.view()
    assert view.zone is not None
    assert view.zone.name == "stem base, medium, pot rim"
    assert view.plant is not None
    assert [line.zone for line in view.plant.zones if line.is_here] == SMALL
    wait(10)
    begun.count("removed")
    view = begun.digit(3)
    assert zone(view) == "pot-rim"
    begun.answer("not-now")
    view = begun.go_on()
    assert view.zone is not None
    assert view.zone.name == "stem base, medium"
    for _ in range(3):
        begun.take_back()
    assert begun.course.zones_at_hand() == SMALL
    assert list(begun.course.steps) == steps
    assert begun.go_on().stage == "end"
    reasons = {look.zone: look.reason for look in log_of(begun) if look.zone in SMALL}
    assert set(reasons.values()) == {"in-one-go"}


SMALL = ["stem-base", "medium", "pot-rim"]


def test_the_answer_about_a_speck_names_its_own_zone(
    add: Add, look: Callable[..., LookWritten], walk: Walk
) -> None:
    add("G02", on=DAY_BEFORE)
    look("G02", DAY_BEFORE, "undersides", seconds=20, counts={"doubtful": 1})
    begun = in_one_go(walk())
    view = begun.view()
    assert view.question is not None
    assert view.question.code == "doubt"
    assert begun.answer("no").message == "saved: not an insect, undersides of G02"


def test_a_zone_with_two_looks_is_named_once_when_a_plant_is_done(
    add: Add, look: Callable[..., LookWritten], logbook: Logbook
) -> None:
    plant = add("G02", on=DAY_BEFORE)
    for _ in range(2):
        look("G02", TODAY, "medium", seconds=20, counts={"removed": 1})
    at_hand = PlantAtHand(logbook, plant.id, collection_on(logbook, TODAY))
    assert of_plant(at_hand).startswith("G02 done: 2 at medium; ")


def test_fully_checked_is_what_the_record_has_as_a_complete_look(
    add: Add, look: Callable[..., LookWritten], logbook: Logbook
) -> None:
    plant = add("G02", on=DAY_BEFORE)
    zones = sorted(record_of(logbook, plant, TODAY).body.outside, key=lambda zone: zone.weight)
    least, total = zones[0], sum(each.weight for each in zones)
    assert least.weight <= 0.1 * total
    for each in zones[2:]:
        look("G02", TODAY, each.zone, seconds=60)
    rest = sum(each.weight for each in zones[2:])
    for each in zones[1::-1]:
        at_hand = PlantAtHand(logbook, plant.id, collection_on(logbook, TODAY))
        record = record_of(logbook, plant, TODAY)
        assert at_hand.is_fully_checked == (rest >= 0.9 * total)
        assert at_hand.is_fully_checked == (record.last_complete_look_on == TODAY)
        look("G02", TODAY, each.zone, seconds=60)
        rest += each.weight
        if each is not least:
            at_hand = PlantAtHand(logbook, plant.id, collection_on(logbook, TODAY))
            assert at_hand.is_fully_checked, "all but the least zone"
