"""How a round goes from plant to plant, how it is come back to, and how it ends."""

from collections.abc import Callable
from datetime import date, timedelta
from random import Random

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.errors import LogbookUnusable, Refused
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundView, RoundWalk, begin, is_under_way, live, resume
from rounds.store import connect, log, walks
from tests.days import plan_by_zone

TODAY = date(2026, 5, 4)
DAY_BEFORE = TODAY - timedelta(1)
A_WHILE_AGO = TODAY - timedelta(40)

Wait = Callable[[float], None]
Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
Walk = Callable[[], RoundWalk]


def code(view: RoundView) -> str:
    assert view.plant is not None
    return view.plant.code


def looks_of(logbook: Logbook, code: str, on: date) -> tuple[EffectiveLook, ...]:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, on).log


@pytest.fixture
def four_plants(add: Add, look: LookIn) -> None:
    """Two in the collection, of which G05 was infested lately, and two apart."""
    add("G02", on=A_WHILE_AGO)
    add("G05", "Halyard", on=A_WHILE_AGO)
    look("G02", DAY_BEFORE)
    look("G05", DAY_BEFORE, "axils", seconds=20, counts={"left": 2})
    look("G05", DAY_BEFORE, "sheaths", seconds=20, counts={"doubtful": 1})
    add("S03", "Pintle", place="stair foot", arrived=A_WHILE_AGO, on=A_WHILE_AGO)
    add("G11", "Bollard", place="stair foot", arrived=A_WHILE_AGO, on=A_WHILE_AGO)


def test_hands_are_cleaned_after_every_plant_apart_or_infested(
    four_plants: None, walk: Walk, wait: Wait
) -> None:
    begun = walk()
    stops = []
    view = begun.view()
    while view.stage != "end":
        if view.stage == "hygiene":
            stops.append((code(view), view.next_plant))
            view = begun.go_on()
        wait(20)
        view = begun.rest()
    assert stops == [("G05", "G11 Bollard"), ("G11", "S03 Pintle")]


def test_a_find_of_today_asks_for_clean_hands_too(add: Add, walk: Walk) -> None:
    add("G02")
    add("G05", "Halyard")
    begun = walk()
    begun.count("removed")
    begun.answer("not-now")
    assert begun.rest().stage == "hygiene"
    begun.take_back()
    begun.take_back()
    assert begun.rest().stage == "zone", "taken back, it is clean again"


def test_a_doubt_of_today_does_not(add: Add, walk: Walk) -> None:
    add("G02")
    add("G05", "Halyard")
    begun = walk()
    begun.count("doubtful")
    assert begun.rest().stage == "zone"


def test_at_a_hygiene_stop_no_key_but_space_goes_on(
    four_plants: None, walk: Walk, wait: Wait
) -> None:
    begun = walk()
    begun.rest()
    begun.rest()
    assert begun.view().stage == "hygiene"
    before = begun.view().message
    assert begun.count("removed").message != before
    for press in (begun.rest, begun.hidden, begun.pause, begun.leave, begun.other_key):
        assert press().stage == "hygiene"
    wait(30)
    view = begun.go_on()
    assert (view.stage, code(view)) == ("zone", "G11")
    assert view.zone is not None
    assert view.zone.seconds == 0, "cleaning hands is not looking"


def test_one_back_at_a_hygiene_stop_returns_to_the_last_zone(four_plants: None, walk: Walk) -> None:
    begun = walk()
    begun.rest()
    begun.rest()
    view = begun.back()
    assert (view.stage, code(view)) == ("zone", "G05")
    assert view.zone is not None
    assert view.zone.zone == "pot-rim"
    assert begun.go_on().stage == "hygiene"


# Coming back.

PRESSES: tuple[Callable[[RoundWalk, Random], RoundView], ...] = (
    lambda walk, chance: walk.count(chance.choice(["removed", "killed", "left", "doubtful"])),
    lambda walk, chance: walk.count("removed"),
    lambda walk, chance: walk.digit(chance.randrange(10)),
    lambda walk, chance: walk.give_stage(chance.choice(["young", "adult", "eggs"])),
    lambda walk, chance: walk.go_on(),
    lambda walk, chance: walk.go_on(),
    lambda walk, chance: walk.go_on(),
    lambda walk, chance: walk.rest(),
    lambda walk, chance: walk.hidden(),
    lambda walk, chance: walk.back(),
    lambda walk, chance: walk.pause(),
    lambda walk, chance: walk.take_back(),
    lambda walk, chance: walk.take_back(),
    lambda walk, chance: walk.answer(chance.choice(["yes", "no", "remains", "not-now"])),
    lambda walk, chance: walk.answer(chance.choice(["put-apart", "cannot-move", "not-now"])),
    lambda walk, chance: walk.leave(),
    lambda walk, chance: walk.other_key(),
)


def where(walk: RoundWalk) -> tuple[object, ...]:
    """Stage, plant, zone and counts, what is done, how the zones stand, the seconds so far."""
    view = walk.view()
    zone = view.zone
    assert view.plant is not None
    return (
        view.stage,
        view.plant.code,
        view.plant.zones,
        view.plant.live_today,
        view.plant.streak_text,
        zone.zone if zone else None,
        zone.counts if zone else None,
        view.next_plant,
        sorted(walk.course.done),
        view.summary,
    )


@pytest.fixture
def quick_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the presses mean is of no account here, and takes longest."""
    figures = live.Likely(0.5, 1.0, 5.0, "exact")
    monkeypatch.setattr(live.LiveFigure, "at", lambda *_: figures)


@pytest.mark.parametrize("seed", range(12))
def test_after_every_press_the_round_is_come_back_to_as_it_was(
    four_plants: None, quick_figures: None, logbook: Logbook, walk: Walk, wait: Wait, seed: int
) -> None:
    chance = Random(seed)
    begun = walk()
    stages = set()
    with Logbook(logbook.file.path, logbook.clock) as other:
        for press in range(100):
            wait(chance.choice([0.03, 0.5, 4.0, 20.0, 90.0]))
            view = chance.choice(PRESSES)(begun, chance)
            stages.add(view.stage)
            entries = logbook.file.last_number()
            again = resume(other, begun.walk, take_over=True)
            assert where(again) == where(begun), press
            assert again.progress.elapsed_seconds() <= begun.progress.elapsed_seconds() + 0.01
            assert logbook.file.last_number() == entries, "coming back writes nothing"
            again.leave()
            if view.stage == "end":
                begun.take_back()
    assert "zone" in stages


def test_who_comes_back_goes_on_to_the_same_end(four_plants: None, walk: Walk, wait: Wait) -> None:
    begun = walk()
    for _ in range(2):
        wait(5)
        begun.go_on()
    begun.count("removed")
    begun.answer("not-now")
    begun.leave()
    again = resume(begun.logbook, begun.walk, take_over=True)
    assert again.answer("not-now").question is None, "leaving counts as later: asked again"
    while again.view().stage != "end":
        wait(5)
        again.go_on()
    summary = again.view().summary
    assert summary is not None
    assert (summary.found, summary.plants_looked_at) == (1, 4)
    assert {step.ended_as for step in walks.steps_of(again.logbook.file, again.walk.id)} == {
        "looked-at"
    }


def test_a_round_is_under_way_until_it_ends(four_plants: None, walk: Walk) -> None:
    begun = walk()
    assert is_under_way(begun.logbook, TODAY) == begun.walk
    assert is_under_way(begun.logbook, TODAY + timedelta(1)) is None
    while begun.view().stage != "end":
        begun.go_on()
    assert is_under_way(begun.logbook, TODAY) is None


def test_where_nothing_is_planned_no_round_begins(logbook: Logbook) -> None:
    with pytest.raises(Refused) as raised:
        begin(logbook, plan_by_zone(logbook, TODAY))
    assert raised.value.code == "nothing-planned"
    assert raised.value.message
    assert walks.unfinished_rounds(logbook.file) == []


# A press that cannot be written.


@pytest.mark.parametrize("press", ["count", "go_on", "rest", "back", "hygiene", "end"])
def test_a_press_that_finds_the_logbook_locked_changes_nothing_and_can_be_repeated(
    four_plants: None,
    logbook: Logbook,
    wait: Wait,
    monkeypatch: pytest.MonkeyPatch,
    press: str,
) -> None:
    monkeypatch.setattr(connect, "WAIT_SECONDS", 0.01)
    with Logbook(logbook.file.path, logbook.clock) as hasty:
        begun = begin(hasty, plan_by_zone(hasty, TODAY, 60.0))
        wait(5)
        begun.go_on()
        presses: dict[str, Callable[[], RoundView]] = {
            "count": lambda: begun.count("removed"),
            "go_on": begun.go_on,
            "rest": begun.rest,
            "back": begun.back,
            "hygiene": begun.go_on,
            "end": begun.take_back,
        }
        if press == "hygiene":
            begun.rest()
        while press == "end" and begun.view().stage != "end":
            begun.go_on()
        wait(7)
        before = where(begun), begun.progress.elapsed_seconds()
        with logbook.file.writing():
            with pytest.raises(LogbookUnusable) as raised:
                presses[press]()
            view = begun.trouble(str(raised.value))
        assert view.message == str(raised.value)
        assert (where(begun), begun.progress.elapsed_seconds()) == before
        presses[press]()
        assert where(begun) != before[0]
        assert where(resume(hasty, begun.walk, take_over=True)) == where(begun)


@pytest.mark.parametrize("fails", ["append_look", "put_open_look", "clear_open_look"])
@pytest.mark.parametrize("press", ["go_on", "rest", "back", "hide"])
def test_a_press_that_fails_half_way_is_not_written_at_all(
    four_plants: None,
    walk: Walk,
    wait: Wait,
    monkeypatch: pytest.MonkeyPatch,
    press: str,
    fails: str,
) -> None:
    begun = walk()
    presses: dict[str, Callable[[], RoundView]] = {
        "go_on": begun.go_on, "rest": begun.rest, "back": begun.back, "hide": begun.go_on,
    }  # fmt: skip
    wait(5)
    begun.go_on()
    wait(7)
    before = where(begun), begun.progress.elapsed_seconds()
    if press == "hide":
        begun.hidden()

    def disk_full(*given: object) -> None:
        raise LogbookUnusable("logbook-full", file="logbook.db", reason="disk full")

    with monkeypatch.context() as patched:
        patched.setattr(log, fails, disk_full)
        with pytest.raises(LogbookUnusable):
            presses[press]()
        begun.trouble("the disk is full")
    assert where(begun) == before[0]
    assert begun.progress.elapsed_seconds() == pytest.approx(before[1])
    begun.go_on()
    assert where(resume(begun.logbook, begun.walk, take_over=True)) == where(begun)
    closed = [k for k in looks_of(begun.logbook, "G02", TODAY) if k.zone == "undersides"]
    assert [(k.outcome, k.seconds) for k in closed if k.day == TODAY] == [("looked", 7)]


def test_a_round_all_walked_but_not_ended_ends_when_come_back_to(
    four_plants: None, walk: Walk
) -> None:
    begun = walk()
    while begun.view().stage != "end":
        begun.go_on()
    walks.reopen_round(begun.logbook.file, begun.walk.id)
    assert resume(begun.logbook, begun.walk, take_over=True).view().stage == "end"
    assert walks.unfinished_rounds(begun.logbook.file) == []


# A round that nobody ended.


@pytest.mark.parametrize(
    ("counted", "outcome", "ended_as"),
    [(False, "partial", "not-looked-at"), (True, "looked", "looked-at")],
)
def test_an_abandoned_round_is_closed_when_the_next_one_begins(
    add: Add, walk: Walk, wait: Wait, clock: SetClock, counted: bool, outcome: str, ended_as: str
) -> None:
    add("G02")
    abandoned = walk()
    wait(8)
    abandoned.go_on()
    wait(10)
    if counted:
        abandoned.count("removed")
    abandoned.leave()
    clock.instant += timedelta(1)
    begun = walk()
    file = begun.logbook.file
    assert walks.unfinished_rounds(file) == [begun.walk]
    assert log.open_look_of(file, abandoned.walk.id) is None
    steps = walks.steps_of(file, abandoned.walk.id)
    assert [s.ended_as for s in steps] == ["looked-at", ended_as] + ["not-looked-at"] * 5
    looks = [look for look in looks_of(begun.logbook, "G02", TODAY) if look.day == TODAY]
    assert [(k.zone, k.outcome, k.seconds) for k in looks] == [
        ("new-growth", "looked", 8),
        ("undersides", outcome, 10),
    ]
    assert sum(look.live() for look in looks) == int(counted)


def test_the_day_of_a_round_is_the_day_it_began(
    add: Add, walk: Walk, wait: Wait, clock: SetClock
) -> None:
    add("G02")
    begun = walk()
    clock.instant += timedelta(hours=13)
    begun.count("removed")
    begun.go_on()
    assert {look.day for look in looks_of(begun.logbook, "G02", TODAY)} == {TODAY}


# The end.


def test_the_summary_says_what_was_found_and_what_was_not_seen(
    four_plants: None, add: Add, look: LookIn, logbook: Logbook, wait: Wait
) -> None:
    add("G14", "Gimbal", size="large", on=A_WHILE_AGO)
    look("G14", DAY_BEFORE, seconds=360.0)
    # after the find on G05, so that it is owed nothing for that
    look("G02", DAY_BEFORE)
    begun = begin(logbook, plan_by_zone(logbook, TODAY, 3.2))
    planned = [logbook.collection().plants[plant].code for plant in begun.course.plants]
    assert planned == ["G05", "G11", "S03"]
    assert begun.view().summary is None
    begun.answer("yes")
    wait(10)
    begun.digit(3)
    begun.count("removed")
    begun.answer("not-now")
    wait(1)
    view = begun.go_on()
    begun.hidden()
    begun.digit(2)
    while view.stage != "end":
        wait(60)
        view = begun.go_on() if view.stage == "hygiene" else begun.rest()
        if view.stage == "zone" and code(view) == "G11":
            begun.count("doubtful")
            begun.digit(1)
            wait(20)
            begun.go_on()
    summary = view.summary
    assert summary is not None
    assert (summary.found, summary.plants_found) == (3, 1)
    # G02 stands near the find, and joined
    assert (summary.plants_clean, summary.plants_looked_at) == (3, 4)
    assert {(line.code, line.mark) for line in summary.changed} == {
        ("G05", "found"),
        ("G11", "doubt"),
    }
    assert summary.not_looked_at == ("G14",)
    assert summary.hidden == ("G05 undersides",)
    # 11 seconds less 8 for each of 3 insects are too short
    assert summary.short == ("G05 new growth",)


def test_the_seconds_of_a_round_are_those_of_its_looks(
    four_plants: None, walk: Walk, wait: Wait
) -> None:
    begun = walk()
    view = begun.view()
    while view.stage != "end":
        wait(7)
        view = begun.go_on()
    looks = [
        look
        for plant in begun.logbook.collection().plants.values()
        for look in looks_of(begun.logbook, plant.code, TODAY)
        if look.day == TODAY
    ]
    assert len(looks) == 4 * 7
    assert view.elapsed_seconds == pytest.approx(sum(look.seconds for look in looks))
    assert view.elapsed_seconds == 4 * 7 * 7
