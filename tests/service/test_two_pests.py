"""A plant with two pests: clock, streak and chance belong to each, and each is cleared."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.errors import BadInput
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.collection.release import end_quarantine
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plan.coming import coming
from rounds.service.plan.planning import asked_of
from rounds.service.plant.reasons import fully_checked_on
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus, status_of, with_brood
from rounds.service.plant.status_text import risk_parts
from rounds.service.plant.zones import zones_to_do

Add = Callable[..., Plant]
Looks = Callable[..., LookWritten]
CAME = date(2026, 3, 1)
MITES = CAME + timedelta(days=30)
BUG, MITE = "mealybug", "spider-mite"


def on(day: int) -> date:
    return CAME + timedelta(days=day)


def record(logbook: Logbook, day: int, code: str = "G02") -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, on(day))


def status(logbook: Logbook, day: int) -> PlantStatus:
    return status_of(record(logbook, day))


@pytest.fixture
def season(logbook: Logbook, add: Add, look: Looks) -> LookWritten:
    """Mealybugs on the day it came, mites on day 30; clean otherwise, and the roots seen twice.

    Mites are handled once, however many: with them or without, 60 seconds of that look count.
    """
    put_place(logbook, local_noon(CAME), "warm shelf", PlaceDetails(apart=True, usual_c=22.0))
    add("G02", on=CAME, place="warm shelf", arrived=CAME)
    look("G02", CAME, "axils", counts={"removed": 2})
    for day in range(1, 66):
        look("G02", on(day), seconds=90)
        if day in (22, 52):
            look("G02", on(day), "roots", seconds=130, unpotted=True)
    return look("G02", MITES, "undersides", seconds=68, counts={"left": 20}, pest=MITE)


def test_a_find_of_another_pest_begins_to_follow_it(logbook: Logbook, season: LookWritten) -> None:
    before, after = record(logbook, 29), record(logbook, 30)
    assert (before.pests, after.pests) == ((BUG,), (BUG, MITE))
    assert (after.since(BUG), after.since(MITE)) == (CAME, MITES)
    # the mites break no streak but their own
    assert (after.streak_for(BUG).looks, after.streak_for(MITE).looks) == (30, 0)
    # a find taken back was none
    withdraw(logbook, local_noon(on(30)), season.tally_ids[0])
    assert record(logbook, 30).pests == (BUG,)


def test_neither_pest_moves_a_figure_of_the_other(logbook: Logbook, season: LookWritten) -> None:
    both = status(logbook, 40)
    assert [of.pest for of in both.each_pest] == [BUG, MITE]
    bug, mite = both.each_pest
    assert bug.chance_clean is not None
    assert mite.chance_clean is not None
    assert mite.chance_clean < 0.5 < bug.chance_clean
    withdraw(logbook, local_noon(on(40)), season.tally_ids[0])
    alone = status(logbook, 40)
    assert alone.chance_clean == bug.chance_clean
    assert alone.band == bug.band
    assert alone.each_pest == (replace(bug, release=alone.release),)


def test_one_cleared_and_one_not_is_refused_and_said_why(
    logbook: Logbook, season: LookWritten
) -> None:
    found = status(logbook, 50)
    bug, mite = found.each_pest
    assert bug.release is not None
    assert mite.release is not None
    assert (bug.release.is_cleared, mite.release.is_cleared) == (True, False)
    # the one that binds is spoken of
    assert found.pest == MITE
    assert found.release is not None
    assert not found.release.ready
    assert found.release.expected_on == mite.release.expected_on
    decision = end_quarantine(logbook, local_noon(on(50)), "G02")
    assert not decision.released
    assert decision.refusal is not None
    said = str(decision.refusal)
    assert "spider mite: quarantine days since last find" in said
    assert "mealybug:" not in said


def test_it_rejoins_once_each_pest_is_cleared(logbook: Logbook, season: LookWritten) -> None:
    found = status(logbook, 65)
    assert found.release is not None
    assert all(of.release is not None and of.release.is_cleared for of in found.each_pest)
    assert found.release.ready
    decision = end_quarantine(logbook, local_noon(on(65)), "G02")
    assert (decision.released, decision.early) == (True, False)
    # watched for a generation of the slower one
    watched = record(logbook, 65)
    assert watched.watch_until == watched.regarding(BUG).watch_until


def test_a_pest_named_later_is_followed_from_that_day_on(
    logbook: Logbook, add: Add, look: Looks
) -> None:
    add("G02", on=CAME, place="stair foot", arrived=CAME)
    for day in range(20):
        look("G02", on(day), seconds=90)
    details = PlantDetails(pests=(BUG, "root-mealybug"))
    add_plant(logbook, local_noon(on(10)), "G02", details, change=True)
    now = record(logbook, 19)
    assert now.since("root-mealybug") == on(10)
    assert (now.streak_for(BUG).looks, now.streak_for("root-mealybug").looks) == (20, 10)
    # the slower clock binds, and counts from the day the pest is followed
    assert now.pest == "root-mealybug"
    assert now.criteria[0].have == 9
    assert status(logbook, 19).each_pest[1].release == status(logbook, 19).release


def test_what_a_pest_does_not_have_is_refused(logbook: Logbook, add: Add, look: Looks) -> None:
    add("G02", on=CAME)
    with pytest.raises(BadInput, match="longtailed mealybug has no stage 'egg-mass'"):
        look(
            "G02", CAME, "axils", counts={"removed": 1}, stage="egg-mass",
            pest="longtailed-mealybug",
        )  # fmt: skip
    assert record(logbook, 1).known.is_counted is False


def test_the_risk_of_a_plant_is_that_of_its_worst_pest_and_names_it(
    logbook: Logbook, season: LookWritten
) -> None:
    found = status(logbook, 40)
    bug, mite = found.each_pest
    assert found.risk is not None
    assert bug.risk is not None
    assert mite.risk is not None
    assert found.risk.value == max(bug.risk.value, mite.risk.value) == mite.risk.value
    assert sum(part.value for part in found.risk.parts) == pytest.approx(found.risk.value)
    # the mealybug is the plant's first pest
    assert {part.pest for part in found.risk.parts} == {MITE}
    assert {part.pest for part in bug.risk.parts} == {""}
    assert "young, spider mite" in risk_parts(found.risk)


def test_the_risk_of_one_pest_hides_none_of_the_other_when_that_does_not_bind(
    logbook: Logbook, add: Add, look: Looks
) -> None:
    """Twenty mites a week ago, root mealybugs yesterday: these hold it longest, mites cost more."""
    put_place(logbook, local_noon(CAME), "warm shelf", PlaceDetails(apart=True, usual_c=24.0))
    add("G02", on=CAME, place="warm shelf", arrived=CAME, pests=("root-mealybug", MITE))
    look("G02", on(1), "undersides", seconds=60, counts={"left": 20}, pest=MITE)
    look(
        "G02", on(7), "roots", seconds=120, unpotted=True, counts={"removed": 1},
        pest="root-mealybug",
    )  # fmt: skip
    found = status(logbook, 8)
    assert found.pest == "root-mealybug"
    assert found.risk_binding is not None
    assert found.risk is not None
    assert found.risk.value > found.risk_binding.value
    now = record(logbook, 8)
    assert now.least_clean == now.regarding(MITE).likely.chance_clean < now.likely.chance_clean
    (call,) = asked_of(now.table, [now], later_seconds=600.0).of_each
    stages = [len(each.biology.stages) for each in now.each_pest]
    assert len(call.found_in_reach) == sum(stages)
    zones = dict(zip([zone.zone for zone in zones_to_do(now)], call.zones, strict=True))
    undersides = zones["undersides"]
    # what the mites would cause is in what a look at the undersides gains
    assert sum(undersides.harm[stages[0] :]) > sum(undersides.harm[: stages[0]]) > 0


def test_it_was_fully_checked_for_whichever_pest_was_followed_then(
    logbook: Logbook, add: Add, look: Looks
) -> None:
    put_place(logbook, local_noon(CAME), "warm shelf", PlaceDetails(apart=True, usual_c=22.0))
    add("G02", on=CAME, place="warm shelf", arrived=CAME)
    look("G02", CAME, seconds=180)
    look("G02", on(3), "undersides", seconds=10, counts={"removed": 1}, pest="soft-scale")
    found = record(logbook, 3)
    assert found.regarding("soft-scale").last_complete_look_on is None
    assert fully_checked_on(found.regarding("soft-scale")) == fully_checked_on(found) == CAME
    binding = status(logbook, 3)
    assert binding.pest == "soft-scale"
    assert "unseen" in {reason.code for reason in binding.reasons}
    assert "never-seen" not in {reason.code for reason in binding.reasons}


def test_eggs_of_one_pest_are_not_told_by_laying_adults_of_another(
    logbook: Logbook, add: Add, look: Looks
) -> None:
    """Eggs of mealybugs whoever laid them was lifted with, beside mites that lay on."""
    put_place(logbook, local_noon(CAME), "warm shelf", PlaceDetails(apart=True, usual_c=22.0))
    add("G02", on=CAME, place="warm shelf", arrived=CAME, pests=(BUG, MITE))
    for day in range(20):
        look("G02", on(day), seconds=200)
    look("G02", on(20), "axils", seconds=60, counts={"removed": 1}, stage="egg-mass")

    def told() -> set[str]:
        of = with_brood(record(logbook, 20), status(logbook, 20))
        assert of.brood is not None
        assert of.brood.pest == BUG
        return {line.kind for line in coming([of], on(20), 60) if line.kind.startswith("hatch")}

    alone = told()
    assert alone == {"hatch", "hatch-most", "hatched"}
    look("G02", on(20), "undersides", seconds=60, counts={"left": 20}, pest=MITE, stage="adult")
    both = status(logbook, 20)
    assert both.risk is not None
    assert both.risk.parts[0].pest == MITE
    assert told() == alone
