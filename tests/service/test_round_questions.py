"""What a round asks about earlier days: open doubts, and what was left at a zone."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundView, RoundWalk
from rounds.service.round.view import Counts

TODAY = date(2026, 5, 4)
DAY_BEFORE, TWO_BEFORE = TODAY - timedelta(1), TODAY - timedelta(2)
ZONE = "new-growth"

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
Walk = Callable[[], RoundWalk]


@pytest.fixture
def doubted(add: Add, look: LookIn, walk: Walk) -> RoundWalk:
    """A round at a zone where a woolly speck was seen two days ago."""
    add("G02", on=TWO_BEFORE)
    look("G02", TWO_BEFORE)
    look("G02", TWO_BEFORE, ZONE, seconds=20, counts={"doubtful": 1})
    return walk()


@pytest.fixture
def left_two(add: Add, look: LookIn, walk: Walk) -> RoundWalk:
    """A round at a zone where two insects were left yesterday."""
    add("G02", on=TWO_BEFORE)
    look("G02", DAY_BEFORE, ZONE, seconds=20, counts={"left": 2})
    return walk()


def log_of(logbook: Logbook, on: date) -> tuple[EffectiveLook, ...]:
    plant = logbook.collection().plant("G02")
    assert plant is not None
    return record_of(logbook, plant, on).log


def asked(view: RoundView) -> str | None:
    return view.question.code if view.question else None


def counts(view: RoundView) -> Counts:
    assert view.zone is not None
    return view.zone.counts


def test_a_doubt_is_asked_about_at_its_zone_with_its_day(doubted: RoundWalk) -> None:
    question = doubted.view().question
    assert question is not None
    assert question.code == "doubt"
    assert "2 May" in question.text
    assert "new growth" in question.text
    assert asked(doubted.go_on()) is None
    assert asked(doubted.back()) == "doubt"


@pytest.mark.parametrize(
    ("role", "verdict"), [("yes", "alive"), ("remains", "remains"), ("no", "not-an-insect")]
)
def test_a_doubt_is_settled_as_of_its_own_day(doubted: RoundWalk, role: str, verdict: str) -> None:
    view = doubted.answer(role)
    assert asked(view) is None
    [settled] = [t for look in log_of(doubted.logbook, TWO_BEFORE) for t in look.tallies]
    assert settled.settled_as == verdict
    assert settled.is_live is (verdict == "alive")
    # nothing of it is entered for today
    assert counts(view) == Counts()


def test_a_doubt_settled_as_remains_gives_the_clean_look_back(doubted: RoundWalk) -> None:
    assert doubted.plant.streak.looks == 0
    doubted.answer("remains")
    assert doubted.plant.streak.looks == 1


def test_still_doubtful_adds_a_doubt_of_today(doubted: RoundWalk) -> None:
    view = doubted.count("doubtful")
    assert asked(view) is None
    assert counts(view) == Counts(doubtful=1)
    doubts = [(k.day, k.open_doubts()) for k in log_of(doubted.logbook, TODAY) if k.open_doubts()]
    assert doubts == [(TWO_BEFORE, 1), (TODAY, 1)]


def test_a_find_leaves_the_question_about_a_doubt_open(doubted: RoundWalk) -> None:
    assert asked(doubted.count("removed")) == "doubt"


def test_a_doubt_put_off_is_asked_again_the_next_day(
    doubted: RoundWalk, walk: Walk, clock: SetClock
) -> None:
    assert asked(doubted.answer("not-now")) is None
    assert asked(doubted.count("killed")) == "live-find"
    doubted.rest()
    clock.instant += timedelta(1)
    assert asked(walk().view()) == "doubt"


def test_a_key_that_is_no_answer_settles_nothing(doubted: RoundWalk) -> None:
    doubted.go_on()
    assert asked(doubted.answer("yes")) is None
    assert [k.open_doubts() for k in log_of(doubted.logbook, TWO_BEFORE) if k.tallies] == [1]


def test_a_doubt_of_today_is_not_asked_about(add: Add, walk: Walk) -> None:
    add("G02")
    begun = walk()
    begun.count("doubtful")
    begun.go_on()
    assert asked(begun.back()) is None


def test_what_was_left_is_asked_about_with_its_count_and_day(left_two: RoundWalk) -> None:
    question = left_two.view().question
    assert question is not None
    assert question.code == "left-there"
    assert "2" in question.text
    assert "3 May" in question.text


def test_still_there_is_entered_as_left_today(left_two: RoundWalk) -> None:
    view = left_two.answer("yes")
    assert (asked(view), counts(view)) == ("live-find", Counts(left=2))


@pytest.mark.parametrize("kind", ["removed", "killed"])
def test_a_count_key_answers_for_all_that_was_left(left_two: RoundWalk, kind: str) -> None:
    view = left_two.count(kind)
    assert (asked(view), counts(view)) == ("live-find", Counts(**{kind: 2}))
    # and then counts one by one again
    assert counts(left_two.count(kind)) == Counts(**{kind: 3})


def test_one_more_is_left_than_was(left_two: RoundWalk) -> None:
    assert counts(left_two.count("left")) == Counts(left=3)


def test_figures_say_how_many_of_them(left_two: RoundWalk) -> None:
    left_two.digit(1)
    assert counts(left_two.count("removed")) == Counts(removed=1)


def test_a_doubt_is_no_answer_to_what_was_left(left_two: RoundWalk) -> None:
    view = left_two.count("doubtful")
    assert (asked(view), counts(view)) == ("left-there", Counts(doubtful=1))


def test_space_says_they_are_gone(left_two: RoundWalk, walk: Walk, clock: SetClock) -> None:
    left_two.go_on()
    assert sum(k.live() for k in log_of(left_two.logbook, TODAY) if k.day == TODAY) == 0
    left_two.rest()
    clock.instant += timedelta(1)
    assert asked(walk().view()) is None


def test_what_was_left_and_put_off_is_asked_again_the_next_day(
    left_two: RoundWalk, walk: Walk, clock: SetClock
) -> None:
    assert asked(left_two.answer("not-now")) is None
    assert asked(left_two.go_on()) is None
    left_two.rest()
    clock.instant += timedelta(1)
    tomorrow = walk().view()
    assert asked(tomorrow) == "left-there"
    assert tomorrow.question is not None
    assert tomorrow.question.about == 2


def test_the_doubt_comes_first_then_what_was_left(add: Add, look: LookIn, walk: Walk) -> None:
    add("G02", on=TWO_BEFORE)
    look("G02", TWO_BEFORE, ZONE, seconds=20, counts={"doubtful": 1})
    look("G02", DAY_BEFORE, ZONE, seconds=20, counts={"left": 1})
    begun = walk()
    assert asked(begun.view()) == "doubt"
    assert asked(begun.answer("no")) == "left-there"
    assert asked(begun.answer("yes")) == "live-find"


def test_one_doubt_after_the_other_the_oldest_first(add: Add, look: LookIn, walk: Walk) -> None:
    add("G02", on=TWO_BEFORE)
    look("G02", DAY_BEFORE, ZONE, seconds=20, counts={"doubtful": 1})
    look("G02", TWO_BEFORE, ZONE, seconds=20, counts={"doubtful": 1})
    begun = walk()
    texts = []
    while (question := begun.view().question) is not None:
        texts.append(question.text)
        begun.answer("remains")
    assert ["2 May" in texts[0], "3 May" in texts[1], len(texts)] == [True, True, 2]


def test_what_another_zone_was_left_with_is_asked_there(add: Add, look: LookIn, walk: Walk) -> None:
    add("G02", on=TWO_BEFORE)
    look("G02", DAY_BEFORE, "axils", seconds=20, counts={"left": 1})
    begun = walk()
    at = []
    while (view := begun.view()).stage == "zone":
        if asked(view) and view.zone:
            at.append(view.zone.zone)
        begun.go_on()
    assert at == ["axils"]
