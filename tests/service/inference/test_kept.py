"""What was worked out is kept until what it rests on is another; it is never stale."""

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.errors import LogbookUnusable
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    move_plant,
    plant_gone,
    put_place,
    put_weather,
)
from rounds.service.collection.release import end_quarantine
from rounds.service.entries.corrections import settle, withdraw
from rounds.service.inference import kept
from rounds.service.inference.day import records
from rounds.service.inference.kept import kept_or_worked_out, parameters_digest
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import local_noon, now
from rounds.service.plant.status import status_of
from rounds.service.safety.versions import SUMS_VERSION
from rounds.store import derived, desk

from .asking import TODAY, Add, LookIn, before, found_three, record
from .course import Course, answer, answers


def rows(logbook: Logbook) -> dict[tuple[int, str], tuple[str, str]]:
    """All that is kept."""
    with logbook.file.reading() as connection:
        found = connection.execute("SELECT plant_id, what, key, result FROM derived").fetchall()
    return {(plant_id, what): (key, result) for plant_id, what, key, result in found}


@pytest.mark.parametrize("seed", range(4))
def test_what_is_kept_is_what_would_be_worked_out(
    tmp_path: Path, clock: SetClock, seed: int
) -> None:
    course = Course(tmp_path / "course.db", clock, seed)
    for number in range(20):
        course.step()
        if number % 6 == 5:
            course.restart()
        at_hand = answers(course.logbook, course.today)
        assert answers(course.logbook, course.today) == at_hand, course.happened
        derived.forget_all(course.logbook.file)
        assert answers(course.logbook, course.today) == at_hand, course.happened
    past = course.today - timedelta(2)
    assert answers(course.logbook, past) == answers(course.logbook, past)
    assert answers(course.logbook, course.today) == at_hand, "a past day is no other today"
    course.logbook.close()


def test_another_process_says_the_same_and_reads_what_is_kept(
    tmp_path: Path, clock: SetClock
) -> None:
    course = Course(tmp_path / "course.db", clock, 3)
    for _ in range(30):
        course.step()
    # as for a command, which speaks of the end of the day
    on = course.today
    course.logbook.day_is_over = True
    at_hand = {r.plant.code: status_of(r) for r in records(course.logbook, on)}
    before_it = rows(course.logbook)
    for forgets in (False, True):
        if forgets:
            derived.forget_all(course.logbook.file)
        told = said_elsewhere(course.path, on)
        assert told.keys() == at_hand.keys()
        for code, status in at_hand.items():
            band, left, risk = status.band, status.left, status.risk
            assert band is not None
            assert left is not None
            assert risk is not None
            low_why = told[code]["chance_clean"].pop("low_why")
            assert (low_why["code"] if low_why else "") == band.low_why
            assert told[code]["chance_clean"] == {
                "value": status.chance_clean, "low": band.low, "high": band.high,
                "method": status.method,
            }  # fmt: skip
            assert told[code]["probably_left"]["mean"] == left.mean
            assert told[code]["risk"]["value"] == risk.value
            expected = told[code]["release"] and told[code]["release"]["expected_on"]
            ready = status.release.expected_on if status.release else None
            assert expected == (ready.isoformat() if ready else None)
        assert rows(course.logbook) == before_it
    course.logbook.close()


def said_elsewhere(path: Path, on: date) -> dict[str, Any]:
    root = Path(__file__).parents[3]
    environment = {**os.environ, "PYTHONPATH": str(root), "ROUNDS_DB": str(path)}
    call = [sys.executable, "-m", "rounds", "rank", "--json", "--on", on.isoformat()]
    ran = subprocess.run(call, capture_output=True, env=environment, check=True)
    return {plant["code"]: plant for plant in json.loads(ran.stdout)["plants"]}


# What it rests on.


@pytest.fixture
def four_plants(add: Add, look: LookIn, logbook: Logbook) -> None:
    """S03 of a batch of two; G05 infested beside G02."""
    add("S03", place="stair foot", arrived=before(12), on=before(12), source="fair")
    add("S04", place="stair foot", arrived=before(12), on=before(12), source="fair")
    add("G02", on=before(40))
    add("G05", on=before(40), touches=("G02",))
    found_three(logbook, "S03", before(12))
    look("S03", before(5))
    look("G05", before(10), "axils", seconds=40, counts={"left": 2})
    look("G02", before(3), "axils", seconds=20, counts={"doubtful": 1})


Change = Callable[[Logbook, LookIn], object]
NOW = local_noon(TODAY)


def change(logbook: Logbook, code: str, **said: Any) -> None:
    add_plant(logbook, NOW, code, PlantDetails(**said), change=True)


def tally_of(logbook: Logbook, code: str) -> str:
    found = record(logbook, code)
    [(look, tally)] = [(k, t) for k in found.log for t in k.tallies]
    return str(EntryName("tally", look.day, found.plant.id, tally.id))


CHANGES: dict[str, tuple[str, Change]] = {
    "a look": ("S03", lambda _, look: look("S03", TODAY)),
    "a look of the past": ("S03", lambda _, look: look("S03", before(8), "axils")),
    "a find": ("S03", lambda _, look: look("S03", TODAY, "axils", counts={"removed": 1})),
    "a move": ("S03", lambda book, _: move_plant(book, NOW, "S03", "porch shelf")),
    "the end of a quarantine": ("S03", lambda book, _: end_quarantine(book, NOW, "S03", "paint")),
    "warmth": ("S03", lambda book, _: put_weather(book, NOW, "stair foot", before(4), 9, 30)),
    "warmth before it came": (
        "S03", lambda book, _: put_weather(book, NOW, "stair foot", before(13), 9, 30),
    ),
    "usual temperature": (
        "S03", lambda book, _: put_place(
            book, NOW, "stair foot", PlaceDetails(usual_c=25), change=True),
    ),
    "a place no longer apart": (
        "S03", lambda book, _: put_place(
            book, NOW, "stair foot", PlaceDetails(apart=False), change=True),
    ),
    "its size": ("S03", lambda book, _: change(book, "S03", size="large")),
    "its form": ("S03", lambda book, _: change(book, "S03", form="fern")),
    "its pot": ("S03", lambda book, _: change(book, "S03", clear_pot=True)),
    "a mate looked at": ("S03", lambda _, look: look("S04", TODAY)),
    "a mate's find withdrawn": (
        "S04", lambda book, _: withdraw(book, NOW, tally_of(book, "S03")),
    ),
    "a doubt settled": (
        "G02", lambda book, _: settle(book, NOW, tally_of(book, "G02"), "remains"),
    ),
    "a count withdrawn": ("G02", lambda book, _: withdraw(book, NOW, tally_of(book, "G02"))),
    "a neighbour looked at": ("G02", lambda _, look: look("G05", TODAY)),
    "a neighbour's count withdrawn": (
        "G02", lambda book, _: withdraw(book, NOW, tally_of(book, "G05")),
    ),
    "a neighbour moved away": (
        "G02", lambda book, _: move_plant(book, NOW, "G05", "seedling bench"),
    ),
    "a neighbour gone": ("G02", lambda book, _: plant_gone(book, NOW, "G05", "discarded")),
    "no longer touching": ("G02", lambda book, _: change(book, "G02", touches=())),
}  # fmt: skip


# It stands apart for its quarantine, and nobody has looked since it grew. That it is infested is
# known, but how well that fits what was supposed of it rests on its mates.
TELLS_NOTHING = ("a place no longer apart", "its size", "its pot")


@pytest.mark.parametrize("what", CHANGES)
def test_the_key_is_another_with_whatever_it_rests_on(
    four_plants: None, logbook: Logbook, look: LookIn, what: str
) -> None:
    code, happens = CHANGES[what]
    known = record(logbook, code)
    assert record(logbook, code).likely.key == known.likely.key
    said_before = answer(known)
    happens(logbook, look)
    assert record(logbook, code).likely.key != known.likely.key
    said = answer(record(logbook, code))
    derived.forget_all(logbook.file)
    assert answer(record(logbook, code)) == said
    assert (said == said_before) is (what in TELLS_NOTHING)


def test_the_key_is_another_the_next_day(four_plants: None, logbook: Logbook) -> None:
    assert record(logbook, "S03").likely.key != record(logbook, "S03", before(1)).likely.key


def test_the_key_is_another_with_the_table(
    four_plants: None, logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = logbook.parameters
    key, said = record(logbook, "S03").likely.key, record(logbook, "S03").likely.chance_clean
    infestation = replace(known.infestation, arrivals_apart=0.01)
    logbook.parameters = replace(known, infestation=infestation)
    assert parameters_digest(logbook.parameters, "mealybug") != parameters_digest(known, "mealybug")
    assert record(logbook, "S03").likely.key != key
    assert record(logbook, "S03").likely.chance_clean < said
    logbook.parameters = known
    assert record(logbook, "S03").likely.key == key
    with monkeypatch.context() as patched:
        patched.setattr(kept, "SUMS_VERSION", SUMS_VERSION + 1)
        assert record(logbook, "S03").likely.key != key


def test_a_forecast_follows_the_rules_and_the_period(
    four_plants: None, logbook: Logbook, clock: SetClock
) -> None:
    def said() -> object:
        return record(logbook, "S03").forecast

    usual = said()
    desk.put_setting(logbook.file, "rules", "lenient")
    assert said() != usual
    desk.put_setting(logbook.file, "rules", "default")
    assert said() == usual
    # released and put apart again where it stood apart all along: its clocks begin anew
    end_quarantine(logbook, local_noon(before(2)), "S03", "the stair is being painted")
    assert said() is None
    move_plant(logbook, now(clock), "S03", "stair foot", apart=True)
    again = record(logbook, "S03")
    assert again.history is not None
    assert again.history.began_on == TODAY
    assert said() != usual
    derived.forget_all(logbook.file)
    assert said() == again.forecast


def test_whether_a_forecast_is_there_is_known_without_it(
    four_plants: None, logbook: Logbook, look: LookIn
) -> None:
    assert not record(logbook, "S03").forecast_is_quick
    found = record(logbook, "S03")
    assert found.forecast is not None
    assert found.forecast_is_quick
    assert record(logbook, "S03").forecast_is_quick
    assert record(logbook, "G02").forecast_is_quick, "it has none"
    look("S03", TODAY)
    assert not record(logbook, "S03").forecast_is_quick
    desk.put_setting(logbook.file, "rules", "strict")
    assert found.forecast is not None
    assert not record(logbook, "S03").forecast_is_quick


# Kept, and read.


@pytest.fixture
def worked_out(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is worked out from now on, in order."""
    found: list[str] = []
    usual = derived.keep

    def keep(*given: Any, **said: Any) -> None:
        found.append(given[2])
        usual(*given, **said)

    monkeypatch.setattr(derived, "keep", keep)
    return found


def test_nothing_is_worked_out_twice(
    four_plants: None, logbook: Logbook, look: LookIn, worked_out: list[str]
) -> None:
    first = answers(logbook, TODAY)
    assert sorted({what.split()[0] for what in worked_out}) == [
        "answer", "band", "forecast", "leaving", "left", "risk", "told",
    ]  # fmt: skip
    worked_out.clear()
    assert answers(logbook, TODAY) == first
    assert worked_out == []
    with Logbook(logbook.file.path, logbook.clock) as other:
        assert answers(other, TODAY) == first
    assert worked_out == []
    look("G05", TODAY)
    answers(logbook, TODAY)
    # its own, and those of the plant it touches; S03 and S04 stay as they were
    assert sorted(worked_out) == [
        *2 * ["answer mealybug"], *2 * ["band mealybug"], "leaving mealybug",
        *2 * ["left mealybug"], *2 * ["risk mealybug"],
    ]  # fmt: skip


def test_one_row_is_kept_of_each_kind(four_plants: None, logbook: Logbook, look: LookIn) -> None:
    answers(logbook, TODAY)
    kinds = rows(logbook).keys()
    look("S03", TODAY)
    answers(logbook, TODAY)
    answers(logbook, before(1))
    assert rows(logbook).keys() == kinds


def test_what_is_kept_is_read_by_its_key(logbook: Logbook, add: Add) -> None:
    plant = add("G02")
    asked: list[int] = []

    def work_out() -> dict[str, float]:
        asked.append(1)
        return {"third": 1 / 3, "count": len(asked)}

    def ask(key: str) -> dict[str, float]:
        answer: dict[str, float] = kept_or_worked_out(logbook, plant.id, "some", key, work_out)
        return answer

    assert ask("one") == {"third": 1 / 3, "count": 1}
    assert ask("one") == {"third": 1 / 3, "count": 1}
    assert ask("other") == {"third": 1 / 3, "count": 2}
    assert ask("one") == {"third": 1 / 3, "count": 3}, "one is kept at a time"
    assert len(asked) == 3


# A logbook that cannot be written to.


def test_a_read_only_logbook_answers_and_keeps_nothing(four_plants: None, logbook: Logbook) -> None:
    derived.forget_all(logbook.file)
    expected = answers(logbook, TODAY)
    derived.forget_all(logbook.file)
    with Logbook(logbook.file.path, logbook.clock) as reader:
        reader.file.connection.execute("PRAGMA query_only = ON")
        with pytest.raises(LogbookUnusable, match="read"):
            desk.put_setting(reader.file, "rules", "strict")
        assert answers(reader, TODAY) == expected
        assert rows(reader) == {}
    answers(logbook, TODAY)
    kept_now = rows(logbook)
    assert kept_now
    with Logbook(logbook.file.path, logbook.clock) as reader:
        reader.file.connection.execute("PRAGMA query_only = ON")
        assert answers(reader, TODAY) == expected
        # nothing is kept of another day, and nothing of this one is lost
        assert answers(reader, before(1)) != expected
    assert rows(logbook) == kept_now


def test_a_locked_logbook_answers_and_keeps_nothing(four_plants: None, logbook: Logbook) -> None:
    expected = answers(logbook, TODAY)
    derived.forget_all(logbook.file)
    # it need not wait as long as a grower would
    logbook.file.connection.execute("PRAGMA busy_timeout = 1")
    other = sqlite3.connect(logbook.file.path, isolation_level=None)
    try:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(LogbookUnusable):
            desk.put_setting(logbook.file, "rules", "strict")
        assert answers(logbook, TODAY) == expected
        other.execute("ROLLBACK")
    finally:
        other.close()
    assert rows(logbook) == {}
    # the lock was waited for once, and not again; who opens it later keeps what is worked out
    with Logbook(logbook.file.path, logbook.clock) as later:
        assert answers(later, TODAY) == expected
        assert rows(later)


def test_a_fault_of_the_sums_is_not_taken_for_one_of_the_file(logbook: Logbook, add: Add) -> None:
    plant = add("G02")

    def fails() -> None:
        raise ValueError("no such zone")

    with pytest.raises(ValueError, match="no such zone"):
        kept_or_worked_out(logbook, plant.id, "some", "key", fails)
    assert rows(logbook) == {}
