"""What the next days bring, told from the same forecasts the plants have."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from rounds.service.coming import DAYS, TOLD, coming
from rounds.service.logbook import Logbook
from rounds.service.looks import LookEntered, enter_look
from rounds.service.moment import local_noon
from rounds.service.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.release import end_quarantine
from rounds.service.standing import PlantRecord, records
from rounds.service.today import roots_due

BEGAN = date(2026, 4, 1)


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """One plant apart since 1 April and looked at each day, one long on watch."""
    with Logbook(tmp_path / "porch.db") as book:
        moment = local_noon(BEGAN)
        put_place(book, moment, "stair foot", PlaceDetails(apart=True, usual_c=22.0))
        for code in ("S03", "G11"):
            add_plant(book, moment, code, PlantDetails(name="Pintle", place="stair foot"))
        end_quarantine(book, moment, "G11", "known and clean")
        for days in range(20):
            day = local_noon(BEGAN + timedelta(days))
            enter_look(book, day, "S03", LookEntered((), 200.0))
        yield book


def on(logbook: Logbook, day: date) -> list[PlantRecord]:
    found = records(logbook, day)
    for record in found:
        _ = record.forecast
    return found


def test_every_day_told_is_that_of_the_plant_itself(logbook: Logbook) -> None:
    kinds = set()
    for days in range(0, 70, 3):
        day = BEGAN + timedelta(days)
        for line in coming(on(logbook, day), day):
            kinds.add(line.kind)
            assert day < line.on <= day + timedelta(DAYS)
            record = line.record
            if line.kind == "watch":
                assert record.standing == "watch"
                assert line.on == record.watch_until
            elif line.kind == "roots":
                assert line.on == roots_due(record)
            elif line.kind == "release":
                assert record.forecast is not None
                assert line.on == record.forecast.ready_on
            else:
                assert record.forecast is not None
                expected = {c.code: c.expected_on for c in record.forecast.criteria}
                assert line.on == expected[line.kind]
    assert {"watch", "roots", "days_apart"} <= kinds <= {"watch", "roots", "release", *TOLD}


def test_the_nearest_comes_first_and_what_is_far_comes_when_it_is_near(logbook: Logbook) -> None:
    day = BEGAN + timedelta(20)
    found = coming(on(logbook, day), day, days=60)
    days = [line.on for line in found]
    assert days == sorted(days)
    near = {(line.on, line.kind, line.record.plant.code) for line in coming(on(logbook, day), day)}
    until = day + timedelta(DAYS)
    assert near == {(n.on, n.kind, n.record.plant.code) for n in found if n.on <= until}
    assert len(found) > len(near) > 0


def test_an_empty_collection_expects_nothing(tmp_path: Path) -> None:
    with Logbook(tmp_path / "new.db") as book:
        assert coming(records(book, BEGAN), BEGAN) == []
