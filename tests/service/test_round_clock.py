"""The clock of a round where no key comes: it stops, but not before what was planned is over."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.service.day.work import unread_day
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundWalk, resume
from rounds.store import walks

Wait = Callable[[float], None]
DAY_BEFORE = date(2026, 5, 3)
TODAY = DAY_BEFORE + timedelta(1)


def on_disk(walk: RoundWalk) -> tuple[EffectiveLook, ...]:
    """What stands in the log of the plant at hand, read anew."""
    with Logbook(walk.logbook.file.path, walk.logbook.clock) as other:
        plant = other.collection().plants[walk.plant.plant.id]
        return record_of(other, plant, TODAY).log


@pytest.fixture
def large(add: Callable[..., Plant], walk: Callable[[], RoundWalk]) -> RoundWalk:
    """A round at a large plant, in a zone planned for more than a minute."""
    add("G02", on=DAY_BEFORE, size="large")
    begun = walk()
    long = [replace(step, planned_seconds=95.5) for step in begun.course.steps]
    walks.replace_steps(begun.logbook.file, begun.walk.id, long)
    begun.leave()
    return resume(begun.logbook, begun.walk)


def test_who_looks_as_long_as_planned_without_a_key_is_credited_all_of_it(
    large: RoundWalk, wait: Wait
) -> None:
    wait(96)
    view = large.view()
    assert not view.clock_stands
    assert view.zone is not None
    assert view.zone.seconds == 96
    wait(1)
    view = large.view()
    assert view.clock_stands
    assert view.message == "paused after 96 s without a key; any key restarts"
    large.go_on()
    assert on_disk(large)[0].seconds == 96


def test_who_has_gone_away_is_credited_no_more_than_was_planned(
    large: RoundWalk, wait: Wait
) -> None:
    wait(50)
    large.count("removed")
    # 46 of those planned are left, and a minute is the least
    wait(5000)
    large.go_on()
    assert on_disk(large)[0].seconds == 110
    wait(9)
    large.other_key()
    wait(5000)
    large.count("removed")
    assert large.course.opened is not None
    assert large.course.opened.seconds == 96
    # all that was planned is over: from there on it is the minute
    wait(5000)
    large.go_on()
    assert on_disk(large)[1].seconds == 156


def test_a_wall_clock_that_is_set_back_or_forward_moves_no_seconds_and_no_day(
    large: RoundWalk, wait: Wait, clock: SetClock
) -> None:
    for jump in (timedelta(days=-3), timedelta(days=400), timedelta(days=-397, hours=-11)):
        clock.instant += jump
        wait(10)
        large.count("removed")
    large.go_on()
    look = on_disk(large)[0]
    assert (look.seconds, look.live()) == (30, 3)
    assert large.walk.day == TODAY


def test_a_day_before_the_newest_look_asks_whether_the_clock_is_right(
    large: RoundWalk, wait: Wait, clock: SetClock
) -> None:
    logbook = large.logbook
    large.go_on()
    assert unread_day(logbook, clock.today()).looked_ahead_to is None
    # spoken about from today, an earlier day has later looks as a matter of course
    assert unread_day(logbook, DAY_BEFORE).looked_ahead_to is None
    clock.instant -= timedelta(days=2)
    assert unread_day(logbook, clock.today()).looked_ahead_to == TODAY
