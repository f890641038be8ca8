"""A correction changes what stands, never what was entered, and can itself be taken back."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.log.effective import Corrections, EffectiveTally, effective_log
from rounds.core.log.entries import (
    Look,
    OpenLook,
    PlantEntries,
    StageGiven,
    Tally,
    Withdrawal,
)

Entry = Look | Tally | StageGiven | Withdrawal

DAY = date(2026, 5, 4)
LATER = DAY + timedelta(days=3)


def _look(number: int, zone: str = "axils", day: date = DAY, outcome: str = "looked") -> Look:
    return Look(number, day, 7, zone, 1, 1_000 + number, 60.0, outcome)


def _open_look(number: int, zone: str = "axils", day: date = DAY) -> OpenLook:
    return OpenLook(number, day, 7, zone, 1, 1_000 + number, 20.0)


def _tally(number: int, look: int, kind: str = "removed", count: int = 1, day: date = DAY) -> Tally:
    return Tally(number, day, 7, look, 1_000_000 + number, kind, None, "mealybug", count)


def _stage(number: int, tally: int, stage: str, day: date = DAY) -> StageGiven:
    return StageGiven(number, day, 7, tally, 1_000_000 + number, stage)


def _withdrawal(
    number: int, target: int, why: str = "taken back", by: int | None = None, day: date = DAY
) -> Withdrawal:
    return Withdrawal(number, day, 7, target, 1_000_000 + number, why, by)


def _tallies(entries: PlantEntries, on: date = DAY) -> list[EffectiveTally]:
    return [tally for look in effective_log(entries, on) for tally in look.tallies]


ONE_FIND = PlantEntries(looks=(_look(1),), tallies=(_tally(2, 1, count=3),))
ONE_DOUBT = PlantEntries(looks=(_look(1),), tallies=(_tally(2, 1, "doubtful"),))


def test_an_untouched_log_stands_as_entered() -> None:
    [look] = effective_log(ONE_FIND, DAY)
    assert (look.id, look.day, look.zone, look.seconds) == (1, DAY, "axils", 60.0)
    assert (look.outcome, look.is_open) == ("looked", False)
    assert (look.live(), look.live("mealybug"), look.live("scale")) == (3, 3, 0)


def test_a_withdrawn_tally_is_gone_and_its_look_stays() -> None:
    [look] = effective_log(replace(ONE_FIND, withdrawals=(_withdrawal(3, 2),)), DAY)
    assert look.tallies == ()
    assert look.counted() == 0


def test_a_withdrawn_look_takes_its_tallies_along() -> None:
    assert effective_log(replace(ONE_FIND, withdrawals=(_withdrawal(3, 1),)), DAY) == ()


@pytest.mark.parametrize("target", [1, 2])
def test_a_withdrawn_withdrawal_brings_the_entry_back(target: int) -> None:
    chain = [_withdrawal(3, target), _withdrawal(4, 3), _withdrawal(5, 4), _withdrawal(6, 5)]
    untouched = effective_log(ONE_FIND, DAY)
    for length, stands in ((1, False), (2, True), (3, False), (4, True)):
        corrected = replace(ONE_FIND, withdrawals=tuple(chain[:length]))
        assert (effective_log(corrected, DAY) == untouched) is stands


def test_a_second_withdrawal_holds_when_the_first_is_taken_back() -> None:
    twice = (_withdrawal(3, 2), _withdrawal(4, 2), _withdrawal(5, 4))
    assert _tallies(replace(ONE_FIND, withdrawals=twice)) == []


@pytest.mark.parametrize(
    ("verdict", "live", "open_doubts"),
    [("remains", 0, 0), ("not-an-insect", 0, 0), ("alive", 1, 0)],
)
def test_a_verdict_settles_a_doubt_and_keeps_it(verdict: str, live: int, open_doubts: int) -> None:
    [before] = effective_log(ONE_DOUBT, DAY)
    assert (before.live(), before.open_doubts(), before.counted()) == (0, 1, 1)
    [look] = effective_log(replace(ONE_DOUBT, withdrawals=(_withdrawal(3, 2, verdict),)), DAY)
    assert look.tallies[0].settled_as == verdict
    assert (look.live(), look.open_doubts(), look.counted()) == (live, open_doubts, 1)


def test_the_newest_verdict_that_stands_holds() -> None:
    verdicts = (_withdrawal(5, 2, "alive"), _withdrawal(3, 2, "remains"))
    [tally] = _tallies(replace(ONE_DOUBT, withdrawals=verdicts))
    assert tally.settled_as == "alive"
    [tally] = _tallies(replace(ONE_DOUBT, withdrawals=(*verdicts, _withdrawal(6, 5))))
    assert tally.settled_as == "remains"
    both_gone = (*verdicts, _withdrawal(6, 5), _withdrawal(7, 3))
    [tally] = _tallies(replace(ONE_DOUBT, withdrawals=both_gone))
    assert tally.is_open_doubt


def test_a_settled_doubt_can_still_be_withdrawn() -> None:
    entries = replace(ONE_DOUBT, withdrawals=(_withdrawal(3, 2, "alive"), _withdrawal(4, 2)))
    assert _tallies(entries) == []


def test_a_verdict_on_a_find_changes_nothing() -> None:
    settled = replace(ONE_FIND, withdrawals=(_withdrawal(3, 2, "remains"),))
    assert effective_log(settled, DAY) == effective_log(ONE_FIND, DAY)


def test_a_stage_given_later_replaces_the_one_before_it() -> None:
    given_twice = replace(ONE_FIND, stages=(_stage(5, 2, "adult"), _stage(4, 2, "young")))
    assert [tally.stage for tally in _tallies(given_twice)] == ["adult"]
    taken_back = replace(given_twice, withdrawals=(_withdrawal(6, 5),))
    assert [tally.stage for tally in _tallies(taken_back)] == ["young"]
    all_back = replace(given_twice, withdrawals=(_withdrawal(6, 5), _withdrawal(7, 4)))
    assert [tally.stage for tally in _tallies(all_back)] == [None]


def test_a_look_opened_again_keeps_its_tallies() -> None:
    reopened = replace(
        ONE_FIND,
        withdrawals=(_withdrawal(3, 1, "opened again", by=4),),
        open_looks=(_open_look(4),),
    )
    [look] = effective_log(reopened, DAY)
    assert (look.id, look.is_open, look.live()) == (4, True, 3)
    closed = replace(reopened, looks=(_look(1), _look(4)), open_looks=())
    [look] = effective_log(closed, DAY)
    assert (look.id, look.is_open, look.live()) == (4, False, 3)


def test_tallies_follow_a_look_opened_twice() -> None:
    reopened = PlantEntries(
        looks=(_look(1), _look(4), _look(7)),
        tallies=(_tally(2, 1), _tally(5, 4), _tally(8, 7)),
        withdrawals=(_withdrawal(3, 1, by=4), _withdrawal(6, 4, by=7)),
    )
    [look] = effective_log(reopened, DAY)
    assert look.id == 7
    assert [tally.id for tally in look.tallies] == [2, 5, 8]
    gone = replace(reopened, withdrawals=(*reopened.withdrawals, _withdrawal(9, 7)))
    assert effective_log(gone, DAY) == ()


def test_the_heir_of_a_look_is_the_one_that_stands() -> None:
    corrections = Corrections([_withdrawal(3, 1, by=4), _withdrawal(6, 4, by=7)])
    assert [corrections.heir(look) for look in (1, 4, 7)] == [7, 7, 7]
    assert Corrections([_withdrawal(3, 1)]).heir(1) is None


def test_a_look_still_open_has_finds_but_no_outcome() -> None:
    entries = PlantEntries(open_looks=(_open_look(1),), tallies=(_tally(2, 1, count=2),))
    [look] = effective_log(entries, DAY)
    assert (look.is_open, look.outcome, look.reason) == (True, "partial", None)
    assert (look.seconds, look.live()) == (20.0, 2)


def test_days_after_the_one_asked_about_are_not_read() -> None:
    entries = PlantEntries(
        looks=(_look(1), _look(3, day=LATER)),
        tallies=(_tally(2, 1), _tally(4, 3, day=LATER)),
        open_looks=(_open_look(5, day=LATER),),
    )
    assert [look.id for look in effective_log(entries, DAY - timedelta(days=1))] == []
    assert [look.id for look in effective_log(entries, DAY)] == [1]
    assert [look.id for look in effective_log(entries, LATER)] == [1, 3, 5]


def test_a_correction_belongs_to_the_day_it_corrects() -> None:
    # Settled, staged and withdrawn long after, each with the day of its target.
    entries = PlantEntries(
        looks=(_look(1), _look(2)),
        tallies=(_tally(3, 1, "doubtful"), _tally(4, 1), _tally(5, 2)),
        stages=(_stage(90, 4, "egg-mass"),),
        withdrawals=(_withdrawal(91, 3, "alive"), _withdrawal(92, 2)),
    )
    [look] = effective_log(entries, DAY)
    assert [(t.id, t.stage, t.settled_as) for t in look.tallies] == [
        (3, None, "alive"),
        (4, "egg-mass", None),
    ]


def test_looks_come_by_day_and_then_as_entered() -> None:
    entries = PlantEntries(
        looks=(_look(9, day=LATER), _look(30), _look(8)), tallies=(_tally(12, 8), _tally(11, 8))
    )
    log = effective_log(entries, LATER)
    assert [look.id for look in log] == [8, 30, 9]
    assert [tally.id for tally in log[0].tallies] == [11, 12]


def test_finds_of_one_pest_are_told_from_those_of_another() -> None:
    mite = replace(_tally(3, 1, count=5), pest="spider-mite")
    doubt = replace(_tally(4, 1, "doubtful", count=2), pest="spider-mite")
    entries = replace(ONE_FIND, tallies=(*ONE_FIND.tallies, mite, doubt))
    [look] = effective_log(entries, DAY)
    assert (look.live("mealybug"), look.live("spider-mite"), look.live()) == (3, 5, 8)
    assert (look.open_doubts("mealybug"), look.open_doubts("spider-mite")) == (0, 2)
    assert look.counted() == 10


@st.composite
def _logs(draw: st.DrawFn) -> PlantEntries:
    """Any log: looks, counts, stages and corrections of anything entered before."""
    days = st.sampled_from([DAY, LATER])
    kinds = st.sampled_from(["removed", "killed", "left", "doubtful"])
    reasons = st.sampled_from(["taken back", "remains", "not-an-insect", "alive"])
    looks = [_look(i, day=draw(days)) for i in range(1, draw(st.integers(1, 4)) + 1)]
    opened = (_open_look(10),) if draw(st.booleans()) else ()
    owners: list[Look | OpenLook] = [*looks, *opened]
    tallies: list[Tally] = []
    stages: list[StageGiven] = []
    withdrawals: list[Withdrawal] = []
    for number in range(20, 20 + draw(st.integers(0, 6))):
        owner = draw(st.sampled_from(owners))
        tallies.append(_tally(number, owner.id, draw(kinds), draw(st.integers(1, 5)), owner.day))
    if tallies:
        for number in range(40, 40 + draw(st.integers(0, 3))):
            tally = draw(st.sampled_from(tallies))
            stages.append(_stage(number, tally.id, draw(st.sampled_from(["young", "adult"]))))
    for number in range(60, 60 + draw(st.integers(0, 6))):
        before: list[Entry] = [*looks, *tallies, *stages, *withdrawals]
        target = draw(st.sampled_from(before))
        heirs = [look.id for look in owners if look.id > target.id and target in looks]
        heir = draw(st.sampled_from([None, *heirs]))
        withdrawals.append(_withdrawal(number, target.id, draw(reasons), heir, target.day))
    return PlantEntries(
        tuple(looks), tuple(tallies), tuple(stages), tuple(withdrawals), tuple(opened)
    )


@given(_logs(), st.data(), st.sampled_from([DAY, LATER]))
def test_withdrawing_and_taking_the_withdrawal_back_changes_nothing(
    entries: PlantEntries, data: st.DataObject, on: date
) -> None:
    everything: list[Entry] = [
        *entries.looks,
        *entries.tallies,
        *entries.stages,
        *entries.withdrawals,
    ]
    target = data.draw(st.sampled_from(everything))
    why = data.draw(st.sampled_from(["taken back", "remains", "alive"]))
    there = _withdrawal(80, target.id, why, day=target.day)
    back = _withdrawal(81, 80, day=target.day)
    corrected = replace(entries, withdrawals=(*entries.withdrawals, there, back))
    assert effective_log(corrected, on) == effective_log(entries, on)


@given(_logs())
def test_the_order_of_the_entries_does_not_matter(entries: PlantEntries) -> None:
    backwards = PlantEntries(
        looks=entries.looks[::-1],
        tallies=entries.tallies[::-1],
        stages=entries.stages[::-1],
        withdrawals=entries.withdrawals[::-1],
        open_looks=entries.open_looks,
    )
    assert effective_log(backwards, LATER) == effective_log(entries, LATER)
