"""Two windows on one logbook: what is chosen in one is what the other answers by at once."""

from collections.abc import Callable, Iterator
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.service.collection.away_entry import enter_away
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import CHOICES, choose, choose_next, chosen, display_of
from rounds.service.logbook.moment import now
from rounds.service.logbook.settings import keep_keeper, keep_usual, keeper
from rounds.service.plan.away import keep_minutes, minutes_of
from rounds.service.plan.today import plan_day
from rounds.service.round import RoundWalk, begin
from rounds.service.round.second_look import are_asked
from rounds.words.display import Display
from tests.days import plan_by_zone

TODAY = date(2026, 5, 4)
A_WHILE_AGO = TODAY - timedelta(40)
Add = Callable[..., Plant]


@pytest.fixture
def other(logbook: Logbook, clock: SetClock) -> Iterator[Logbook]:
    """Another window, which has read the settings and the collection already."""
    with Logbook(logbook.file.path, clock) as opened:
        plan_day(opened, TODAY)
        for name in CHOICES:
            chosen(opened, name)
        yield opened


@pytest.mark.parametrize("name", CHOICES)
def test_every_choice_of_one_window_holds_in_the_other(
    logbook: Logbook, other: Logbook, name: str
) -> None:
    for chooses, answers in ((logbook, other), (other, logbook)):
        for value in CHOICES[name]:
            choose(chooses, name, value)
            assert chosen(answers, name) == value


def test_the_next_choice_is_that_after_what_the_other_window_chose(
    logbook: Logbook, other: Logbook
) -> None:
    choose(logbook, "dates", "month-day")
    assert choose_next(other, "dates") == "iso"
    assert chosen(logbook, "dates") == "iso"


def test_days_and_units_are_shown_as_the_other_window_chose(
    logbook: Logbook, other: Logbook
) -> None:
    assert display_of(other) == Display()
    choose(logbook, "dates", "iso")
    choose(logbook, "degrees", "degF")
    choose(logbook, "volumes", "fl-oz")
    assert display_of(other) == Display("iso", fahrenheit=True, fluid_ounces=True)


def test_the_minutes_of_one_window_are_those_the_other_plans_for(
    add: Add, logbook: Logbook, other: Logbook
) -> None:
    for number in range(4):
        add(f"G{number:02}", on=A_WHILE_AGO)
    logbook.keep_minutes(1.0)
    assert (other.minutes(), minutes_of(other, TODAY)) == (1.0, 1.0)
    short = plan_day(other, TODAY)
    assert short.minutes == 1.0
    assert short.left_out
    logbook.keep_minutes(40.0)
    assert plan_day(other, TODAY).left_out == ()


def test_minutes_for_the_first_day_back_hold_in_the_other(
    logbook: Logbook, other: Logbook, clock: SetClock
) -> None:
    enter_away(logbook, now(clock), TODAY - timedelta(9), TODAY - timedelta(1))
    assert minutes_of(other, TODAY) > other.minutes()
    assert keep_minutes(logbook, TODAY, 12.0)
    assert minutes_of(other, TODAY) == 12.0
    assert minutes_of(other, TODAY + timedelta(1)) != 12.0


def test_the_order_of_one_window_is_the_order_of_the_other(
    add: Add, logbook: Logbook, other: Logbook
) -> None:
    add("G02", on=A_WHILE_AGO)
    add("S03", place="stair foot", arrived=TODAY)

    def order(book: Logbook) -> list[str]:
        return [planned.status.code for planned in plan_day(book, TODAY, 60.0).plan]

    clean_first = order(other)
    logbook.walk_by_risk(True)
    assert other.walks_by_risk()
    assert plan_day(other, TODAY, 60.0).by_risk
    assert order(other) == order(logbook) == clean_first[::-1]
    other.walk_by_risk(False)
    assert order(logbook) == clean_first


def test_the_rules_of_one_window_are_those_the_other_judges_by(
    add: Add, logbook: Logbook, other: Logbook
) -> None:
    plant = add("S03", place="stair foot", arrived=A_WHILE_AGO, on=A_WHILE_AGO)

    def judged(book: Logbook) -> object:
        return record_of(book, book.collection().plants[plant.id], TODAY).criteria

    usual = judged(other)
    choose(logbook, "rules", "strict")
    assert other.rules("mealybug", TODAY).name == "strict"
    assert judged(other) == judged(logbook) != usual
    choose(logbook, "rules", "default")
    assert judged(other) == usual


def test_second_looks_switched_on_elsewhere_are_asked_for_in_a_round_under_way(
    add: Add,
    walk: Callable[[], RoundWalk],
    wait: Callable[[float], None],
    logbook: Logbook,
    other: Logbook,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("rounds.service.round.second_look.is_drawn", lambda *drawn: True)
    add("G02", on=A_WHILE_AGO)
    begun = walk()
    wait(30)
    assert begun.go_on().question is None
    choose(other, "second-looks", "on")
    assert are_asked(logbook)
    wait(30)
    question = begun.go_on().question
    assert question is not None
    assert question.code == "second-look"


def test_who_is_at_the_keyboard_is_known_in_the_other(logbook: Logbook, other: Logbook) -> None:
    keep_keeper(logbook, "Second Keeper")
    assert keeper(other, None) == "Second Keeper"
    keep_keeper(other, "")
    assert keeper(logbook, None) is None


def test_the_usual_warmth_of_a_place_holds_in_the_other(
    add: Add, logbook: Logbook, other: Logbook, clock: SetClock
) -> None:
    plant = add("S03", place="stair foot", arrived=A_WHILE_AGO, on=A_WHILE_AGO)

    def warmth(book: Logbook) -> float:
        return book.temperatures(TODAY).mean_c(book.collection().plants[plant.id], TODAY)

    before = warmth(other)
    keep_usual(logbook, now(clock), "stair foot", 25.0)
    assert warmth(other) == warmth(logbook) > before


def test_a_plan_made_before_does_not_change_what_a_round_was_begun_with(
    add: Add, logbook: Logbook, other: Logbook
) -> None:
    add("G02", on=A_WHILE_AGO)
    begun = begin(logbook, plan_by_zone(logbook, TODAY, 60.0))
    planned = begun.view().planned_seconds
    other.keep_minutes(1.0)
    assert begun.go_on().planned_seconds == planned
    assert begun.walk.minutes == 60.0
