"""A plant put off in the round: to its end or to tomorrow, with the reason kept, and taken back."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.service.entries.walked import put_off_by
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.plan.pace import pace_learned
from rounds.service.plan.today import plan_day
from rounds.service.plant.history import history_of
from rounds.service.plant.timeline import timeline
from rounds.service.round import RoundView, RoundWalk, begin, left_at, plants_done, resume
from rounds.store import walks
from tests.days import plan_by_zone

TODAY = date(2026, 5, 4)
A_WHILE_AGO = TODAY - timedelta(40)
CODES = ("G02", "G04", "G05")

Add = Callable[..., Plant]
Wait = Callable[[float], None]


@pytest.fixture
def three(add: Add, walk: Callable[[], RoundWalk]) -> RoundWalk:
    """A round of three plants of the collection, none with a find."""
    for code in CODES:
        add(code, on=A_WHILE_AGO)
    begun = walk()
    assert order_of(begun) == list(CODES)
    return begun


def order_of(walk: RoundWalk) -> list[str]:
    plants = walk.logbook.collection().plants
    return [plants[plant_id].code for plant_id in walk.course.plants]


def put_off(walk: RoundWalk, until: int, why: int = 1) -> RoundView:
    walk.answer("not-now")
    walk.digit(until)
    return walk.digit(why)


def at(view: RoundView) -> str:
    assert view.plant is not None
    return view.plant.code


def walked(walk: RoundWalk) -> list[str]:
    """Go on to the end: the plants met on the way."""
    met = []
    view = walk.view()
    while view.stage == "zone":
        met.append(at(view))
        view = walk.rest()
    return met


def test_it_asks_to_when_then_why_and_goes_on_to_the_next_plant(three: RoundWalk) -> None:
    view = three.answer("not-now")
    assert view.question is not None
    assert [a.role for a in view.question.answers] == ["1", "2", "not-now"]
    view = three.digit(2)
    assert view.question is not None
    assert (view.question.code, at(view)) == ("put-off-why", "G02")
    view = three.digit(2)
    assert (view.question, at(view)) == (None, "G04")
    assert view.message == "G02 put off to tomorrow (still wet)"


def test_another_key_drops_the_question_and_does_its_own_work(three: RoundWalk) -> None:
    three.answer("not-now")
    view = three.count("doubtful")
    assert view.zone is not None
    assert (view.question, view.zone.counts.doubtful) == (None, 1)
    three.take_back()
    three.answer("not-now")
    assert three.answer("not-now").question is None
    assert at(three.view()) == "G02"


def test_to_the_end_it_comes_after_all_others(three: RoundWalk) -> None:
    put_off(three, 1)
    assert walked(three) == ["G04", "G05", "G02"]
    assert three.view().stage == "end"


def test_two_put_off_to_the_end_come_in_the_order_in_which_they_were(three: RoundWalk) -> None:
    put_off(three, 1)
    put_off(three, 1)
    assert walked(three) == ["G05", "G02", "G04"]


def test_the_last_plant_can_only_be_put_off_to_tomorrow(three: RoundWalk) -> None:
    three.rest()
    three.rest()
    view = three.answer("not-now")
    assert view.question is not None
    assert [a.role for a in view.question.answers] == ["2", "not-now"]
    assert three.digit(1).question == view.question
    three.digit(2)
    assert three.go_on().stage == "end", "space gives no reason"


def test_what_was_not_looked_at_is_no_evidence_and_what_was_stands(
    three: RoundWalk, wait: Wait
) -> None:
    wait(20)
    three.go_on()
    wait(7)
    elapsed = three.view().elapsed_seconds
    view = put_off(three, 2)
    assert view.elapsed_seconds == pytest.approx(elapsed)
    looks = looks_at(three, "G02")
    assert [(look.zone, look.outcome) for look in looks] == [
        ("new-growth", "looked"), ("undersides", "partial"),
    ]  # fmt: skip
    assert [look.seconds for look in looks] == pytest.approx([20, 7])


def looks_at(walk: RoundWalk, code: str) -> list[EffectiveLook]:
    plant = walk.logbook.collection().plant(code)
    assert plant is not None
    with Logbook(walk.logbook.file.path, walk.logbook.clock) as other:
        return [k for k in record_of(other, plant, TODAY).log if k.day == TODAY and not k.is_open]


@pytest.mark.parametrize("until", [1, 2])
def test_taken_back_the_plant_is_at_hand_as_it_was(
    three: RoundWalk, wait: Wait, until: int
) -> None:
    three.go_on()
    wait(7)
    before = three.view()
    put_off(three, until)
    view = three.take_back()
    assert view.message == "undone: G02 is not put off; its zone is open again"
    assert (view.plant, view.zone) == (before.plant, before.zone)
    assert three.course.turns == type(three.course.turns)()
    assert walked(three) == list(CODES)


@pytest.mark.parametrize("until", [1, 2])
def test_after_a_kill_it_is_still_put_off(three: RoundWalk, until: int) -> None:
    put_off(three, until)
    again = resume(three.logbook, three.walk, take_over=True)
    assert at(again.view()) == "G04"
    assert walked(again) == (["G04", "G05", "G02"] if until == 1 else ["G04", "G05"])


def test_killed_at_the_last_step_the_end_comes_with_those_put_off(three: RoundWalk) -> None:
    put_off(three, 1)
    three.rest()
    three.rest()
    again = resume(three.logbook, three.walk, take_over=True)
    assert at(again.view()) == "G02"


def test_at_a_hygiene_stop_after_it_the_round_is_come_back_to(
    add: Add, walk: Callable[[], RoundWalk]
) -> None:
    add("S03", place="stair foot", arrived=A_WHILE_AGO, on=A_WHILE_AGO)
    add("S04", place="stair foot", arrived=A_WHILE_AGO, on=A_WHILE_AGO)
    begun = walk()
    first, second = order_of(begun)
    assert put_off(begun, 1).stage == "hygiene"
    again = resume(begun.logbook, begun.walk, take_over=True)
    assert again.view().stage == "hygiene"
    assert at(again.go_on()) == second
    assert again.rest().stage == "hygiene"
    assert at(again.go_on()) == first


def test_a_zone_with_a_count_is_closed_first(three: RoundWalk) -> None:
    three.count("doubtful")
    view = three.answer("not-now")
    assert view.question is None
    assert "something was counted here" in view.message


def test_the_next_plant_waits_until_it_is_said_what_becomes_of_a_find(three: RoundWalk) -> None:
    three.count("removed")
    three.answer("not-now")
    three.go_on()
    put_off(three, 1)
    if three.view().stage == "hygiene":
        three.go_on()
    assert at(three.view()) == "G04"


def test_to_tomorrow_it_is_not_owed_again_today_and_says_why(
    three: RoundWalk, logbook: Logbook
) -> None:
    put_off(three, 2, why=3)
    three.leave()
    plan = plan_day(logbook, TODAY, 60.0)
    assert "G02" not in [planned.status.code for planned in plan.plan]
    [left] = [left for left in plan.left_out if left.status.code == "G02"]
    assert left.reason.code == "put-off"
    assert left.reason.text == "put off to tomorrow (needs two hands)"
    assert plan.due_waits == ()
    assert plan.waiting == set()
    tomorrow = plan_day(logbook, TODAY + timedelta(1), 60.0)
    assert "G02" in [planned.status.code for planned in tomorrow.plan]


def test_to_the_end_it_is_still_owed_today(three: RoundWalk, logbook: Logbook) -> None:
    put_off(three, 1)
    three.leave()
    plan = plan_day(logbook, TODAY, 60.0)
    assert "G02" in [planned.status.code for planned in plan.plan]


def test_the_summary_and_the_steps_tell_it(three: RoundWalk, logbook: Logbook) -> None:
    put_off(three, 2, why=1)
    assert walked(three) == ["G04", "G05"]
    summary = three.view().summary
    assert summary is not None
    assert summary.put_off == ("G02 (short of time)",)
    assert summary.not_looked_at == ()
    assert (summary.plants_looked_at, summary.plants_clean) == (2, 2)
    ended = {step.ended_as for step in walks.steps_of(logbook.file, three.walk.id)[:7]}
    assert ended == {"put-off"}


def test_how_far_a_round_is_leaves_those_put_off_to_tomorrow_out(
    three: RoundWalk, logbook: Logbook
) -> None:
    put_off(three, 2)
    three.rest()
    assert plants_done(logbook, three.walk) == (1, 2)
    step = left_at(logbook, three.walk)
    assert step is not None
    assert logbook.collection().plants[step.plant_id].code == "G05"


def test_the_history_of_the_plant_keeps_the_reason(three: RoundWalk, logbook: Logbook) -> None:
    put_off(three, 2, why=4)
    plant = logbook.collection().plant("G02")
    assert plant is not None
    [look] = history_of(record_of(logbook, plant, TODAY)).events.looks
    said = put_off_by(look)
    assert said is not None
    assert (said.until, said.why) == ("tomorrow", "no-access")


def test_the_history_says_it_in_words(three: RoundWalk, logbook: Logbook, wait: Wait) -> None:
    put_off(three, 2, why=4)
    wait(30)
    three.go_on()
    put_off(three, 1, why=2)
    told = []
    for code in ("G02", "G04"):
        plant = logbook.collection().plant(code)
        assert plant is not None
        told.append(timeline(record_of(logbook, plant, TODAY), TODAY)[0].text)
    assert told[0] == "put off to tomorrow (no access)"
    assert told[1] == "nothing at new growth, 0:30 min; put off to the end of the round (still wet)"


def test_all_put_off_to_tomorrow_the_round_ends_and_can_be_taken_back(three: RoundWalk) -> None:
    for _ in CODES:
        view = put_off(three, 2)
    assert view.stage == "end"
    view = three.take_back()
    assert (view.stage, at(view)) == ("zone", "G05")


def test_the_pace_is_not_learned_from_it(three: RoundWalk, logbook: Logbook, wait: Wait) -> None:
    wait(30)
    put_off(three, 2)
    assert pace_learned(logbook, TODAY).looks == 0


def test_begun_a_plan_by_itself_walks_the_same(add: Add, logbook: Logbook) -> None:
    for code in CODES:
        add(code, on=A_WHILE_AGO)
    assert plan_by_zone(logbook, TODAY, 60.0).plan
    begun = begin(logbook, plan_day(logbook, TODAY, 60.0))
    put_off(begun, 1)
    assert walked(begun) == ["G04", "G05", "G02"]
