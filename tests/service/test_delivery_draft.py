"""A delivery looked at by the keys of the round before any of its plants is entered."""

from collections.abc import Callable
from datetime import date

import pytest

from rounds.clock import SetClock
from rounds.errors import BadInput, Refused
from rounds.service.arrival.delivery import Delivery
from rounds.service.arrival.drafted import Draft, draft, draft_path, is_drafted
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundWalk

DAY = date(2026, 5, 4)
FERRY = Delivery(units=5, source="the ferry", opened=2, name="Capstan", size="small")


def finish(walk: RoundWalk, wait: Callable[[float], None]) -> None:
    """Look at all that is left, ten seconds a zone."""
    while walk.view().stage != "end":
        wait(10)
        walk.go_on()


@pytest.fixture
def drafted(logbook: Logbook, wait: Callable[[float], None]) -> Draft:
    """Two of five opened: on the first two adults at its first zone, one of them left there."""
    found = draft(logbook, FERRY)
    walk = found.walk("Ada")
    walk.count("removed")
    walk.give_stage("adult")
    walk.count("left")
    walk.count("doubtful")
    finish(walk, wait)
    return found


def test_until_it_is_taken_nothing_is_in_the_logbook(logbook: Logbook, drafted: Draft) -> None:
    assert is_drafted(logbook)
    assert logbook.collection().plants == {}
    told = drafted.judged()
    assert (told.seen.opened, told.seen.infested, told.seen.found) == (2, 1, 2)
    assert told.verdict.code == "quarantine-and-course"
    assert drafted.opened() == (2, 2)
    with pytest.raises(Refused, match="looked at"):
        drafted.walk("Ada")


def test_taken_its_plants_come_with_the_looks_as_they_were_made(
    logbook: Logbook, drafted: Draft
) -> None:
    before = drafted.judged()
    plants = drafted.take("Ada")
    assert [plant.code for plant in plants] == ["P01", "P02", "P03", "P04", "P05"]
    assert not is_drafted(logbook)
    first, second, third = (record_of(logbook, plant, DAY) for plant in plants[:3])
    assert [record.standing for record in (first, second, third)] == ["quarantine"] * 3
    assert {r.plant.fact("source", DAY) for r in (first, second, third)} == {"the ferry"}
    counted = [(t.kind, t.stage, t.count) for look in first.log for t in look.tallies]
    assert counted == [("removed", "adult", 1), ("left", None, 1), ("doubtful", None, 1)]
    assert len(first.log) == len(second.log) == len(first.body.outside)
    assert third.log == ()
    assert [d.count for d in first.open_doubts] == [1]
    # the sums say of them what they said of the draft
    unopened = record_of(logbook, plants[4], DAY).likely.chance_clean
    assert before.seen.clean_unopened == pytest.approx(unopened, abs=1e-9)


def test_a_look_broken_off_is_gone_on_with(logbook: Logbook, wait: Callable[[float], None]) -> None:
    found = draft(logbook, FERRY)
    walk = found.walk("Ada")
    wait(12)
    walk.go_on()
    walk.count("removed")
    zone = walk.view().zone
    found.close()
    again = Draft(logbook)
    walk = again.walk("Ada")
    view = walk.view()
    assert view.zone is not None
    assert zone is not None
    assert (view.zone.zone, view.zone.counts.removed) == (zone.zone, 1)
    assert again.opened() == (1, 2)
    finish(walk, wait)
    assert again.judged().seen.opened == 2
    again.forget()
    assert not is_drafted(logbook)
    assert not list(draft_path(logbook).parent.glob("*.delivery*"))


def test_as_many_are_opened_as_are_to_be(logbook: Logbook) -> None:
    found = draft(logbook, Delivery(units=30, source="the ferry"))
    wanted = found.judged().opening.open_units
    assert found.opened() == (0, wanted)
    found.forget()
    with pytest.raises(BadInput):
        draft(logbook, Delivery(units=0, source="the ferry"))
    assert not is_drafted(logbook)


def test_a_code_taken_meanwhile_keeps_the_draft(
    logbook: Logbook, drafted: Draft, add: Callable[..., object], clock: SetClock
) -> None:
    add("P02")
    with pytest.raises(BadInput):
        drafted.take("Ada")
    assert is_drafted(logbook)
    assert [plant.code for plant in logbook.collection().plants.values()] == ["P02"]
