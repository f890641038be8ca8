"""Ants, stickiness and soot: kept, no find, and a reason to look again; bodies that hang."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plan.today import plan_day
from rounds.service.plant.history import events_of
from rounds.service.plant.reasons import reasons_for
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.timeline import timeline
from rounds.service.plant.visits import EntryLine, visits_of
from rounds.service.round import RoundView, RoundWalk, resume

TODAY = date(2026, 5, 4)
DAY_BEFORE = TODAY - timedelta(1)
WEEK = 7

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
Walk = Callable[[], RoundWalk]
Wait = Callable[[float], None]


@pytest.fixture
def g02(add: Add, look: LookIn, walk: Walk) -> RoundWalk:
    """A round of one small plant that was seen whole yesterday, at its first zone."""
    add("G02", on=DAY_BEFORE)
    look("G02", DAY_BEFORE)
    return walk()


def record(logbook: Logbook, on: date = TODAY) -> PlantRecord:
    plant = logbook.collection().plant("G02")
    assert plant is not None
    return record_of(logbook, plant, on)


def signs(logbook: Logbook) -> list[tuple[str, str]]:
    return [(sign.zone, sign.kind) for sign in record(logbook).signs]


def asks(view: RoundView) -> str | None:
    return view.question.code if view.question else None


def lines(logbook: Logbook) -> list[EntryLine]:
    looks = events_of(record(logbook)).looks
    return [line for visit in visits_of(looks) for line in visit.entries()]


def test_the_key_asks_which_and_a_figure_keeps_it(g02: RoundWalk) -> None:
    assert asks(g02.signs()) == "signs"
    assert signs(g02.logbook) == []
    view = g02.digit(1)
    assert asks(view) is None
    assert (view.pending, view.message) == (
        "",
        "saved: ants, new growth of G02; not a find, to be checked again soon",
    )
    g02.signs()
    g02.digit(3)
    assert signs(g02.logbook) == [("new-growth", "ants"), ("new-growth", "soot")]


@pytest.mark.parametrize("leave", ["other_key", "go_on", "take_back"])
def test_other_keys_leave_the_question_and_keep_nothing(g02: RoundWalk, leave: str) -> None:
    g02.signs()
    getattr(g02, leave)()
    g02.digit(4)
    assert signs(g02.logbook) == []


def test_a_figure_without_a_sign_leaves_the_question(g02: RoundWalk) -> None:
    g02.signs()
    assert asks(g02.digit(7)) == "signs"
    assert asks(g02.answer("not-now")) is None
    assert signs(g02.logbook) == []


def test_the_same_sign_twice_at_a_look_is_kept_once(g02: RoundWalk) -> None:
    for _ in range(2):
        g02.signs()
        g02.digit(2)
    assert signs(g02.logbook) == [("new-growth", "stickiness")]


def test_a_sign_is_no_find(g02: RoundWalk, wait: Wait) -> None:
    before = record(g02.logbook)
    g02.signs()
    g02.digit(1)
    wait(60)
    view = g02.rest()
    assert view.summary is not None
    assert view.summary.found == 0
    after = record(g02.logbook)
    assert after.last_find_on is None
    assert not after.infested
    assert after.streak.looks == before.streak.looks + 1
    [day] = [day for day in after.days("mealybug") if day.day == TODAY]
    assert day.clean
    assert day.complete


def test_a_sign_changes_no_figure(g02: RoundWalk, wait: Wait) -> None:
    wait(20)
    likely = g02.likely()
    key = record(g02.logbook).likely.key
    g02.signs()
    g02.digit(1)
    assert g02.likely() == likely
    # nothing that was worked out has to be worked out again
    with_seconds = record(g02.logbook).likely.key
    g02.take_back()
    assert record(g02.logbook).likely.key == with_seconds
    assert key != ""


def test_it_is_taken_back_like_any_newest_entry(g02: RoundWalk) -> None:
    g02.count("doubtful")
    g02.signs()
    g02.digit(3)
    assert g02.take_back().message == "undone: sooty mould at new growth"
    assert signs(g02.logbook) == []
    assert g02.take_back().message == "undone: 1 unsure at new growth"


def test_a_zone_opened_again_holds_its_sign(g02: RoundWalk) -> None:
    g02.signs()
    g02.digit(1)
    g02.go_on()
    g02.take_back()
    assert signs(g02.logbook) == [("new-growth", "ants")]
    g02.take_back()
    assert signs(g02.logbook) == []


def test_a_sign_is_there_after_the_round_was_left(g02: RoundWalk) -> None:
    g02.signs()
    g02.digit(1)
    # as after a kill: nobody said that the round was left
    came_back = resume(g02.logbook, g02.walk, take_over=True)
    assert came_back.take_back().message == "undone: ants at new growth"


def test_the_list_of_zones_shows_it(g02: RoundWalk, wait: Wait) -> None:
    g02.signs()
    g02.digit(1)
    wait(10)
    view = g02.go_on()
    assert view.plant is not None
    assert next(z.state for z in view.plant.zones if z.zone == "new-growth") == "ants"


def test_for_a_week_the_plant_is_due_from_day_to_day_and_its_reason_says_why(
    g02: RoundWalk, look: LookIn
) -> None:
    g02.signs()
    g02.digit(1)
    g02.rest()
    last, after = TODAY + timedelta(WEEK), TODAY + timedelta(WEEK + 1)
    for day in (TODAY, last):
        found = record(g02.logbook, day)
        assert found.signs_lately
        assert found.claim.latest_on == TODAY + timedelta(1)
    assert record(g02.logbook, last).claim.is_due
    look("G02", after)
    assert not record(g02.logbook, after).signs_lately
    assert not record(g02.logbook, after).claim.is_due
    texts = [reason.text for reason in reasons_for(record(g02.logbook, last))]
    assert "ants at the new growth on 4 May" in texts
    today = [reason.text for reason in reasons_for(record(g02.logbook, TODAY))]
    assert "ants at the new growth today" in today


def test_it_goes_before_plants_of_more_risk(
    add: Add, look: LookIn, logbook: Logbook, walk: Walk, clock: SetClock
) -> None:
    for code in ("G02", "G05"):
        add(code, on=DAY_BEFORE)
    begun = walk()
    code = begun.plant.plant.code
    begun.signs()
    begun.digit(2)
    while begun.view().stage != "end":
        begun.rest()
    clock.instant += timedelta(1)
    other = {"G02": "G05", "G05": "G02"}[code]
    look(code, TODAY)
    plan = plan_day(logbook, TODAY + timedelta(1), 60.0)
    assert [p.status.code for p in plan.plan] == [code, other]


def test_history_shows_it_and_takes_it_back(g02: RoundWalk) -> None:
    g02.signs()
    g02.digit(1)
    g02.rest()
    logbook = g02.logbook
    [line] = [line for line in lines(logbook) if line.kind == "sign"]
    assert (line.at_zone, line.state, line.is_find) == ("ants at new growth", "stands", False)
    visit = timeline(record(logbook))[0]
    assert "ants at new growth" in visit.text
    assert visit.short == "ants"
    assert withdraw(logbook, now(logbook.clock), line.id)[0] == [line.id]
    assert signs(logbook) == []
    [line] = [line for line in lines(logbook) if line.kind == "sign"]
    assert line.state == "taken-back"


def test_a_look_taken_back_takes_its_sign_along(g02: RoundWalk) -> None:
    g02.signs()
    g02.digit(1)
    g02.go_on()
    entered = next(line for line in lines(g02.logbook) if line.zone == "new-growth"
                   and line.kind == "look" and line.time)  # fmt: skip
    withdraw(g02.logbook, now(g02.logbook.clock), entered.id)
    assert signs(g02.logbook) == []


# Bodies of what was killed in place.


@pytest.mark.parametrize(
    ("days_ago", "says"), [(1, "2 killed here 3 May"), (7, "2 killed here 27 April"), (8, None)]
)
def test_where_something_was_killed_lately_bodies_are_expected(
    add: Add, look: LookIn, walk: Walk, days_ago: int, says: str | None
) -> None:
    day = TODAY - timedelta(days_ago)
    add("G02", on=day)
    look("G02", day, "new-growth", seconds=20, counts={"killed": 2})
    view = walk().view()
    assert view.zone is not None
    assert view.question is None
    if says is None:
        assert "killed" not in view.zone.advice
    else:
        assert view.zone.advice.startswith(says)
        assert "neither moves nor smears is not a find" in view.zone.advice
    assert view.zone.counts.killed == 0


def test_after_a_later_look_the_advice_is_where_to_look_again(
    add: Add, look: LookIn, walk: Walk
) -> None:
    add("G02", on=TODAY - timedelta(2))
    look("G02", TODAY - timedelta(2), "new-growth", seconds=20, counts={"killed": 2})
    look("G02", DAY_BEFORE, "new-growth", seconds=20)
    view = walk().view()
    assert view.zone is not None
    assert "killed" not in view.zone.advice


def test_a_sign_of_a_look_that_was_given_up_is_passed_over(g02: RoundWalk) -> None:
    g02.go_on()
    g02.signs()
    g02.digit(1)
    g02.take_back()
    # opens the zone before again, in place of the one the sign was entered at
    g02.take_back()
    assert events_of(record(g02.logbook)).signs == ()
