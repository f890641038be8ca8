"""Two windows on one round: nothing is counted twice, and the one left behind says so."""

import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rounds.clock import SetClock
from rounds.errors import Refused
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plan.today import plan_day
from rounds.service.round import RoundWalk, begin, is_under_way, resume
from rounds.store import walks
from tests.days import plan_by_zone


@pytest.fixture
def two(tmp_path: Path) -> Iterator[tuple[Logbook, Logbook]]:
    clock = SetClock(datetime(2026, 5, 4, 9, tzinfo=UTC))
    first = Logbook(tmp_path / "porch.db", clock)
    put_place(first, now(clock), "porch shelf", PlaceDetails())
    details = PlantDetails(name="Thole", place="porch shelf", already_here=True)
    add_plant(first, now(clock), "G02", details)
    with first, Logbook(tmp_path / "porch.db", clock) as second:
        yield first, second


def both_walk(two: tuple[Logbook, Logbook]) -> tuple[RoundWalk, RoundWalk]:
    first, second = two
    here = begin(first, plan_by_zone(first, first.clock.today()))
    here.count("removed")
    under_way = is_under_way(second, second.clock.today())
    assert under_way is not None
    return here, resume(second, under_way, "Second Keeper", take_over=True)


def found(logbook: Logbook) -> int:
    plant = logbook.collection().plant("G02")
    assert plant is not None
    record = record_of(logbook, plant, logbook.clock.today())
    return sum(look.live() for look in record.log)


def test_a_count_in_the_window_left_behind_is_refused_and_counted_nowhere(
    two: tuple[Logbook, Logbook],
) -> None:
    here, _ = both_walk(two)
    with pytest.raises(Refused) as refused:
        here.count("removed")
    assert refused.value.code == "round-walked"
    assert "Second Keeper has been walking this round since 9:00, now at G02, new growth" in str(
        refused.value
    )
    assert found(two[1]) == 1


def test_it_stands_where_the_other_window_stands(two: tuple[Logbook, Logbook]) -> None:
    here, there = both_walk(two)
    after = there.go_on()
    view = here.catch_up()
    assert view.zone is not None
    assert after.zone is not None
    assert view.zone.zone == after.zone.zone
    assert "Second Keeper has been walking this round" in view.message
    here.leave()
    there.count("killed")
    assert found(two[1]) == 2, "the one that left took nothing with it"


def test_once_the_other_has_left_it_goes_on(two: tuple[Logbook, Logbook]) -> None:
    here, there = both_walk(two)
    there.go_on()
    there.leave()
    assert here.catch_up().zone == there.view().zone
    here.count("killed")
    assert found(two[1]) == 2


def test_without_having_caught_up_a_press_of_the_past_is_still_refused(
    two: tuple[Logbook, Logbook],
) -> None:
    here, there = both_walk(two)
    there.go_on()
    there.leave()
    with pytest.raises(Refused) as refused:
        here.count("removed")
    assert refused.value.code == "round-elsewhere"
    assert found(two[1]) == 1


def test_a_round_ended_elsewhere_takes_no_more(two: tuple[Logbook, Logbook]) -> None:
    here, there = both_walk(two)
    there.answer("not-now")
    there.rest()
    with pytest.raises(Refused) as refused:
        here.count("removed")
    assert here.trouble(str(refused.value)).stage == "end"
    assert found(two[0]) == 1


@pytest.mark.parametrize("presses", ["count", "catch_up"])
def test_a_round_of_yesterday_closed_by_one_begun_elsewhere_takes_no_more(
    two: tuple[Logbook, Logbook], presses: str
) -> None:
    first, second = two
    clock = first.clock
    assert isinstance(clock, SetClock)
    here = begin(first, plan_day(first, clock.today()))
    here.count("removed")
    clock.instant += timedelta(days=1)
    begin(second, plan_day(second, clock.today()), "Second Keeper")
    if presses == "catch_up":
        view = here.catch_up()
    else:
        with pytest.raises(Refused) as refused:
            here.count("removed")
        view = here.trouble(str(refused.value))
    assert view.stage == "end"
    assert here.leave().stage == "end"
    assert found(second) == 1


def test_nobody_comes_to_a_round_that_is_being_walked(two: tuple[Logbook, Logbook]) -> None:
    first, second = two
    begin(first, plan_by_zone(first, first.clock.today()), "Keeper")
    under_way = is_under_way(second, second.clock.today())
    assert under_way is not None
    with pytest.raises(Refused) as refused:
        resume(second, under_way)
    assert "Keeper has been walking this round since 9:00" in refused.value.message


def test_who_was_killed_walks_it_no_longer(
    two: tuple[Logbook, Logbook],
) -> None:
    first, second = two
    begun = begin(first, plan_by_zone(first, first.clock.today()), "Keeper")
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    walker = walks.walker_of(first.file, begun.walk.id)
    assert walker is not None
    walks.put_walker(first.file, replace(walker, process=gone.pid))
    assert resume(second, begun.walk).view().zone == begun.view().zone


def test_a_second_round_is_not_begun_beside_the_first(two: tuple[Logbook, Logbook]) -> None:
    first, second = two
    plan = plan_day(second, second.clock.today())
    begin(first, plan_by_zone(first, first.clock.today()))
    with pytest.raises(Refused) as refused:
        begin(second, plan)
    assert refused.value.code == "round-elsewhere"
