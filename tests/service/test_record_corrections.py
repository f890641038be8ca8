"""What was said of a plant by mistake is taken back, and stands as if it had not been said."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.errors import BadInput
from rounds.service.collection.apart import put_apart
from rounds.service.collection.plants import PlantDetails, add_plant, plant_gone
from rounds.service.collection.rejoin import former_place
from rounds.service.collection.release import end_quarantine
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon, now
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.timeline import gone_entry, timeline
from tests.days import detail_of

TODAY = date(2026, 5, 4)
LONG_AGO = TODAY - timedelta(60)

Add = Callable[..., Plant]


@pytest.fixture
def moment(clock: SetClock) -> Moment:
    return now(clock)


def record(logbook: Logbook, code: str, on: date = TODAY) -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, on)


def entry(logbook: Logbook, code: str, kind: str) -> str:
    found = [line.entry for line in timeline(record(logbook, code)) if line.kind == kind]
    assert found[0] is not None
    return found[0]


def test_put_apart_by_mistake_it_stands_where_it_stood(
    add: Add, look: Callable[..., LookWritten], logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=LONG_AGO)
    add("G04", "Cuddy", on=LONG_AGO, touches=("G02",))
    look("G04", TODAY, "axils", seconds=5, counts={"removed": 1})
    assert put_apart(logbook, moment, "G04") == ["G02"]
    _, plant = withdraw(logbook, moment, entry(logbook, "G04", "apart"))
    assert plant is not None
    after = record_of(logbook, plant, TODAY)
    assert (after.standing, after.place_name()) == ("collection", "porch shelf")
    other = record(logbook, "G02")
    assert other.standing == "collection"
    assert other.plant.touching(TODAY) == (plant.id,)


def test_a_quarantine_ended_by_mistake_goes_on(add: Add, logbook: Logbook, moment: Moment) -> None:
    add("S03", "Pintle", place="stair foot", arrived=LONG_AGO, on=LONG_AGO)
    end_quarantine(logbook, moment, "S03", "a slip")
    assert record(logbook, "S03").standing == "watch"
    withdraw(logbook, moment, entry(logbook, "S03", "ended"))
    after = record(logbook, "S03")
    assert (after.standing, after.standing_since) == ("quarantine", LONG_AGO)


def test_gone_by_mistake_it_is_here_with_all_it_touched(
    add: Add, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=LONG_AGO)
    add("G04", "Cuddy", on=LONG_AGO, touches=("G02",))
    plant_gone(logbook, moment, "G04", "died", "frost")
    assert record(logbook, "G04").standing == "gone"
    gone = gone_entry(record(logbook, "G04").plant)
    assert gone is not None
    withdraw(logbook, moment, gone)
    after = record(logbook, "G04")
    assert (after.standing, after.plant.fact("note", TODAY)) == ("collection", None)
    assert after.plant.touching(TODAY) == (record(logbook, "G02").plant.id,)


@pytest.mark.parametrize("kind", ["apart", "ended", "gone"])
def test_what_was_never_said_is_not_taken_back(
    add: Add, logbook: Logbook, moment: Moment, kind: str
) -> None:
    plant = add("G02", on=LONG_AGO)
    with pytest.raises(BadInput) as refused:
        withdraw(logbook, moment, f"{kind}-20260504-{plant.id}-1048577")
    assert refused.value.code == "unknown-entry"


def test_that_it_came_new_is_not_taken_back(add: Add, logbook: Logbook) -> None:
    add("S03", "Pintle", place="stair foot", arrived=LONG_AGO, on=LONG_AGO)
    assert [line.entry for line in timeline(record(logbook, "S03"))
            if line.kind == "apart"] == [None]  # fmt: skip


def test_what_is_said_later_holds_from_its_day_on(
    add: Add, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=LONG_AGO)
    add_plant(logbook, moment, "G02", PlantDetails(clear_pot=True), change=True)
    plant = record(logbook, "G02").plant
    assert plant.fact("clear_pot", TODAY - timedelta(1)) is None
    assert plant.fact("clear_pot", TODAY) == "yes"


def test_what_was_said_when_it_was_entered_holds_for_the_days_before(
    add: Add, logbook: Logbook
) -> None:
    add("S03", "Pintle", place="stair foot", arrived=LONG_AGO, size="large")
    assert record(logbook, "S03").plant.fact("size", LONG_AGO) == "large"


def test_the_former_place_is_the_last_that_is_not_apart(
    add: Add, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=LONG_AGO, spot="spot 5")
    put_apart(logbook, local_noon(TODAY - timedelta(40)), "G02")
    before = former_place(record(logbook, "G02"))
    assert before is not None
    assert (before.spot, before.day) == ("spot 5", LONG_AGO)
    add("S03", "Pintle", place="stair foot", arrived=LONG_AGO)
    assert former_place(record(logbook, "S03")) is None, "it never stood elsewhere"


def test_what_was_made_last_is_the_newest_entry_though_a_quarantine_ended_that_day(
    add: Add, look: Callable[..., LookWritten], logbook: Logbook, moment: Moment
) -> None:
    add("S03", "Pintle", place="stair foot", arrived=LONG_AGO, on=LONG_AGO)
    end_quarantine(logbook, moment, "S03", "a slip")
    newest = detail_of(record(logbook, "S03")).newest
    assert newest is not None
    assert newest.entry.startswith("ended-")
    made = look("S03", TODAY, "axils", seconds=20, counts={"removed": 2}).tally_ids
    newest = detail_of(record(logbook, "S03")).newest
    assert newest is not None
    assert newest.entry == made[0]


# A day that is typed in has one instant, its noon: what is said of it of several plants, one
# after the other, is not said in one go.

TYPED_IN = local_noon(TODAY - timedelta(3))
DECIDED: dict[str, Callable[[Logbook, str], object]] = {
    "apart": lambda logbook, code: put_apart(logbook, TYPED_IN, code),
    "ended": lambda logbook, code: end_quarantine(logbook, TYPED_IN, code, "paint"),
    "gone": lambda logbook, code: plant_gone(logbook, TYPED_IN, code, "died"),
}


@pytest.mark.parametrize("kind", DECIDED)
@pytest.mark.parametrize("taken_back", ["G02", "G04"])
def test_taken_back_of_one_plant_it_still_stands_of_the_one_said_before_or_after_it(
    add: Add, logbook: Logbook, moment: Moment, kind: str, taken_back: str
) -> None:
    arrived = {"place": "stair foot", "arrived": LONG_AGO} if kind == "ended" else {}
    for code in ("G02", "G04"):
        add(code, on=LONG_AGO, **arrived)
    before = record(logbook, taken_back).standing
    for code in ("G02", "G04"):
        DECIDED[kind](logbook, code)
    after = record(logbook, taken_back).standing
    assert after != before
    withdraw(logbook, moment, entry(logbook, taken_back, kind))
    other = "G04" if taken_back == "G02" else "G02"
    assert record(logbook, taken_back).standing == before
    assert record(logbook, other).standing == after


def test_taking_back_that_a_plant_is_gone_leaves_what_was_said_of_another_just_before(
    add: Add, logbook: Logbook, moment: Moment
) -> None:
    add("G02", on=LONG_AGO)
    add("G04", on=LONG_AGO)
    add_plant(logbook, TYPED_IN, "G02", PlantDetails(size="large"), change=True)
    plant_gone(logbook, TYPED_IN, "G04", "died")
    add_plant(logbook, TYPED_IN, "G02", PlantDetails(value=3.0), change=True)
    withdraw(logbook, moment, entry(logbook, "G04", "gone"))
    plant = record(logbook, "G02").plant
    assert (plant.fact("size", TODAY), plant.fact("value", TODAY)) == ("large", "3.0")
