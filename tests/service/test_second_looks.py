"""Second looks: drawn alike after a resume, asked at the end of a zone, learned from afterwards."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.core.estimates.own_detection import Rate
from rounds.core.log.effective import EffectiveLook
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import CollectionDay, own_detection, record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.round import RoundView, RoundWalk, resume
from rounds.service.round.second_look import are_asked, is_drawn
from rounds.store import log

TODAY = date(2026, 5, 4)
TOMORROW = TODAY + timedelta(1)
SECONDS = 10.0
"""more than half the reference time of the first zone of a small plant"""

Add = Callable[..., Plant]
Walk = Callable[[], RoundWalk]
Wait = Callable[[float], None]


@pytest.fixture
def every_zone(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is every zone's turn."""
    monkeypatch.setattr("rounds.service.round.second_look.is_drawn", lambda *_: True)


@pytest.fixture
def g02(add: Add, walk: Walk, logbook: Logbook, every_zone: None) -> RoundWalk:
    """A round of one small plant that stands apart, at its first zone."""
    choose(logbook, "second-looks", "on")
    choose(logbook, "own-eye", "on")
    add("G02", place="stair foot", arrived=TODAY)
    return walk()


def asks(view: RoundView) -> str | None:
    return view.question.code if view.question else None


def looks(walk: RoundWalk) -> list[EffectiveLook]:
    with Logbook(walk.logbook.file.path, walk.logbook.clock) as other:
        plant = other.collection().plants[walk.plant.plant.id]
        return list(record_of(other, plant, walk.walk.day).log)


def zone(view: RoundView) -> str:
    assert view.zone is not None
    return view.zone.zone


def test_one_zone_in_twelve_is_drawn_and_always_the_same() -> None:
    zones = [(r, p, z) for r in range(40) for p in range(30) for z in ("axils", "crown", "medium")]
    drawn = [is_drawn(r, p, z, 12) for r, p, z in zones]
    assert drawn == [is_drawn(r, p, z, 12) for r, p, z in zones]
    # 300 of 3,600 are expected, give or take 17
    assert abs(sum(drawn) - 300) < 4 * 17
    assert all(is_drawn(r, p, z, 1) for r, p, z in zones)


def test_rounds_ask_unless_it_is_switched_off(logbook: Logbook) -> None:
    assert not are_asked(logbook)
    choose(logbook, "second-looks", "on")
    assert are_asked(logbook)
    with logbook.file.writing() as connection:
        connection.execute("DELETE FROM setting WHERE name = 'second-looks'")
    assert are_asked(logbook)


def test_space_asks_at_the_end_of_a_zone_and_writes_nothing_yet(g02: RoundWalk, wait: Wait) -> None:
    wait(SECONDS)
    view = g02.go_on()
    assert (asks(view), zone(view)) == ("second-look", "new-growth")
    assert [look.is_open for look in looks(g02)] == [True]


@pytest.mark.parametrize("decline", ["go_on", "not-now"])
def test_it_is_declined_by_one_key(g02: RoundWalk, wait: Wait, decline: str) -> None:
    wait(SECONDS)
    g02.go_on()
    view = g02.go_on() if decline == "go_on" else g02.answer(decline)
    assert (asks(view), zone(view)) == (None, "undersides")
    assert [(k.zone, k.seconds, k.second_to) for k in looks(g02) if not k.is_open] == [
        ("new-growth", SECONDS, None)
    ]


def test_a_count_goes_on_with_the_first_look(g02: RoundWalk, wait: Wait) -> None:
    wait(SECONDS)
    g02.go_on()
    view = g02.count("removed")
    assert (asks(view), zone(view)) == (None, "new-growth")
    wait(SECONDS)
    # one found at either: it is asked again once the zone is done
    assert asks(g02.go_on()) == "second-look"


def test_a_second_look_is_a_look_of_its_own_and_names_its_first(g02: RoundWalk, wait: Wait) -> None:
    wait(SECONDS)
    g02.count("removed")
    wait(SECONDS)
    g02.go_on()
    view = g02.answer("yes")
    assert (asks(view), zone(view)) == (None, "new-growth")
    assert view.zone is not None
    assert (view.zone.seconds, view.zone.counts.removed) == (0, 0)
    assert "second look" in view.zone.advice
    wait(9)
    g02.count("killed")
    wait(SECONDS)
    view = g02.go_on()
    # neither asked a third time, nor stayed at
    assert (asks(view), zone(view)) == (None, "undersides")
    first, second = (look for look in looks(g02) if not look.is_open)
    assert second.second_to == first.id
    assert [(k.zone, k.live(), k.seconds) for k in (first, second)] == [
        ("new-growth", 1, 2 * SECONDS),
        ("new-growth", 1, SECONDS + 9),
    ]


@pytest.mark.parametrize("kind", ["left", "doubtful"])
def test_what_would_be_seen_again_is_not_looked_at_twice(
    g02: RoundWalk, wait: Wait, kind: str
) -> None:
    g02.count(kind)
    wait(30)
    assert zone(g02.go_on()) == "undersides"


def test_too_short_a_look_is_not_followed_by_another(g02: RoundWalk, wait: Wait) -> None:
    wait(1)
    assert zone(g02.go_on()) == "undersides"


def test_switched_off_nothing_is_asked(g02: RoundWalk, wait: Wait) -> None:
    choose(g02.logbook, "second-looks", "off")
    wait(SECONDS)
    assert zone(g02.go_on()) == "undersides"


def test_after_a_kill_the_second_look_is_still_the_second(g02: RoundWalk, wait: Wait) -> None:
    wait(SECONDS)
    g02.go_on()
    g02.answer("yes")
    again = resume(g02.logbook, g02.walk, take_over=True)
    assert zone(again.view()) == "new-growth"
    wait(SECONDS)
    assert zone(again.go_on()) == "undersides"
    assert [k.second_to is not None for k in looks(again) if not k.is_open] == [False, True]


def test_taken_back_the_pair_goes_and_the_first_look_is_open_again(
    g02: RoundWalk, wait: Wait
) -> None:
    wait(SECONDS)
    g02.go_on()
    g02.answer("yes")
    view = g02.take_back()
    assert view.zone is not None
    assert (zone(view), view.zone.seconds) == ("new-growth", SECONDS)
    assert [(k.is_open, k.second_to) for k in looks(g02)] == [(True, None)]
    # and it may be made after all
    assert asks(g02.go_on()) == "second-look"
    g02.answer("yes")
    wait(SECONDS)
    g02.go_on()
    assert [k.second_to is not None for k in looks(g02) if not k.is_open] == [False, True]


def test_a_closed_second_look_opened_again_stays_one_of_a_pair(g02: RoundWalk, wait: Wait) -> None:
    wait(SECONDS)
    g02.go_on()
    g02.answer("yes")
    wait(SECONDS)
    g02.go_on()
    g02.take_back()
    assert [(k.is_open, k.second_to is not None) for k in looks(g02)] == [
        (False, False),
        (True, True),
    ]


# What is learned.


def twice(walk: RoundWalk, wait: Wait, first: int, second: int) -> None:
    """Look at the zone at hand twice."""
    for found in (first, second):
        if found:
            walk.digit(found)
            walk.count("removed")
        wait(SECONDS + 8 * found)
        if asks(walk.go_on()) == "second-look":
            walk.answer("yes")


def test_pairs_of_earlier_days_are_learned_from(g02: RoundWalk, wait: Wait) -> None:
    twice(g02, wait, 3, 4)
    twice(g02, wait, 0, 0)
    logbook = g02.logbook
    # a day is worked out with what was known in its morning
    assert own_detection(logbook, TODAY) == own_detection(logbook, TODAY - timedelta(9))
    known = own_detection(logbook, TOMORROW)
    assert (known.pairs, known.found) == (2, 7)
    assert 1 / 3 < known.low < known.theta < known.high < 1.5


def test_what_is_learned_is_in_every_figure(
    g02: RoundWalk, wait: Wait, add: Add, look: Callable[..., LookWritten], clock: SetClock
) -> None:
    other = add("G05", place="stair foot", arrived=TODAY)
    look("G05", TODAY)
    logbook = g02.logbook
    with_default = record_of(logbook, other, TOMORROW).likely
    before, key = with_default.chance_clean, with_default.key
    twice(g02, wait, 0, 4)
    learned = record_of(logbook, other, TOMORROW).likely
    # who sees less knows less of a plant on which nothing was found
    assert learned.chance_clean < before
    assert learned.key != key
    day = CollectionDay(logbook, TOMORROW)
    assert day.parameters.detection_times == own_detection(logbook, TOMORROW).theta < 1


def test_the_live_figure_rests_on_it_too(
    add: Add,
    look: Callable[..., LookWritten],
    walk: Walk,
    logbook: Logbook,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    choose(logbook, "own-eye", "on")
    add("G05", place="stair foot", arrived=TODAY - timedelta(1))
    look("G05", TODAY - timedelta(1), "axils", counts={"removed": 1})
    add("G02", place="stair foot", arrived=TODAY)
    begun = walk()
    assumed = begun.likely()
    assert assumed is not None
    monkeypatch.setattr(
        "rounds.service.learned.own_detection.rate_of", lambda *_: Rate(0.5, 0.4, 0.6)
    )
    less = resume(logbook, begun.walk, take_over=True).likely()
    assert less is not None
    assert less.chance_clean < assumed.chance_clean


def test_what_was_left_there_is_one_more_find_of_that_day(g02: RoundWalk, wait: Wait) -> None:
    wait(SECONDS)
    g02.go_on()
    g02.answer("yes")
    g02.count("left")
    wait(30)
    g02.go_on()
    known = own_detection(g02.logbook, TOMORROW)
    assert (known.pairs, known.found) == (1, 1)


def test_an_unfinished_second_look_teaches_nothing(g02: RoundWalk, wait: Wait) -> None:
    wait(SECONDS)
    g02.go_on()
    g02.answer("yes")
    wait(SECONDS)
    assert log.open_look_of(g02.logbook.file, g02.walk.id) is not None
    assert own_detection(g02.logbook, TOMORROW).pairs == 0
