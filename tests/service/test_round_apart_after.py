"""An infested plant that was left among the others is quarantined before the round is over."""

from collections.abc import Callable
from datetime import date

import pytest

from rounds.core.collection import Plant
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundWalk

TODAY = date(2026, 5, 4)

Add = Callable[..., Plant]
Walk = Callable[[], RoundWalk]


@pytest.fixture
def left(add: Add, walk: Walk) -> RoundWalk:
    """Insects were found on G02, and it was not quarantined: hands are cleaned."""
    add("G02")
    add("G05", "Halyard")
    begun = walk()
    assert begun.view().loose == "", "nothing was found yet"
    begun.count("removed")
    assert begun.view().loose == "", "the question is asked instead"
    begun.answer("not-now")
    assert begun.rest().stage == "hygiene"
    return begun


def standing(logbook: Logbook, code: str) -> str:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, TODAY).standing


@pytest.mark.parametrize("role", ["put-apart", "cannot-move"])
def test_while_hands_are_cleaned(left: RoundWalk, logbook: Logbook, role: str) -> None:
    assert left.view().loose == "G02"
    view = left.answer(role)
    assert "in quarantine" in view.message
    assert (view.stage, view.loose, standing(logbook, "G02")) == ("hygiene", "", "quarantine")
    assert left.go_on().plant.code == "G05", "the round goes on"  # type: ignore[union-attr]


def test_at_the_end(left: RoundWalk, logbook: Logbook) -> None:
    left.go_on()
    view = left.rest()
    assert (view.stage, view.loose) == ("end", "G02")
    view = left.answer("put-apart")
    assert view.summary is not None
    assert view.summary.changed[0].then == "in quarantine from today"
    assert (view.loose, standing(logbook, "G02")) == ("", "quarantine")


def test_one_after_the_other(left: RoundWalk, logbook: Logbook) -> None:
    left.go_on()
    left.count("removed")
    left.answer("not-now")
    left.rest()
    left.go_on()
    codes = []
    while code := left.view().loose:
        codes.append(code)
        left.answer("put-apart")
    assert sorted(codes) == ["G02", "G05"]
    assert {standing(logbook, code) for code in codes} == {"quarantine"}


def test_it_is_taken_back_at_its_zone(left: RoundWalk, logbook: Logbook) -> None:
    left.answer("put-apart")
    left.take_back()
    assert left.view().stage == "zone"
    left.take_back()
    assert standing(logbook, "G02") == "collection"


def test_elsewhere_these_keys_do_nothing(add: Add, walk: Walk, logbook: Logbook) -> None:
    add("G02")
    begun = walk()
    for role in ("put-apart", "cannot-move"):
        begun.answer(role)
    assert standing(logbook, "G02") == "collection"
