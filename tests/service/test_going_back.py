"""Going back from quarantine: what stands there, the chance there, and a place without a find."""

from collections.abc import Callable
from datetime import date, timedelta
from math import exp

import pytest

from rounds.core.collection import Plant
from rounds.service.collection.apart import put_apart
from rounds.service.collection.plants import PlaceDetails, move_plant, plant_gone, put_place
from rounds.service.collection.rejoin import Rejoining, rejoining
from rounds.service.collection.rejoin_text import offers, rejoin_text
from rounds.service.collection.release import end_quarantine
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon
from rounds.service.logbook.named import find_plant
from rounds.service.plan.today import due_today
from rounds.service.plant.status import seen_status

Add = Callable[..., Plant]
Look = Callable[..., LookWritten]

TODAY = date(2026, 5, 4)
LONG_AGO = date(2026, 3, 1)
NEAR = timedelta(3)


@pytest.fixture
def moment() -> Moment:
    return local_noon(TODAY)


@pytest.fixture
def apart(add: Add, logbook: Logbook) -> None:
    """One plant that stood on the porch shelf, spot 4, and is in quarantine since."""
    add("G02", on=LONG_AGO, spot="spot 4")
    put_apart(logbook, local_noon(LONG_AGO + timedelta(1)), "G02")


def back(logbook: Logbook, code: str = "G02", on: date = TODAY) -> Rejoining:
    return rejoining(record_of(logbook, find_plant(logbook, code), on))


@pytest.mark.usefixtures("apart")
def test_where_nothing_is_found_the_old_place_is_good(logbook: Logbook) -> None:
    found = back(logbook)
    assert found.there is not None
    assert (found.there.place, found.there.spot) == ("porch shelf", "spot 4")
    assert found.there.beside == ()
    assert found.elsewhere is None
    assert found.is_to_be_moved
    assert "no find near" in rejoin_text(found)


@pytest.mark.usefixtures("apart")
def test_a_find_there_is_named_and_a_place_without_one_proposed(
    add: Add, look: Look, logbook: Logbook
) -> None:
    free = back(logbook).there
    add("G06", on=LONG_AGO, spot="spot 5")
    look("G06", TODAY - NEAR, "axils", counts={"left": 6})
    found = back(logbook)
    assert found.there is not None
    assert found.elsewhere is not None
    assert free is not None
    assert [(b.code, b.kind, b.how, b.on) for b in found.there.beside] == [
        ("G06", "alive", "spot", TODAY - NEAR)
    ]
    assert found.elsewhere.place == "seedling bench"
    assert found.there.chance_clean < found.elsewhere.chance_clean
    assert found.elsewhere.chance_clean == pytest.approx(free.chance_clean, rel=1e-9)
    text = rejoin_text(found)
    assert "G06 (alive 1 May)" in text
    assert "Better seedling bench" in text
    assert [s.place for s in offers(found)] == ["seedling bench", "porch shelf"]


@pytest.mark.usefixtures("apart")
def test_the_chance_there_is_the_one_apart_times_that_nothing_comes_and_lives(
    add: Add, look: Look, logbook: Logbook
) -> None:
    """Usual arrivals are h 1e-3; an infested plant there adds its share, whatever else is so."""
    infestation = logbook.parameters.infestation
    here = back(logbook).there
    put_place(logbook, local_noon(LONG_AGO), "cellar", PlaceDetails(room="cellar"))
    add("G06", on=LONG_AGO, place="cellar")
    look("G06", TODAY - NEAR, "axils", counts={"left": 6})
    assert back(logbook).there == here, "what stands elsewhere sends nothing"
    move_plant(logbook, local_noon(TODAY), "G06", "porch shelf", spot="spot 9")
    found = back(logbook).there
    source = record_of(logbook, find_plant(logbook, "G06"), TODAY)
    result = source.likely
    range_c = source.temperatures.range_c(source.plant, TODAY)
    leaving = float(result.mean @ result.process.leaving(*range_c))
    more = leaving * logbook.parameters.risk.same_bench
    assert here is not None
    assert found is not None
    usual = infestation.arrivals_collection
    # what comes is Poisson: the log of its chance to be gone is in proportion to the arrivals
    lived = find_plant(logbook, "G02")
    record = record_of(logbook, lived, TODAY)
    alone = record.likely.chance_clean
    assert alone * exp(-usual * 14) <= here.chance_clean <= 1.0
    assert alone * exp(-(usual + more) * 14) < found.chance_clean < here.chance_clean


@pytest.mark.usefixtures("apart")
def test_an_unsure_speck_and_an_older_find_are_named_too_and_one_gone_is_not(
    add: Add, look: Look, logbook: Logbook, moment: Moment
) -> None:
    for code in ("G06", "G07", "G08"):
        add(code, on=LONG_AGO)
    look("G06", TODAY - NEAR, "axils", counts={"doubtful": 1})
    look("G07", TODAY - timedelta(12), "axils", counts={"removed": 1})
    look("G08", TODAY - NEAR, "axils", counts={"removed": 4})
    there = back(logbook).there
    assert there is not None
    kinds = [(beside.code, beside.kind) for beside in there.beside]
    assert kinds == [("G08", "alive"), ("G07", "recent"), ("G06", "doubt")]
    plant_gone(logbook, moment, "G08", "discarded")
    there = back(logbook).there
    assert there is not None
    assert [beside.code for beside in there.beside] == ["G07", "G06"]


@pytest.mark.usefixtures("apart")
def test_where_every_place_has_a_find_another_spot_or_waiting_is_proposed(
    add: Add, look: Look, logbook: Logbook
) -> None:
    add("G06", on=LONG_AGO, spot="spot 5")
    add("G07", on=LONG_AGO, place="seedling bench")
    for code in ("G06", "G07"):
        look(code, TODAY - NEAR, "axils", counts={"removed": 2})
    found = back(logbook)
    assert found.elsewhere is None
    assert "Choose a spot away from G06, or wait" in rejoin_text(found)


def test_one_that_came_to_a_quarantine_place_is_offered_the_best_place(
    add: Add, look: Look, logbook: Logbook
) -> None:
    add("S03", "Pintle", place="stair foot", arrived=LONG_AGO)
    add("G06", on=LONG_AGO)
    look("G06", TODAY - NEAR, "axils", counts={"removed": 2})
    found = back(logbook, "S03")
    assert found.there is None
    assert found.elsewhere is not None
    assert found.elsewhere.place == "seedling bench"
    assert [s.place for s in offers(found)] == ["seedling bench"]


def test_one_that_was_quarantined_where_it_stands_stays_and_is_told_who_touches_it(
    add: Add, look: Look, logbook: Logbook
) -> None:
    add("G06", on=LONG_AGO)
    add("G02", on=LONG_AGO, touches=("G06",))
    put_apart(logbook, local_noon(LONG_AGO), "G02", cannot_move=True)
    look("G06", TODAY - NEAR, "axils", counts={"left": 2})
    found = back(logbook)
    assert found.there is not None
    assert [(b.code, b.how) for b in found.there.beside] == [("G06", "touching")]
    assert not found.is_to_be_moved
    assert offers(found) == ()
    # put at another place it touches G06 no longer
    assert found.elsewhere is not None
    assert found.elsewhere.chance_clean > found.there.chance_clean


@pytest.mark.usefixtures("apart")
def test_a_released_plant_is_told_to_be_moved_until_it_was(
    logbook: Logbook, moment: Moment
) -> None:
    def due(on: date) -> list[tuple[str, date, str]]:
        status = seen_status(record_of(logbook, find_plant(logbook, "G02"), on))
        return [(d.kind, d.on, d.text) for d in due_today([status], on)]

    assert all(kind != "move-out" for kind, _, _ in due(TODAY))
    end_quarantine(logbook, moment, "G02", "the shelf is wanted")
    told = [("move-out", TODAY, "released: move it out")]
    assert due(TODAY) == told
    assert due(TODAY + timedelta(9)) == told
    reasons = seen_status(record_of(logbook, find_plant(logbook, "G02"), TODAY)).reasons
    assert "released, but still in the quarantine place: move it" in [r.text for r in reasons]
    move_plant(logbook, local_noon(TODAY + timedelta(10)), "G02", "porch shelf")
    assert due(TODAY + timedelta(9)) == told
    assert due(TODAY + timedelta(10)) == []


@pytest.mark.usefixtures("apart")
def test_the_chance_there_has_todays_band_carried_along(look: Look, logbook: Logbook) -> None:
    without = back(logbook).there
    assert without is not None
    assert (without.low, without.high) == (None, None), "it is not worked out for this alone"
    likely = record_of(logbook, find_plant(logbook, "G02"), TODAY).likely
    band = likely.band
    found = back(logbook)
    there = found.there
    assert there is not None
    assert there.low is not None
    assert there.high is not None
    assert there.chance_clean == without.chance_clean
    assert there.low < there.chance_clean <= there.high
    # what arrives in the fortnight has no part in it, so that it is the narrower of the two
    assert there.high - there.low < band.high - band.low + 0.01
    low, high = (round(100 * end) for end in (there.low, there.high))
    assert f"{low} to {high} in 14 days" in rejoin_text(found)
