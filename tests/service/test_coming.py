"""What the next days bring, told from the same forecasts the plants have."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from rounds.core.away import Stretch
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.collection.release import end_quarantine
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import records
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plan.coming import DAYS, TOLD, Coming, coming
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus, seen_status, status_of, with_brood

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


def on(logbook: Logbook, day: date) -> list[PlantStatus]:
    return [with_brood(record, status_of(record)) for record in records(logbook, day)]


def found_of(logbook: Logbook, day: date, plant_id: int) -> PlantRecord:
    return next(record for record in records(logbook, day) if record.plant.id == plant_id)


def told(line: Coming) -> tuple[date, str, str]:
    return line.on, line.kind, line.status.code if line.status else ""


def test_every_day_told_is_that_of_the_plant_itself(logbook: Logbook) -> None:
    kinds = set()
    for days in range(0, 70, 3):
        day = BEGAN + timedelta(days)
        for line in coming(on(logbook, day), day):
            kinds.add(line.kind)
            assert day < line.on <= day + timedelta(DAYS)
            assert line.status is not None
            record = found_of(logbook, day, line.status.plant_id)
            if line.kind == "watch":
                assert record.standing == "watch"
                assert line.on == record.watch_until
            elif line.kind == "roots":
                assert line.on == seen_status(record).roots_from
            elif line.kind == "release":
                assert record.forecast is not None
                assert line.on == record.forecast.ready_on
            else:
                assert record.forecast is not None
                expected = {c.code: c.expected_on for c in record.forecast.criteria}
                assert line.on == expected[line.kind]
                unmet = {c.code for c in record.forecast.criteria if c.met is not True}
                assert {*line.waits} == {c for c in unmet if (expected[c] or date.max) > line.on}
    assert {"watch", "roots", "days_apart"} <= kinds <= {"watch", "roots", "release", *TOLD}


def test_the_nearest_comes_first_and_what_is_far_comes_when_it_is_near(logbook: Logbook) -> None:
    day = BEGAN + timedelta(20)
    found = coming(on(logbook, day), day, days=60)
    days = [line.on for line in found]
    assert days == sorted(days)
    near = {told(line) for line in coming(on(logbook, day), day)}
    until = day + timedelta(DAYS)
    assert near == {told(line) for line in found if line.on <= until}
    assert len(found) > len(near) > 0


def test_an_empty_collection_expects_nothing(tmp_path: Path) -> None:
    with Logbook(tmp_path / "new.db") as book:
        assert coming(on(book, BEGAN), BEGAN) == []


def found(logbook: Logbook, day: date, kind: str, stage: str | None) -> None:
    enter_look(logbook, local_noon(day), "S03",
               LookEntered(("axils",), 30.0, counts={kind: 2}, stage=stage))  # fmt: skip


def eggs_told(logbook: Logbook, day: date) -> dict[str, date]:
    lines = coming(on(logbook, day), day, days=60)
    return {line.kind: line.on for line in lines if line.kind.startswith("hatch")}


@pytest.mark.parametrize("stage", ["eggs", None])
def test_no_last_day_is_told_where_laying_adults_are_expected_still(
    logbook: Logbook, stage: str | None
) -> None:
    # eggs without whoever laid them, or insects of any stage: adults that lay may be there
    day = BEGAN + timedelta(20)
    found(logbook, day, "removed", stage)
    assert eggs_told(logbook, day) == {
        "hatch": day + timedelta(3),
        "hatch-most": day + timedelta(7),
    }


# she was lifted off, with her eggs or before she laid them
@pytest.mark.parametrize("stage", ["adult", "egg-mass"])
def test_the_last_eggs_hatch_by_the_warmth_an_egg_is_known_to_need(
    logbook: Logbook, stage: str
) -> None:
    day = BEGAN + timedelta(20)
    found(logbook, day, "removed", stage)
    # 14 degree-days a day at the usual 22 degC of the place: 34 after 3 days, 85 after 7, 170
    # after 13
    assert eggs_told(logbook, day) == {
        "hatch": day + timedelta(3),
        "hatch-most": day + timedelta(7),
        "hatched": day + timedelta(13),
    }
    later = day + timedelta(3)
    assert eggs_told(logbook, later) == {
        "hatch-most": day + timedelta(7),
        "hatched": day + timedelta(13),
    }
    assert eggs_told(logbook, day + timedelta(13)) == {}


def test_where_only_young_or_doubts_were_found_no_eggs_are_told(logbook: Logbook) -> None:
    day = BEGAN + timedelta(20)
    found(logbook, day, "removed", "young")
    found(logbook, day, "doubtful", None)
    assert eggs_told(logbook, day) == {}


def test_days_away_are_told_on_the_first_day_and_on_the_first_one_back(logbook: Logbook) -> None:
    day = BEGAN + timedelta(20)
    first, last = day + timedelta(5), day + timedelta(9)
    lines = coming([], day, away=[Stretch(first, last)])
    assert [(line.on, line.kind) for line in lines] == [
        (first, "away"),
        (last + timedelta(1), "back"),
    ]
    # under way: only the way back is still to come; over, or far off: nothing
    for away, kinds in (
        (Stretch(day, last), ["back"]),
        (Stretch(day - timedelta(3), day - timedelta(1)), []),
        (Stretch(day + timedelta(DAYS), day + timedelta(90)), ["away"]),
        (Stretch(day + timedelta(DAYS + 1), day + timedelta(90)), []),
    ):
        assert [line.kind for line in coming([], day, away=[away])] == kinds
