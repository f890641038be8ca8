"""The events of a plant: one model of what happened, read for as many days as are asked for."""

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.core.log.entries import PlantEntries
from rounds.service.collection.division import DivisionEntered, divide
from rounds.service.collection.plants import PlantDetails, add_plant, move_plant, plant_gone
from rounds.service.collection.release import end_quarantine
from rounds.service.collection.repot import RootsSeen, repot
from rounds.service.courses.written import Asked, treat
from rounds.service.entries.corrections import replace_look, replace_tally, settle, withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName, read_entry_name
from rounds.service.logbook.moment import local_noon, now
from rounds.service.plant.events import Event, PlantEvents
from rounds.service.plant.history import events_of
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.timeline import timeline
from rounds.store import walks

TODAY = date(2026, 5, 4)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def before(days: int) -> date:
    return TODAY - timedelta(days)


def record(logbook: Logbook, code: str = "G02") -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, TODAY)


def all_of(events: PlantEvents) -> list[Event]:
    ends = [time.end for time in events.times if time.end]
    origin = [events.divided_from] if events.divided_from else []
    return [*events.looks, *events.moves, *events.times, *ends, *events.facts, *events.repotted,
            *events.divided, *origin, *events.courses]  # fmt: skip


@pytest.fixture
def lived(add: Add, look: LookIn, logbook: Logbook, clock: SetClock) -> PlantRecord:
    """A plant with something of every kind, some of it put right."""
    moment = now(clock)
    add("G02", on=before(30), arrived=before(30), place="stair foot")
    finds = look("G02", before(20), "axils", counts={"removed": 3, "doubtful": 2}, stage="adult")
    replace_tally(logbook, moment, finds.tally_ids[0], kind="killed", count=4, stage=None)
    settle(logbook, moment, finds.tally_ids[1], "alive")
    wrong = look("G02", before(12), "medium", counts={"left": 1})
    replace_look(logbook, moment, wrong.look_ids[0], zone="pot-rim", seconds=30)
    withdraw(logbook, moment, look("G02", before(11), "axils").look_ids[0])
    repot(logbook, local_noon(before(9)), "G02", repotted=True, roots=RootsSeen(40, {}))
    for days in (8, 7):
        treat(logbook, local_noon(before(days)), ["G02"], Asked("contact-spray", done=True))
    end_quarantine(logbook, local_noon(before(6)), "G02", "wanted on the porch")
    move_plant(logbook, local_noon(before(5)), "G02", "porch shelf")
    add_plant(logbook, local_noon(before(4)), "G02", PlantDetails(note="x"), change=True)
    divide(logbook, local_noon(before(3)), "G02", DivisionEntered(2, ("G03",)))
    treat(logbook, local_noon(before(2)), ["G02"], Asked("contact-spray", stop=True))
    look("G02", before(1))
    plant_gone(logbook, moment, "G02", "given-away")
    return record(logbook)


def test_an_event_has_its_name_as_a_value_and_goes_by_it_outside(lived: PlantRecord) -> None:
    named = [e for e in all_of(events_of(lived)) if e.name.kind != "fact"]
    kinds = {event.name.kind for event in named}
    assert kinds == {
        "look", "move", "apart", "ended", "repotted", "divided", "gone", "course", "done", "stopped"
    }  # fmt: skip
    for event in named:
        assert read_entry_name(event.id) == event.name
        assert (event.day, event.number) == (event.name.day, event.name.entry_id)


def test_it_says_whether_an_entry_stands_and_why_not(lived: PlantRecord) -> None:
    looks = events_of(lived).looks
    said = [(look.zone, look.state, [t.state for t in look.tallies]) for look in looks[:4]]
    assert said == [
        ("axils", "stands", ["corrected", "stands", "stands"]),
        ("medium", "corrected", []),
        ("pot-rim", "stands", ["stands"]),
        ("axils", "taken-back", []),
    ]
    # four were killed, and a doubt of two was alive
    assert (looks[0].found, looks[0].counted("killed"), looks[0].counted("left")) == (6, 4, 2)
    assert looks[0].counted("doubtful") == looks[0].counted("removed") == 0


@pytest.mark.parametrize(
    ("first", "last"),
    [
        (before(20), before(12)),
        (before(11), before(11)),
        (before(9), before(3)),
        (before(2), TODAY),
    ],
)
def test_the_events_of_some_days_are_those_of_all_that_are_about_them(
    lived: PlantRecord, first: date, last: date
) -> None:
    def of_these(events: Sequence[Any]) -> tuple[Any, ...]:
        return tuple(event for event in events if first <= event.day <= last)

    every, some = events_of(lived), events_of(lived, first, last)
    for kind in ("looks", "moves", "facts", "repotted", "divided", "courses"):
        assert getattr(some, kind) == of_these(getattr(every, kind)), kind
    # a time apart is told by its end too
    ends = [time for time in every.times if time.end and first <= time.end.day <= last]
    assert set(some.times) == {*of_these(every.times), *ends}
    lines = tuple(line for line in timeline(lived) if first <= line.day <= last)
    assert lines
    assert timeline(lived, first, last) == lines


def test_of_a_part_the_days_asked_for_are_those_of_the_whole_too(
    lived: PlantRecord, logbook: Logbook
) -> None:
    part = record(logbook, "G03")
    whole = timeline(part)
    assert [line.of for line in whole if line.day == before(20)] == ["G02"]
    assert timeline(part, before(20), before(12)) == tuple(
        line for line in whole if before(20) <= line.day <= before(12)
    )


def test_only_the_entries_of_these_days_are_read(
    lived: PlantRecord, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[tuple[date, date]] = []
    entries = Logbook.entries

    def counted(book: Logbook, plant: Plant, first: date, last: date) -> PlantEntries:
        asked.append((first, last))
        return entries(book, plant, first, last)

    whole = events_of(lived)
    monkeypatch.setattr(Logbook, "entries", counted)
    first, last = before(12), before(11)
    found = events_of(lived, first, last)
    assert asked == [(first, last)]
    assert found.looks == tuple(look for look in whole.looks if first <= look.day <= last)
    assert found.looks


def test_who_walked_is_asked_once_and_of_the_rounds_of_these_days_alone(
    lived: PlantRecord, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Sequence[int]] = []
    known = walks.who_by_round

    def who_by_round(file: Any, rounds: Sequence[int]) -> dict[int, str | None]:
        asked.append(rounds)
        return known(file, rounds)

    monkeypatch.setattr(walks, "who_by_round", who_by_round)
    (look,) = events_of(lived, before(20), before(20)).looks
    assert asked == [[look.round_id]]


def test_that_it_came_of_a_division_goes_by_no_name_of_its_own(
    lived: PlantRecord, logbook: Logbook
) -> None:
    origin = events_of(record(logbook, "G03")).divided_from
    assert origin is not None
    assert (origin.day, origin.code, origin.into) == (before(3), "G02", 2)
    (line,) = [line for line in timeline(record(logbook, "G03")) if line.kind == "divided"]
    assert line.name is None
    (divided,) = events_of(lived).divided
    assert isinstance(divided.name, EntryName)
    assert divided.parts == ("G03",)


def test_a_course_is_told_by_what_was_entered_of_it(lived: PlantRecord) -> None:
    told = [(line.day, line.text, line.entry) for line in timeline(lived) if line.kind == "course"]
    assert [(day, text) for day, text, _ in told] == [
        (before(2), "contact spray stopped"),
        (before(7), "done: spray, 2 of 4"),
        (before(8), "done: spray, 1 of 4"),
        (before(8), "contact spray begun, 4 steps"),
    ]
    assert all(entry is not None for _, _, entry in told)


def test_a_part_tells_of_the_course_it_goes_on_with(lived: PlantRecord, logbook: Logbook) -> None:
    treat(logbook, local_noon(before(1)), ["G03"], Asked("contact-spray", done=True))
    told = [
        (line.of, line.text) for line in timeline(record(logbook, "G03")) if line.kind == "course"
    ]
    assert told == [
        (None, "done: spray, 3 of 4"),
        ("G02", "G02: done: spray, 2 of 4"),
        ("G02", "G02: done: spray, 1 of 4"),
        ("G02", "G02: contact spray begun, 4 steps"),
    ]
