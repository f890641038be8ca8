"""What is counted on a plant looked at in one go, until it is said at which zone."""

from datetime import timedelta

import pytest

from rounds import words
from rounds.service.inference.day import record_of
from rounds.service.plant.history import events_of
from rounds.service.plant.visits import visits_of
from rounds.service.round import RoundWalk, resume
from rounds.service.round.start import close_abandoned
from tests.service.whole_plants import (
    AXILS,
    OUTSIDE,
    TODAY,
    Wait,
    asks,
    log_of,
    share,
    zone,
)


def test_all_that_was_seen_waits_together_and_is_written_at_one_zone(whole: RoundWalk) -> None:
    whole.count("removed")
    whole.give_stage("adult")
    view = whole.count("removed")
    assert view.question is not None
    assert view.question.text == "1 removed (adult); 1 removed: at which zone?"
    whole.give_stage("adult")
    whole.signs()
    assert asks(whole.digit(1)) == "which-zone"
    view = whole.count("killed")
    assert view.question is not None
    assert view.question.text == "2 removed (adult); ants; 1 killed: at which zone?"
    view = whole.digit(AXILS)
    assert view.message == "saved: 2 removed (adult); ants; 1 killed, axils of G02"
    [axils] = [look for look in log_of(whole) if look.zone == "axils"]
    assert [(t.kind, t.count, t.stage) for t in axils.tallies] == [
        ("removed", 1, "adult"), ("removed", 1, "adult"), ("killed", 1, None),
    ]  # fmt: skip
    assert [sign.kind for sign in axils.signs] == ["ants"]
    assert asks(whole.view()) == "live-find"


@pytest.mark.parametrize(
    "press", ["go_on", "rest", "hidden", "back", "other_key", "pause", "leave", "not-now"]
)
def test_no_key_passes_over_what_waits_for_its_zone(whole: RoundWalk, press: str) -> None:
    whole.count("removed")
    view = whole.answer(press) if press == "not-now" else getattr(whole, press)()
    assert asks(view) == "which-zone"
    assert view.zone is not None
    assert view.zone.counts.removed == 1
    if press in ("go_on", "rest", "hidden", "back"):
        assert words.say("bench.zone-first") in view.message
    assert zone(whole.digit(AXILS)) == "axils"
    assert sum(t.count for look in log_of(whole) for t in look.tallies) == 1


def test_x_takes_back_press_by_press_what_waits_for_its_zone(whole: RoundWalk) -> None:
    whole.count("killed")
    whole.count("removed")
    assert whole.take_back().message == "undone: 1 removed"
    assert whole.take_back().message == "undone: 1 killed"
    view = whole.view()
    assert asks(view) is None
    assert view.zone is not None
    assert view.zone.name == "whole plant"
    assert whole.go_on().stage == "end"
    assert not any(look.live() for look in log_of(whole))


def test_what_waited_when_a_round_was_abandoned_stands_in_the_log(
    whole: RoundWalk, wait: Wait
) -> None:
    wait(12)
    whole.count("removed")
    whole.leave()
    record = record_of(whole.logbook, whole.plant.plant, TODAY + timedelta(days=1))
    assert record.last_find_on == TODAY, "before anybody closes the round"
    close_abandoned(whole.logbook, TODAY + timedelta(days=1))
    looks = {look.zone: look for look in log_of(whole)}
    assert sorted(looks) == sorted(OUTSIDE)
    assert {zone: k.seconds for zone, k in looks.items()} == pytest.approx(
        {zone: share(zone, 12) for zone in OUTSIDE}, abs=1e-3
    )
    [found] = [look for look in looks.values() if look.tallies]
    assert found.reason == "zone-not-said"
    assert [(t.kind, t.count) for t in found.tallies] == [("removed", 1)]
    closed = record_of(whole.logbook, whole.plant.plant, TODAY)
    told = [line.text for visit in visits_of(events_of(closed).looks) for line in visit.entries()]
    assert any("zone not given" in text for text in told), told


def test_a_sign_alone_makes_no_look_of_a_round_that_was_abandoned(
    whole: RoundWalk, wait: Wait
) -> None:
    wait(12)
    whole.signs()
    whole.digit(1)
    whole.leave()
    close_abandoned(whole.logbook, TODAY + timedelta(days=1))
    [look] = log_of(whole)
    assert (look.outcome, [sign.kind for sign in look.signs]) == ("partial", ["ants"])


def test_two_windows_do_not_lose_what_waits_for_its_zone(whole: RoundWalk) -> None:
    other = resume(whole.logbook, whole.walk, take_over=True)
    other.count("removed")
    other.leave()
    whole.catch_up()
    assert asks(whole.go_on()) == "which-zone"
    assert asks(whole.count("killed")) == "which-zone"
    [look] = log_of(whole)
    assert [t.kind for t in look.tallies] == ["removed", "killed"]


def test_taken_back_from_its_first_zone_the_whole_plant_stands_at_its_first_step(
    whole: RoundWalk,
) -> None:
    whole.count("doubtful")
    whole.digit(1)
    whole.take_back()
    view = whole.take_back()
    assert view.zone is not None
    assert view.zone.name == "whole plant"
    assert whole.course.step.zone == OUTSIDE[0]
    assert "first" in whole.back().message
