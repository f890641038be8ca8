"""What comes next for a plant with finds, told where no sum may run."""

from collections.abc import Callable
from datetime import date, timedelta

from rounds.core.collection import Plant
from rounds.service.courses.advice import next_told
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import collection_on
from rounds.service.logbook.book import Logbook

TODAY = date(2026, 5, 4)
DAY_BEFORE = TODAY - timedelta(1)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def test_the_sums_before_the_last_find_stand_for_those_not_run_yet(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    plant = add("G07", on=DAY_BEFORE, place="stair foot", arrived=DAY_BEFORE)
    look("G07", DAY_BEFORE, "axils", counts={"left": 300})
    collection = collection_on(logbook, TODAY)
    assert next_told(collection.records[plant.id]) is None, "no sum was run yet"
    assert collection.records[plant.id].likely.mean.sum() > 200
    look("G07", TODAY, "medium", counts={"removed": 1})
    assert next_told(collection.read_anew(plant)) == "part"


def test_nothing_comes_next_for_a_plant_without_finds(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    plant = add("G07", on=DAY_BEFORE, place="stair foot", arrived=DAY_BEFORE)
    look("G07", DAY_BEFORE)
    record = collection_on(logbook, TODAY).records[plant.id]
    assert record.likely.mean.sum() < 1
    assert next_told(record) is None
