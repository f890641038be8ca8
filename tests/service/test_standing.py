"""Where a plant stands at the end of a day, through arrival, moves, release and farewell."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.errors import BadInput, Refused
from rounds.service.collection.plants import move_plant, plant_gone, put_weather
from rounds.service.collection.release import end_quarantine
from rounds.service.entries.corrections import settle, withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of, records
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import status_of

TODAY = date(2026, 5, 4)
LONG_AGO = TODAY - timedelta(90)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def before(days: int) -> date:
    return TODAY - timedelta(days)


def noon(days_before: int = 0) -> Moment:
    return local_noon(before(days_before))


def record(logbook: Logbook, code: str, on: date = TODAY) -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, on)


def standing(logbook: Logbook, code: str, on: date = TODAY) -> tuple[str, date]:
    found = record(logbook, code, on)
    return found.standing, found.standing_since


def test_a_plant_that_was_here_is_in_the_collection(add: Add, logbook: Logbook) -> None:
    add("G02", on=before(9))
    assert standing(logbook, "G02") == ("collection", before(9))
    assert status_of(record(logbook, "G02")).release is None


def test_a_plant_that_arrived_stands_apart_from_that_day(add: Add, logbook: Logbook) -> None:
    add("G07", "Lanyard", on=before(2), arrived=before(6))
    assert standing(logbook, "G07") == ("quarantine", before(6))
    status = status_of(record(logbook, "G07"))
    assert status.release is not None
    days = next(c for c in status.release.criteria if c.code == "days_apart")
    assert (days.have, days.need) == (6, 30)


@pytest.mark.parametrize(("place", "apart"), [("stair foot", False), ("seedling bench", True)])
def test_moved_apart_a_quarantine_begins(
    add: Add, logbook: Logbook, place: str, apart: bool
) -> None:
    add("G02", on=before(9))
    move_plant(logbook, noon(3), "G02", place, apart=apart)
    assert standing(logbook, "G02") == ("quarantine", before(3))
    assert standing(logbook, "G02", before(4)) == ("collection", before(9))


def test_a_move_elsewhere_begins_and_ends_nothing(add: Add, logbook: Logbook) -> None:
    add("G02", on=before(9))
    move_plant(logbook, noon(5), "G02", "seedling bench", spot="by the window")
    assert standing(logbook, "G02") == ("collection", before(9))
    assert (record(logbook, "G02").place_name(), record(logbook, "G02").spot()) == (
        "seedling bench",
        "by the window",
    )
    move_plant(logbook, noon(4), "G02", "stair foot")
    move_plant(logbook, noon(1), "G02", "porch shelf")
    assert standing(logbook, "G02") == ("quarantine", before(4))
    assert record(logbook, "G02", before(2)).place_name() == "stair foot"


def test_with_the_move_its_quarantine_is_taken_back(add: Add, logbook: Logbook) -> None:
    add("G02", on=before(9))
    _, entry = move_plant(logbook, noon(3), "G02", "stair foot")
    withdraw(logbook, noon(), str(entry))
    assert standing(logbook, "G02") == ("collection", before(9))
    assert record(logbook, "G02").place_name() == "porch shelf"


def test_a_find_alone_changes_no_standing(add: Add, look: LookIn, logbook: Logbook) -> None:
    add("G02", on=before(9))
    look("G02", TODAY, "axils", counts={"left": 3})
    assert standing(logbook, "G02") == ("collection", before(9))
    assert record(logbook, "G02").infested


def test_released_it_is_watched_for_one_generation(add: Add, logbook: Logbook) -> None:
    add("G07", "Lanyard", on=LONG_AGO, place="stair foot", arrived=LONG_AGO)
    released = before(60)
    end_quarantine(logbook, local_noon(released), "G07", "the stair is being painted")
    assert standing(logbook, "G07", released - timedelta(1)) == ("quarantine", LONG_AGO)
    assert standing(logbook, "G07", released) == ("watch", released)
    # 485 degree-days at 18 degC, 10 a day above 8 degC: 49 days
    until = released + timedelta(49)
    assert record(logbook, "G07", released).watch_until == until
    assert standing(logbook, "G07", until - timedelta(1)) == ("watch", released)
    assert standing(logbook, "G07", until) == ("collection", until)


def test_warm_weather_shortens_the_watch_to_its_least_days(add: Add, logbook: Logbook) -> None:
    add("G07", "Lanyard", on=LONG_AGO, place="stair foot", arrived=LONG_AGO)
    released = before(60)
    end_quarantine(logbook, local_noon(released), "G07", "the stair is being painted")
    for days in range(31):
        put_weather(logbook, noon(), "stair foot", released + timedelta(days), 26, 26)
    assert record(logbook, "G07").watch_until == released + timedelta(30)


def test_without_a_reason_it_leaves_only_when_every_criterion_is_met(
    add: Add, logbook: Logbook
) -> None:
    add("G07", "Lanyard", on=before(6), place="stair foot", arrived=before(6))
    decision = end_quarantine(logbook, noon(), "G07")
    assert not decision.released
    assert isinstance(decision.refusal, Refused)
    assert standing(logbook, "G07") == ("quarantine", before(6))
    early = end_quarantine(logbook, noon(), "G07", " the stair is being painted ")
    assert (early.released, early.early, early.reason) == (True, True, "the stair is being painted")
    assert standing(logbook, "G07") == ("watch", TODAY)
    assert end_quarantine(logbook, noon(), "G07", "again").refusal is not None
    with pytest.raises(BadInput):
        end_quarantine(logbook, noon(), "G07", "  ")


def test_apart_again_after_a_release_a_new_period_begins(add: Add, logbook: Logbook) -> None:
    add("G07", "Lanyard", on=before(40), place="stair foot", arrived=before(40))
    end_quarantine(logbook, noon(10), "G07", "the stair is being painted")
    move_plant(logbook, noon(10), "G07", "porch shelf")
    move_plant(logbook, noon(2), "G07", "stair foot")
    assert standing(logbook, "G07", before(3)) == ("watch", before(10))
    assert standing(logbook, "G07") == ("quarantine", before(2))


def test_gone_it_is_no_longer_among_the_plants_that_are_here(add: Add, logbook: Logbook) -> None:
    add("G02", on=before(9))
    plant_gone(logbook, noon(2), "G02", "given-away")
    assert standing(logbook, "G02") == ("gone", before(2))
    assert standing(logbook, "G02", before(3)) == ("collection", before(9))
    assert records(logbook, TODAY) == []
    assert [r.plant.code for r in records(logbook, before(3))] == ["G02"]
    assert records(logbook, before(10)) == [], "it had not come yet"
    with pytest.raises(Refused):
        move_plant(logbook, noon(), "G02", "stair foot")


def test_the_last_look_the_last_whole_one_and_the_last_find_are_told_apart(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G02", on=before(9))
    look("G02", before(8), "axils", counts={"removed": 1})
    look("G02", before(6))
    look("G02", before(5), "axils", seconds=3)
    look("G02", before(1), "axils", seconds=0, cannot_see="too dark")
    status = status_of(record(logbook, "G02"))
    assert status.last_find_on == before(8)
    assert status.last_complete_look_on == before(6)
    assert status.last_look_on == before(5)
    assert (status.streak.looks, status.streak.days) == (1, 1)


def test_a_past_day_is_told_from_what_is_about_it_whenever_it_was_entered(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G02", on=before(9))
    written = look("G02", before(5), "axils", counts={"doubtful": 1})
    look("G02", TODAY, "axils", counts={"removed": 4})
    past = record(logbook, "G02", before(4))
    assert (past.last_find_on, len(past.open_doubts)) == (None, 1)
    # settled today, as of its own day
    settle(logbook, noon(), written.tally_ids[0], "alive")
    past = record(logbook, "G02", before(4))
    assert (past.last_find_on, len(past.open_doubts)) == (before(5), 0)
    withdraw(logbook, noon(), written.look_ids[0])
    past = record(logbook, "G02", before(4))
    assert (past.last_find_on, past.last_look_on) == (None, None)


def test_what_is_read_of_all_plants_at_once_is_what_is_read_of_each(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G02", on=before(30))
    add("G07", "Lanyard", on=before(30), place="stair foot", arrived=before(30))
    add("G11", "Bollard", on=before(30))
    for days in (20, 12, 5, 1):
        look("G02", before(days))
        look("G07", before(days), "axils", counts={"left": days})
    together = {r.plant.code: status_of(r) for r in records(logbook, TODAY)}
    assert list(together) == ["G02", "G07", "G11"]
    assert together == {code: status_of(record(logbook, code)) for code in together}
