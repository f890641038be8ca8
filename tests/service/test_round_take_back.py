"""What x takes back in a round: always the newest entry, and it says which."""

from collections.abc import Callable
from datetime import date

import pytest

from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.service.entries.corrections import replace_look
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import now
from rounds.service.round import RoundView, RoundWalk, is_under_way, resume
from rounds.service.round.view import Counts
from rounds.store import walks

Wait = Callable[[float], None]
BEFORE = date(2026, 5, 2)


@pytest.fixture
def g02(add: Callable[..., Plant], walk: Callable[[], RoundWalk]) -> RoundWalk:
    """A round of one small leafy plant, G02, at its first zone."""
    add("G02")
    return walk()


def on_disk(walk: RoundWalk) -> tuple[EffectiveLook, ...]:
    with Logbook(walk.logbook.file.path, walk.logbook.clock) as other:
        plant = other.collection().plants[walk.plant.plant.id]
        return record_of(other, plant, walk.walk.day).log


def closed(walk: RoundWalk) -> list[tuple[str, str, float]]:
    return [(k.zone, k.outcome, k.seconds) for k in on_disk(walk) if not k.is_open]


def zone(view: RoundView) -> str:
    assert view.zone is not None
    return view.zone.zone


def asks(view: RoundView) -> str | None:
    return view.question.code if view.question else None


def counts(view: RoundView) -> Counts:
    assert view.zone is not None
    return view.zone.counts


def seconds(view: RoundView) -> float:
    assert view.zone is not None
    return view.zone.seconds


def held(walk: RoundWalk, wait: Wait, kind: str, presses: int) -> None:
    """A key held down: presses 30 ms apart."""
    for _ in range(presses):
        wait(0.03)
        walk.count(kind)


def test_figures_that_wait_go_first(g02: RoundWalk) -> None:
    g02.count("removed")
    g02.digit(4)
    view = g02.take_back()
    assert (view.pending, counts(view)) == ("", Counts(removed=1))
    assert counts(g02.take_back()) == Counts()


def test_a_count_goes_and_it_says_which(g02: RoundWalk, wait: Wait) -> None:
    g02.count("removed")
    wait(1)
    g02.digit(3)
    g02.count("killed")
    view = g02.take_back()
    assert counts(view) == Counts(removed=1)
    assert "3 killed" in view.message
    assert "new growth" in view.message
    assert sum(k.counted() for k in on_disk(g02)) == 1


def test_a_stage_goes_before_its_count(g02: RoundWalk, wait: Wait) -> None:
    g02.count("removed")
    g02.give_stage("young")
    wait(1)
    g02.give_stage("adult")
    stages = []
    for _ in range(3):
        view = g02.take_back()
        stages.append([t.stage for look in on_disk(g02) for t in look.tallies])
    assert stages == [["young"], [None], []]
    assert counts(view) == Counts()


def test_a_held_key_is_offered_as_one(g02: RoundWalk, wait: Wait) -> None:
    g02.count("removed")
    wait(1)
    held(g02, wait, "removed", 6)
    asked = g02.take_back()
    assert asked.question is not None
    assert (asked.question.code, asked.question.about) == ("burst", 6)
    assert counts(asked) == Counts(removed=7), "nothing is taken back before the answer"
    view = g02.answer("yes")
    assert (counts(view), asks(view)) == (Counts(removed=1), "live-find")
    assert "6" in view.message


def test_or_only_its_last_press_goes(g02: RoundWalk, wait: Wait) -> None:
    held(g02, wait, "removed", 6)
    g02.take_back()
    assert counts(g02.answer("no")) == Counts(removed=5)


def test_the_question_about_a_held_key_can_be_left(g02: RoundWalk, wait: Wait) -> None:
    held(g02, wait, "removed", 6)
    g02.take_back()
    view = g02.take_back()
    assert (counts(view), asks(view)) == (Counts(removed=6), "live-find")
    g02.take_back()
    assert counts(g02.count("removed")) == Counts(removed=7)


@pytest.mark.parametrize("gap", [0.2, 1.0])
def test_quick_fingers_are_no_held_key(g02: RoundWalk, wait: Wait, gap: float) -> None:
    for _ in range(6):
        wait(gap)
        g02.count("removed")
    view = g02.take_back()
    assert (counts(view), asks(view)) == (Counts(removed=5), "live-find")


def test_two_keys_in_turn_are_no_held_key(g02: RoundWalk, wait: Wait) -> None:
    for kind in ("removed", "left") * 3:
        wait(0.03)
        g02.count(kind)
    assert counts(g02.take_back()) == Counts(removed=3, left=2)


def test_the_closing_of_a_zone_goes_and_its_clock_runs_on(g02: RoundWalk, wait: Wait) -> None:
    wait(8)
    g02.count("doubtful")
    g02.go_on()
    view = g02.take_back()
    assert zone(view) == "new-growth"
    assert counts(view) == Counts(doubtful=1)
    assert closed(g02) == []
    wait(5)
    assert seconds(g02.view()) == 13
    g02.go_on()
    assert closed(g02) == [("new-growth", "looked", 13)]
    assert sum(k.open_doubts() for k in on_disk(g02)) == 1


def test_a_count_can_be_taken_back_after_its_zone_was_opened_again(g02: RoundWalk) -> None:
    g02.count("removed")
    g02.go_on()
    g02.take_back()
    assert counts(g02.take_back()) == Counts()
    g02.go_on()
    assert sum(k.counted() for k in on_disk(g02)) == 0


def test_a_hidden_zone_is_opened_again(g02: RoundWalk) -> None:
    g02.hidden()
    g02.digit(2)
    assert zone(g02.take_back()) == "new-growth"
    assert closed(g02) == []


def test_the_rest_of_a_plant_goes_whole(g02: RoundWalk, wait: Wait) -> None:
    wait(8)
    g02.go_on()
    wait(30)
    g02.rest()
    assert len(closed(g02)) == 7
    view = g02.take_back()
    assert (view.stage, zone(view)) == ("zone", "undersides")
    assert seconds(view) == pytest.approx(30, abs=0.005)
    assert closed(g02) == [("new-growth", "looked", 8)]


def test_the_end_of_a_round_goes_with_the_last_closing(g02: RoundWalk, wait: Wait) -> None:
    day = g02.walk.day
    wait(40)
    assert g02.rest().stage == "end"
    assert is_under_way(g02.logbook, day) is None
    g02.take_back()
    assert is_under_way(g02.logbook, day) == g02.walk
    steps = walks.steps_of(g02.logbook.file, g02.walk.id)
    assert {step.ended_as for step in steps} == {None}
    assert g02.rest().stage == "end"
    assert is_under_way(g02.logbook, day) is None


def test_across_a_hygiene_stop_the_plant_before_comes_back(
    add: Callable[..., Plant], walk: Callable[[], RoundWalk], wait: Wait
) -> None:
    add("G07", "Lanyard", place="stair foot", arrived=date(2026, 5, 1))
    add("G11", "Bollard", place="stair foot", arrived=date(2026, 5, 1))
    begun = walk()
    first = begun.view().plant
    assert first is not None
    wait(40)
    assert begun.rest().stage == "hygiene"
    view = begun.take_back()
    assert (view.stage, zone(view)) == ("zone", "new-growth")
    assert view.plant is not None
    assert view.plant.code == first.code


def test_an_answer_to_a_doubt_goes(
    add: Callable[..., Plant],
    look: Callable[..., LookWritten],
    walk: Callable[[], RoundWalk],
) -> None:
    add("G02", on=BEFORE)
    look("G02", BEFORE, "new-growth", seconds=20, counts={"doubtful": 1})
    begun = walk()
    begun.answer("yes")
    assert on_disk(begun)[0].live() == 1
    view = begun.take_back()
    assert view.question is not None
    assert view.question.code == "doubt"
    assert on_disk(begun)[0].open_doubts() == 1
    # also after the zone was closed and opened again
    begun.answer("remains")
    begun.go_on()
    begun.take_back()
    assert begun.view().question is None
    begun.take_back()
    assert on_disk(begun)[0].open_doubts() == 1


def test_back_to_the_very_beginning_nothing_is_left(g02: RoundWalk, wait: Wait) -> None:
    presses: list[Callable[[], RoundView]] = [
        lambda: g02.count("removed"), lambda: g02.give_stage("adult"), g02.go_on,
        lambda: g02.count("left"), g02.go_on, g02.rest,
    ]  # fmt: skip
    for press in presses:
        wait(5)
        press()
    said = [g02.take_back().message for _ in presses]
    assert len(set(said)) == len(said)
    view = g02.view()
    assert (zone(view), counts(view)) == ("new-growth", Counts())
    assert [(k.zone, k.is_open, k.counted()) for k in on_disk(g02)] == [("new-growth", True, 0)]
    nothing = g02.take_back()
    assert nothing.message not in said
    assert zone(nothing) == "new-growth"


def test_what_was_taken_back_stays_so_for_who_comes_back(g02: RoundWalk, wait: Wait) -> None:
    wait(8)
    g02.count("removed")
    g02.go_on()
    g02.take_back()
    g02.take_back()
    again = resume(g02.logbook, g02.walk, take_over=True).view()
    assert (zone(again), counts(again)) == ("new-growth", Counts())
    assert seconds(again) == 8


def test_a_look_corrected_to_a_zone_off_the_plan_is_left_alone(
    g02: RoundWalk, wait: Wait, logbook: Logbook
) -> None:
    wait(8)
    g02.go_on()
    wait(5)
    g02.go_on()
    record = record_of(logbook, g02.plant.plant, g02.walk.day)
    last = [look for look in record.log if not look.is_open][-1]
    entry = str(EntryName("look", last.day, record.plant.id, last.id))
    replace_look(logbook, now(logbook.clock), entry, zone="roots", seconds=5)
    view = g02.take_back()
    assert view.zone is not None
    assert view.zone.zone == "new-growth"
    g02.leave()
    assert resume(logbook, g02.walk).view().zone is not None
