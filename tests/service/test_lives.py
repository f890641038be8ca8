"""What a plant's own past and its company say: repotted, cleared before, come together."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.errors import BadInput, Refused
from rounds.service.collection.plants import plant_gone
from rounds.service.collection.release import end_quarantine
from rounds.service.collection.repot import RootsSeen, check_repotting, repot
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon, now
from rounds.service.plant.reasons import reasons_for
from rounds.service.plant.record import PlantRecord
from tests.days import detail_of

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
TODAY = date(2026, 5, 4)
CAME = date(2026, 4, 1)


def record(logbook: Logbook, code: str, on: date = TODAY) -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, on)


def sentence(logbook: Logbook, code: str, on: date = TODAY) -> str:
    return detail_of(record(logbook, code, on)).sentence


def reasons(logbook: Logbook, code: str, on: date = TODAY) -> dict[str, str]:
    return {reason.code: reason.text for reason in reasons_for(record(logbook, code, on))}


# repotted


def test_repotting_moves_no_clock_and_is_taken_back(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    add("S03", "Pintle", arrived=CAME, place="stair foot")
    look("S03", CAME + timedelta(3))
    before = record(logbook, "S03")
    criteria, chance = before.criteria, before.likely.chance_clean
    written = repot(logbook, now(logbook.clock), "S03", repotted=True, roots=None)
    after = record(logbook, "S03")
    assert (after.criteria, after.standing_since) == (criteria, CAME)
    assert (after.likely.chance_clean, after.streak) == (chance, before.streak)
    line = detail_of(after).history[0]
    assert (line.kind, line.text, line.entry) == ("repotted", "repotted", written.entry)
    withdraw(logbook, now(logbook.clock), str(written.entry))
    kinds = [line.kind for line in detail_of(record(logbook, "S03")).history]
    assert "repotted" not in kinds
    assert "visit" in kinds


def test_roots_seen_are_a_look_out_of_the_pot(logbook: Logbook, add: Add) -> None:
    add("S03", "Pintle", arrived=CAME, place="stair foot")
    chance = record(logbook, "S03").likely.chance_clean
    day = local_noon(CAME + timedelta(25))
    repot(logbook, day, "S03", repotted=False, roots=RootsSeen(60.0, {}))
    seen = record(logbook, "S03")
    assert [(k.zone, k.unpotted, k.seconds) for k in seen.log] == [("roots", True, 60.0)]
    roots = next(c for c in seen.criteria if c.code == "medium_and_roots")
    assert roots.have == 1
    assert seen.likely.chance_clean > chance
    found = RootsSeen(60.0, {"removed": 2}, "adult")
    repot(logbook, now(logbook.clock), "S03", repotted=True, roots=found)
    again = record(logbook, "S03")
    assert again.last_find_on == TODAY
    assert [(t.kind, t.stage, t.count) for t in again.log[-1].tallies] == [("removed", "adult", 2)]


def test_what_cannot_be_repotted_is_refused_whole(logbook: Logbook, add: Add) -> None:
    add("S03", "Pintle", arrived=CAME, place="stair foot")
    moment = now(logbook.clock)
    with pytest.raises(BadInput, match="neither repotted"):
        check_repotting(logbook, moment, "S03", repotted=False, roots=None)
    repot(logbook, moment, "S03", repotted=True, roots=None)
    with pytest.raises(BadInput, match="already"):
        repot(logbook, moment, "S03", repotted=True, roots=RootsSeen(60.0, {}))
    with pytest.raises(BadInput):
        repot(logbook, local_noon(CAME - timedelta(1)), "S03", repotted=True, roots=None)
    assert record(logbook, "S03").log == ()
    plant_gone(logbook, moment, "S03", "died")
    with pytest.raises(Refused):
        repot(logbook, moment, "S03", repotted=False, roots=RootsSeen(60.0, {}))


# cleared before


def test_a_find_after_a_quarantine_ended_says_so_and_leaves_the_old_record(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    add("S03", "Pintle", arrived=CAME, place="stair foot")
    look("S03", CAME, "axils", counts={"removed": 1})
    ended = CAME + timedelta(10)
    end_quarantine(logbook, local_noon(ended), "S03", "an invented reason")
    assert "cleared" not in sentence(logbook, "S03")
    periods = logbook.collection().plants[1].periods
    look("S03", TODAY, "axils", counts={"left": 1})
    said = "cleared 23 days ago; survivors or new arrivals cannot be told apart"
    assert said in sentence(logbook, "S03")
    assert reasons(logbook, "S03")["cleared-before"] == said
    assert logbook.collection().plants[1].periods == periods
    assert "cleared" not in sentence(logbook, "S03", TODAY - timedelta(1))


def test_a_find_on_the_day_it_ended_came_before_the_end(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    add("S03", "Pintle", arrived=CAME, place="stair foot")
    look("S03", TODAY, "axils", counts={"removed": 1})
    end_quarantine(logbook, now(logbook.clock), "S03", "an invented reason")
    assert "cleared" not in sentence(logbook, "S03")


# come together


def test_the_company_a_plant_came_in_is_named_with_what_is_known(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    for code in ("S03", "S04", "S05"):
        add(code, f"Pintle {code}", arrived=CAME, place="stair foot", source="a neighbour")
    add("S06", "Marline", arrived=CAME, place="stair foot", source="a market")
    alone = record(logbook, "S03").likely.chance_clean
    assert sentence(logbook, "S03") == (
        "came 1 April from a neighbour with S04, S05; no insects ever found"
    )
    look("S05", CAME + timedelta(2))
    assert "nothing found on the others so far" in sentence(logbook, "S03")
    assert "came-with-infested" not in reasons(logbook, "S03")
    look("S04", CAME + timedelta(2), "axils", counts={"removed": 2})
    assert sentence(logbook, "S03") == (
        "came 1 April from a neighbour with S04, S05; insects found on S04; no insects ever found"
    )
    assert reasons(logbook, "S03")["came-with-infested"] == (
        "came with S04, where insects were found"
    )
    assert record(logbook, "S03").likely.chance_clean < alone
    for other in ("S04", "S06"):
        assert "came-with-infested" not in reasons(logbook, other)


def test_one_find_among_many_clean_ones_is_no_reason(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    codes = [f"S{number:02}" for number in range(1, 10)]
    for code in codes:
        add(code, code, arrived=CAME, place="stair foot")
    look("S02", CAME, "axils", counts={"removed": 1})
    for code in codes[2:]:
        look(code, CAME)
    # 1 of 8 is less than is supposed of any new plant
    assert "came-with-infested" not in reasons(logbook, "S01")
