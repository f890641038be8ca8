"""A logbook of any older version answers as it did, and is read the same however it is kept."""

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.plant.history import events_of
from rounds.service.plant.visits import Visit, visits_of
from tests.cli.conftest import NOW
from tests.store.older_files import VERSION_4, VERSIONS, write_version, write_version_4

ON = date(2026, 5, 3)
CODES = ("G02", "S03", "G07", "G11")

Ask = Callable[..., Any]


@pytest.fixture
def older(logbook_file: Path) -> Path:
    return write_version_4(logbook_file)


@pytest.fixture(scope="module")
def answered() -> Any:
    """What the program of version 4 said."""
    return answers_of(4)


def answers_of(version: int) -> Any:
    """What the program of a version said of its file, figures of the sums, which may change, left
    out: kept as that program, started once more, printed `rounds plant CODE --on 2026-05-03`.
    """
    text = (VERSION_4.parent / f"version_{version}" / "answers.json").read_text(encoding="utf-8")
    return json.loads(text)


def visits(path: Path, code: str) -> tuple[Visit, ...]:
    with Logbook(path, SetClock(NOW)) as logbook:
        plants = {plant.code: plant for plant in logbook.collection().plants.values()}
        return visits_of(events_of(record_of(logbook, plants[code], ON)).looks)


def as_before(now: Any, then: Any) -> Any:
    """What is told now without the keys that came later: what is told grows by keys only."""
    if isinstance(then, list):
        assert len(now) == len(then)
        return [as_before(*both) for both in zip(now, then, strict=True)]
    return {key: as_before(now[key], then[key]) for key in then} if isinstance(then, dict) else now


@pytest.mark.parametrize("version", VERSIONS)
def test_each_plant_of_an_older_version_is_told_as_before(
    logbook_file: Path, ask: Ask, version: int
) -> None:
    write_version(logbook_file, version)
    answered = answers_of(version)["plants"]
    assert sum(len(before["looks"]) for before in answered.values()) > 30
    for code, before in answered.items():
        told = ask("plant", code, "--on", ON)
        for name in ("looks", "moves", "periods"):
            assert as_before(told[name], before[name]) == before[name], (code, name)
        # no look of these files was at another pest
        assert {t["pest"] for look in told["looks"] for t in look["tallies"]} <= {"mealybug"}
        status = {name: said for name, said in before.items() if name not in told}
        assert status == {name: told["plant"][name] for name in status}, code


@pytest.mark.parametrize("code", CODES)
def test_the_history_of_version_4_is_that_of_before(older: Path, answered: Any, code: str) -> None:
    told = [
        {
            "day": str(visit.day),
            "round_id": str(visit.round_id),
            "newest_id": str(visit.newest_id),
            "who": visit.who,
            "found": visit.found,
            "open_doubts": visit.open_doubts,
            "is_withdrawn": visit.is_withdrawn,
            "entries": len(visit.entries()),
        }
        for visit in visits(older, code)
    ]
    assert told == answered["visits"][code]


def test_it_makes_no_difference_how_the_round_of_a_look_is_kept(older: Path, ask: Ask) -> None:
    def answers() -> list[Any]:
        of_all = [ask("today", "--on", ON), ask("rank", "--on", ON)]
        of_each = [ask("plant", code, "--on", ON) for code in CODES]
        return of_all + of_each

    near = answers()
    assert near[0]["plan"]
    with closing(sqlite3.connect(older)) as raw:
        (kept,) = raw.execute("SELECT count(*) FROM look WHERE round_back < 100").fetchone()
        raw.execute("UPDATE look SET round_back = round_id")
        raw.execute("DELETE FROM derived")
        raw.commit()
    assert kept > 50
    assert answers() == near
