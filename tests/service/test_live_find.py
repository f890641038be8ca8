"""A live find outside quarantine: what is asked, what the answers write, who joins the round."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.errors import Refused
from rounds.service.collection.apart import put_apart
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.day.at_hand import day_of
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plan.today import plan_day
from rounds.service.plant.record import PlantRecord
from rounds.service.round import RoundView, RoundWalk, begin, resume
from rounds.service.round.turns.join import _Changed
from tests.days import plan_by_zone

TODAY = date(2026, 5, 4)
A_WHILE_AGO = TODAY - timedelta(40)
DAY_BEFORE = TODAY - timedelta(1)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
Wait = Callable[[float], None]


def record(logbook: Logbook, code: str, on: date = TODAY) -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, on)


def asked(view: RoundView) -> str | None:
    return view.question.code if view.question else None


def codes(walk: RoundWalk) -> list[str]:
    plants = walk.logbook.collection().plants
    return [plants[plant_id].code for plant_id in walk.course.plants]


def seconds_by_plant(walk: RoundWalk) -> dict[str, float]:
    plants = walk.logbook.collection().plants
    found: dict[str, float] = {}
    for step in walk.course.steps:
        code = plants[step.plant_id].code
        found[code] = found.get(code, 0.0) + step.planned_seconds
    return found


@pytest.fixture
def touched(add: Add, look: LookIn) -> None:
    """G04 touches G02, which was seen whole yesterday and need not be seen today; G14 neither."""
    add("G02", "Thole", on=A_WHILE_AGO)
    add("G04", "Cuddy", on=A_WHILE_AGO, touches=("G02",))
    add("G14", "Gimbal", on=A_WHILE_AGO)
    for code in ("G02", "G14"):
        look(code, DAY_BEFORE, seconds=60)


@pytest.fixture
def at_g04(touched: None, logbook: Logbook) -> RoundWalk:
    """A round with room for one more: G04 is due, the others fit into longer ones."""
    plan = plan_day(logbook, TODAY, 4.0)
    assert [p.status.code for p in plan.plan] == ["G04", "G02", "G14"]
    begun = begin(logbook, replace(plan_by_zone(logbook, TODAY, 0.5), minutes=0.95))
    assert codes(begun) == ["G04"]
    return begun


def test_it_is_asked_as_soon_as_something_is_found(at_g04: RoundWalk) -> None:
    assert asked(at_g04.view()) is None
    assert asked(at_g04.count("doubtful")) is None, "a doubt is no find"
    assert asked(at_g04.count("left")) == "live-find"
    view = at_g04.count("removed")
    assert asked(view) == "live-find", "counting goes on"
    assert view.zone is not None
    assert (view.zone.counts.left, view.zone.counts.removed) == (1, 1)


def test_it_is_not_asked_of_a_plant_that_stands_apart(
    add: Add, logbook: Logbook, walk: Callable[[], RoundWalk]
) -> None:
    add("S03", "Pintle", place="stair foot", arrived=TODAY)
    assert asked(walk().count("removed")) is None


def test_the_next_zone_does_not_wait_but_the_next_plant_does(
    touched: None, logbook: Logbook
) -> None:
    begun = begin(logbook, plan_by_zone(logbook, TODAY, 60.0))
    begun.count("removed")
    first = begun.view().zone
    view = begun.go_on()
    assert view.zone != first
    while len(begun.course.done) < 6:
        view = begun.go_on()
    before = view.zone
    assert begun.go_on().zone == before, "the last zone stays open until it is answered"
    assert asked(begun.view()) == "live-find"
    assert begun.rest().zone == before
    begun.answer("not-now")
    assert begun.go_on().stage == "hygiene"


def test_leaving_counts_as_later(at_g04: RoundWalk, logbook: Logbook) -> None:
    at_g04.count("removed")
    at_g04.leave()
    assert record(logbook, "G04").standing == "collection"
    assert asked(resume(logbook, at_g04.walk).view()) == "live-find", "it is asked again"


@pytest.mark.parametrize(
    ("role", "place"), [("put-apart", "stair foot"), ("cannot-move", "porch shelf")]
)
def test_the_plant_stands_apart_from_today(
    at_g04: RoundWalk, logbook: Logbook, role: str, place: str
) -> None:
    at_g04.count("removed")
    view = at_g04.answer(role)
    assert asked(view) is None
    found = record(logbook, "G04")
    assert (found.standing, found.standing_since, found.place_name()) == (
        "quarantine", TODAY, place,
    )  # fmt: skip
    assert record(logbook, "G04", DAY_BEFORE).standing == "collection"
    assert "G04 is in quarantine" in view.message
    assert asked(at_g04.count("removed")) is None


def test_what_it_touched_is_watched_and_joins_the_round(
    at_g04: RoundWalk, logbook: Logbook
) -> None:
    at_g04.count("removed")
    view = at_g04.answer("put-apart")
    neighbour = record(logbook, "G02")
    assert (neighbour.standing, neighbour.standing_since) == ("watch", TODAY)
    assert neighbour.watch_until is not None
    assert neighbour.watch_until >= TODAY + timedelta(30)
    assert codes(at_g04) == ["G04", "G02"]
    assert "G02 touched it: on watch" in view.message
    assert "nearby, today too: G02" in view.message
    assert "nearby, but no time today: G14" in view.message
    assert codes(resume(logbook, at_g04.walk, take_over=True)) == ["G04", "G02"]


@pytest.mark.parametrize("role", ["put-apart", "cannot-move", "not-now"])
def test_what_stands_near_joins_whatever_becomes_of_the_plant(
    at_g04: RoundWalk, logbook: Logbook, role: str
) -> None:
    at_g04.count("removed")
    view = at_g04.answer(role)
    assert codes(at_g04) == ["G04", "G02"]
    assert "nearby, today too: G02" in view.message


def test_all_there_is_no_time_for_are_one_list(add: Add, logbook: Logbook) -> None:
    ids = [add(code, on=A_WHILE_AGO).id for code in ("P01", "P02", "P03")]
    to_come = [record(logbook, code) for code in ("P01", "P02", "P03")]
    changed = _Changed(nearby=set(ids[:2]), nearby_before=frozenset(), were={ids[2]})
    said = list(changed.said(to_come, {ids[0]}))
    assert said == ["nearby, today too: P01", "no time today for P02, P03"]


def test_what_that_pushes_to_tomorrow_is_said(
    touched: None, logbook: Logbook, add: Add, look: LookIn
) -> None:
    add("S01", "Bight", place="seedling bench", on=A_WHILE_AGO)
    look("S01", TODAY - timedelta(8), seconds=60)
    plan = plan_by_zone(logbook, TODAY, 0.8)
    assert [p.status.code for p in plan.plan] == ["G04", "S01"]
    begun = begin(logbook, plan)
    begun.count("removed")
    view = begun.answer("put-apart")
    assert codes(begun) == ["G04", "G02"]
    assert view.message.endswith("no time today for G14, S01")


def test_the_seconds_left_are_split_anew(touched: None, logbook: Logbook) -> None:
    begun = begin(logbook, plan_by_zone(logbook, TODAY, 6.0))
    assert codes(begun) == ["G04", "G02", "G14"]
    before = seconds_by_plant(begun)
    begun.count("removed")
    # a minute and a half more than planned have gone by at G04
    assert begun.course.opened is not None
    longer = replace(begun.course.opened, seconds=90.0)
    begun.progress.course = begun.course.with_open(longer)
    begun.answer("put-apart")
    after = seconds_by_plant(begun)
    assert after["G04"] == before["G04"]
    assert after["G02"] >= 20 - 1e-9, "it is near a find, and due"
    # walks of 5 seconds lead to G02 and to G14
    assert sum(after.values()) + 90 + 10 == pytest.approx(360, abs=1.0)


def test_what_waits_longer_than_those_near_may_is_not_pushed(
    touched: None, add: Add, logbook: Logbook
) -> None:
    add("S03", "Pintle", place="stair foot", arrived=A_WHILE_AGO, on=A_WHILE_AGO)
    begun = begin(logbook, plan_by_zone(logbook, TODAY, 1.2))
    assert codes(begun) == ["G04", "S03"]
    begun.count("removed")
    view = begun.answer("put-apart")
    assert "S03" in codes(begun)
    assert "S03" not in view.message


def test_taken_back_it_is_as_it_was(at_g04: RoundWalk, logbook: Logbook) -> None:
    at_g04.count("removed")
    at_g04.answer("put-apart")
    view = at_g04.take_back()
    assert view.message == "undone: G04 is not in quarantine"
    g04, g02 = record(logbook, "G04"), record(logbook, "G02")
    assert (g04.standing, g04.place_name()) == ("collection", "porch shelf")
    assert g02.standing == "collection"
    assert g04.plant.touching(TODAY) == (g02.plant.id,)
    assert g02.plant.touching(TODAY) == (g04.plant.id,)
    assert asked(view) == "live-find", "the find is still there"
    assert asked(at_g04.take_back()) is None


def test_taken_back_after_coming_back(at_g04: RoundWalk, logbook: Logbook) -> None:
    at_g04.count("removed")
    at_g04.answer("cannot-move")
    again = resume(logbook, at_g04.walk, take_over=True)
    assert again.take_back().message == "undone: G04 is not in quarantine"
    assert record(logbook, "G04").standing == "collection"


def test_what_is_not_now_stands_under_today(at_g04: RoundWalk, logbook: Logbook) -> None:
    at_g04.count("removed")
    at_g04.answer("not-now")
    assert [(d.kind, d.status.code) for d in day_of(logbook, TODAY).due] == [("set-apart", "G04")]
    put_apart(logbook, now(logbook.clock), "G04")
    [left] = day_of(logbook, TODAY).due
    assert (left.kind, left.status.code, left.text) == ("clean-spot", "G04", "clean porch shelf")


def test_what_cannot_be_moved_is_to_be_cleared_around(at_g04: RoundWalk, logbook: Logbook) -> None:
    at_g04.count("removed")
    at_g04.answer("cannot-move")
    assert [(d.kind, d.status.code) for d in day_of(logbook, TODAY).due] == [
        ("clear-around", "G04")
    ]


def test_without_a_quarantine_place_today_asks_for_one(add: Add, logbook: Logbook) -> None:
    add("G04", "Cuddy", on=A_WHILE_AGO)
    for place in list(logbook.collection().places.values()):
        put_place(logbook, now(logbook.clock), place.name, PlaceDetails(apart=False), change=True)
    put_apart(logbook, now(logbook.clock), "G04")
    asked = {due.kind: due.text for due in day_of(logbook, TODAY).due}
    assert asked.get("no-place") == "name a quarantine place"
    put_place(logbook, now(logbook.clock), "pantry", PlaceDetails(apart=True))
    assert "no-place" not in {due.kind for due in day_of(logbook, TODAY).due}


def test_without_a_find_its_neighbours_are_not_watched(touched: None, logbook: Logbook) -> None:
    assert put_apart(logbook, now(logbook.clock), "G04") == []
    assert record(logbook, "G04").standing == "quarantine"
    assert record(logbook, "G02").standing == "collection"


def test_twice_apart_is_refused(touched: None, logbook: Logbook) -> None:
    put_apart(logbook, now(logbook.clock), "G04")
    with pytest.raises(Refused) as refused:
        put_apart(logbook, now(logbook.clock), "G04")
    assert refused.value.code == "already-apart"


def test_it_goes_where_there_is_room_apart_in_its_own_room(
    touched: None, logbook: Logbook, clock: SetClock
) -> None:
    put_place(logbook, now(clock), "porch shelf", PlaceDetails(room="porch"), change=True)
    put_place(logbook, now(clock), "boot tray", PlaceDetails(apart=True, room="porch"))
    put_apart(logbook, now(clock), "G04")
    assert record(logbook, "G04").place_name() == "boot tray"


def test_the_watch_ends_by_itself(at_g04: RoundWalk, logbook: Logbook) -> None:
    at_g04.count("removed")
    at_g04.answer("put-apart")
    until = record(logbook, "G02").watch_until
    assert until is not None
    assert record(logbook, "G02", until - timedelta(1)).standing == "watch"
    after = record(logbook, "G02", until)
    assert (after.standing, after.standing_since) == ("collection", until)


def test_the_answer_does_not_read_every_log_anew(
    at_g04: RoundWalk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is given while a hand waits, under the lock of the file."""
    at_g04.count("removed")

    def read_all(*asked: object) -> None:
        pytest.fail("every plant was read")

    monkeypatch.setattr(Logbook, "all_entries", read_all)
    at_g04.answer("put-apart")
    assert codes(at_g04) == ["G04", "G02"]


def test_undone_the_find_takes_those_who_joined_out_again(
    touched: None, logbook: Logbook, add: Add, look: LookIn
) -> None:
    add("S01", "Bight", place="seedling bench", on=A_WHILE_AGO)
    look("S01", TODAY - timedelta(8), seconds=60)
    begun = begin(logbook, plan_by_zone(logbook, TODAY, 0.8))
    before = begun.course.steps
    begun.count("removed")
    begun.answer("put-apart")
    assert codes(begun) == ["G04", "G02"]
    begun.take_back()
    assert codes(begun) == ["G04", "G02"], "the find still stands"
    view = begun.take_back()
    assert "no longer in this round: G02" in view.message
    assert "back in this round: S01" in view.message
    assert begun.course.steps == before
    begun = resume(logbook, begun.walk, take_over=True)
    assert begun.course.steps == before
    # found again, it is asked and they join again
    assert asked(begun.count("removed")) == "live-find"
    begun.answer("not-now")
    assert codes(begun) == ["G04", "G02"]


def test_undone_one_of_two_counts_leaves_them_in_it(at_g04: RoundWalk) -> None:
    at_g04.count("removed")
    at_g04.count("killed")
    at_g04.answer("not-now")
    at_g04.take_back()
    assert codes(at_g04) == ["G04", "G02"]
    assert "no longer in this round: G02" in at_g04.take_back().message
    assert codes(at_g04) == ["G04"]


def test_a_plant_known_alive_is_never_pushed_out(
    add: Add, look: LookIn, logbook: Logbook, wait: Wait
) -> None:
    add("G02", "Thole", on=A_WHILE_AGO)
    add("G04", "Cuddy", on=A_WHILE_AGO, touches=("G02",))
    add("S03", "Pintle", place="stair foot", arrived=A_WHILE_AGO, on=A_WHILE_AGO)
    look("S03", DAY_BEFORE, "axils", counts={"left": 4})
    begun = begin(logbook, plan_by_zone(logbook, TODAY, 2.0))
    assert "S03" in codes(begun)
    planned = [step for step in begun.course.steps if step.plant_id == 3]
    # twice the minutes of the round have gone by
    for _ in range(8):
        wait(30)
        begun.heard()
    begun.count("removed")
    begun.answer("not-now")
    assert "S03" in codes(begun)
    assert [s.zone for s in begun.course.steps if s.plant_id == 3] == [s.zone for s in planned]


def test_a_find_in_quarantine_that_nobody_knew_of_lets_those_beside_it_join(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    for code in ("S03", "S05"):
        add(code, "Pintle", place="stair foot", arrived=A_WHILE_AGO, on=A_WHILE_AGO)
    look("S05", DAY_BEFORE, seconds=60)
    begun = begin(logbook, replace(plan_day(logbook, TODAY, 0.5), minutes=4.0))
    assert codes(begun) == ["S03"]
    begun.count("removed")
    if begun.question is not None:
        begun.digit(1)
    view = begun.rest()
    assert codes(begun) == ["S03", "S05"]
    assert "nearby, today too: S05" in view.message
    while begun.plant.plant.code != "S03" or begun.view().stage != "zone":
        begun.take_back()
    assert codes(begun) == ["S03", "S05"]


def test_put_off_to_tomorrow_a_plant_does_not_join_for_a_find(
    touched: None, logbook: Logbook
) -> None:
    begun = begin(logbook, plan_by_zone(logbook, TODAY, 6.0))
    begun.rest()
    g02 = begun.plant.plant
    assert g02.code == "G02"
    begun.answer("not-now")
    begun.digit(2)
    begun.go_on()
    assert begun.plant.plant.code == "G14"
    before = [step.planned_seconds for step in begun.course.of_plant(g02.id)]
    begun.count("removed")
    view = begun.answer("not-now")
    assert "G02" not in view.message
    assert [step.planned_seconds for step in begun.course.of_plant(g02.id)] == before
    assert g02.id in begun.course.turns.to_tomorrow


@pytest.mark.parametrize(("seconds", "joins"), [(0, "; nearby, today too: G14"), (60, "")])
@pytest.mark.parametrize("again", [False, True])
def test_a_second_find_says_only_what_it_changes(
    at_g04: RoundWalk, logbook: Logbook, wait: Wait, again: bool, seconds: int, joins: str
) -> None:
    at_g04.count("removed")
    first = at_g04.answer("not-now").message
    assert "nearby, today too: G02; nearby, but no time today: G14" in first
    wait(seconds)
    at_g04.rest()
    walk = resume(logbook, at_g04.walk, take_over=True) if again else at_g04
    walk.go_on()
    assert walk.plant.plant.code == "G02"
    assert asked(walk.count("removed")) == "which-zone"
    walk.digit(1)
    assert walk.answer("not-now").message == f"G02 not quarantined; stays on Today{joins}"


def test_who_is_near_an_earlier_find_of_the_round_stays_so(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    """P02 joined for P01: a plant near a later find somewhere else does not take its turn."""
    add("P02", "Thole", on=A_WHILE_AGO)
    add("P01", "Cuddy", on=A_WHILE_AGO, touches=("P02",))
    for code in ("Q01", "Q02"):
        add(code, "Bight", place="seedling bench", on=A_WHILE_AGO)
    for code in ("P02", "Q01", "Q02"):
        look(code, DAY_BEFORE, seconds=60)
    begun = begin(logbook, replace(plan_by_zone(logbook, TODAY, 0.5), minutes=1.6))
    assert codes(begun) == ["P01"]
    begun.count("removed")
    assert begun.answer("not-now").message.endswith("nearby, today too: P02")
    q01 = next(of for of in begun.others() if of.code == "Q01")
    begun.open_other(q01.plant_id)
    begun.digit(1)
    begun.count("removed")
    assert begun.answer("not-now").message.endswith("nearby, but no time today: Q02")
    assert codes(begun) == ["P01", "Q01", "P02"]
