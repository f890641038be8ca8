"""What plants that came together tell of each other, by their logs alone."""

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.inference.answer import answer, chance_clean
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import Mate, PlantFacts, chance_infested
from rounds.core.inference.mates import SILENT, mate_in_steps
from rounds.core.inference.observed import Find, Log, LoggedDay, Look, Start
from rounds.core.log.effective import EffectiveLook
from rounds.service.inference.steps import finished

from .logs import PARAMETERS, facts, look, on, tally, whole

INFESTATION = PARAMETERS.infestation
TYPES = 2
FRACTIONS = st.floats(0.0, 1.0, allow_subnormal=False)
MATES = st.lists(
    st.tuples(FRACTIONS, FRACTIONS).filter(lambda pair: max(pair) > 0.01).map(lambda p: Mate(*p)),
    max_size=12,
)


def log_of(of: PlantFacts | Sequence[EffectiveLook], day: int) -> Log:
    known = of if isinstance(of, PlantFacts) else facts(of)
    return gather(known, on(day), PARAMETERS).log


def told(of: PlantFacts | Sequence[EffectiveLook], day: int) -> Mate:
    return finished(mate_in_steps(log_of(of, day)))


def on_a_grid(mates: Sequence[Mate], points: int = 4000) -> float:
    """The mean of q on a fine grid: Beta(1, 3), that is 3 (1 - q)^2, times what each mate tells."""
    q = (np.arange(points) + 0.5) / points
    weight = (1 - q) ** 2
    for mate in mates:
        weight = weight * (q * mate.if_infested + (1 - q) * mate.if_clean)
    return float((q * weight).sum() / weight.sum())


# the share of what came


def test_without_a_mate_the_chance_is_that_of_a_new_arrival() -> None:
    assert chance_infested((), INFESTATION) == pytest.approx(0.25, rel=1e-14)
    assert chance_infested([SILENT] * 7, INFESTATION) == pytest.approx(0.25, rel=1e-12)


@pytest.mark.parametrize(("infested", "clean"), [(1, 0), (0, 1), (3, 3), (0, 20), (20, 0), (2, 9)])
def test_of_mates_that_are_certain_it_is_a_beta_mean(infested: int, clean: int) -> None:
    # Beta(1, 3), so many of each kind seen: (1 + k) / (4 + n).
    mates = [Mate(1.0, 0.0)] * infested + [Mate(0.0, 1.0)] * clean
    expected = (1 + infested) / (4 + infested + clean)
    assert chance_infested(mates, INFESTATION) == pytest.approx(expected, rel=1e-12)


def test_of_one_mate_it_follows_in_a_line() -> None:
    # The integrals of q, q^2 and q (1 - q) over Beta(1, 3): 1/4, 1/10, 3/20; of 1 - q 3/4.
    for infested, clean in ((1.0, 0.3), (0.2, 1.0), (0.7, 0.7)):
        expected = (infested / 10 + clean * 3 / 20) / (infested / 4 + clean * 3 / 4)
        assert chance_infested([Mate(infested, clean)], INFESTATION) == pytest.approx(expected)


@given(mates=MATES)
def test_it_is_the_mean_on_a_grid(mates: list[Mate]) -> None:
    assert chance_infested(mates, INFESTATION) == pytest.approx(on_a_grid(mates), abs=2e-6)


@given(mates=MATES, data=st.data())
def test_the_order_of_the_mates_is_nothing(mates: list[Mate], data: st.DataObject) -> None:
    other = data.draw(st.permutations(mates))
    assert chance_infested(other, INFESTATION) == pytest.approx(chance_infested(mates, INFESTATION))


@given(mates=MATES, lead=st.floats(0.0, 1.0))
def test_a_mate_more_likely_infested_raises_it_and_a_likely_clean_one_lowers_it(
    mates: list[Mate], lead: float
) -> None:
    before = chance_infested(mates, INFESTATION)
    assert chance_infested([*mates, Mate(1.0, lead)], INFESTATION) >= before * (1 - 1e-12)
    assert chance_infested([*mates, Mate(lead, 1.0)], INFESTATION) <= before * (1 + 1e-12)


def test_hundreds_of_mates_are_no_trouble() -> None:
    mates = [Mate(0.9, 1.0)] * 150 + [Mate(1.0, 1e-300)] * 50
    assert chance_infested(mates, INFESTATION) == pytest.approx(on_a_grid(mates), abs=1e-5)


@pytest.mark.parametrize("chance", [0.0, 1.0])
def test_what_is_supposed_for_certain_no_mate_moves(chance: float) -> None:
    prior = replace(INFESTATION.priors["arrival"], chance=chance)
    sure = replace(INFESTATION, priors={**INFESTATION.priors, "arrival": prior})
    assert chance_infested([Mate(0.3, 1.0)], sure) == chance


# what one log tells


def test_a_clean_look_on_the_first_day_tells_its_closed_form() -> None:
    # One type, p .5 of it found: (1 + 3 x .5 / .5)^-.5 of infested plants show nothing.
    shown = Look(np.array([0.5, 1.0]))
    log = Log(
        Start(0.7, np.array([3.0, 0.0]), 0.5), np.eye(TYPES)[0], (LoggedDay(None, 0, (shown,)),)
    )
    assert finished(mate_in_steps(log)).if_infested == pytest.approx(4**-0.5)
    assert finished(mate_in_steps(log)).if_clean == 1.0


def test_a_find_on_the_day_it_came_is_none_of_a_plant_that_came_clean() -> None:
    assert told(whole(0, {"axils": [tally()]}), 0) == Mate(1.0, 0.0)
    assert told(whole(0, {"axils": [tally(kind="left")]}), 0) == Mate(1.0, 0.0)


def test_a_later_find_may_have_come_by_itself() -> None:
    looks = [*whole(0), *whole(14), *whole(21, {"axils": [tally()]})]
    mate = told(looks, 21)
    assert mate.if_infested == 1.0
    assert 0 < mate.if_clean < 0.1
    beside = replace(facts(looks), neighbours={on(day): 0.05 for day in range(1, 22)})
    assert told(beside, 21).if_clean > 5 * mate.if_clean


CASES = {
    "clean": (whole(0) + whole(9), 12),
    "found on the first day": (whole(0, {"axils": [tally(2)]}) + whole(7), 9),
    "found later": (whole(3) + whole(8, {"undersides": [tally(3, stage="young")]}) + whole(15), 20),
    "found twice, one left": (
        whole(2, {"axils": [tally(1, stage="adult")]}) + whole(9, {"axils": [tally(kind="left")]}),
        16,
    ),
    "never looked at": ([], 8),
}


@pytest.mark.parametrize("name", CASES)
def test_both_chances_are_those_of_runs_that_suppose_one_for_certain(name: str) -> None:
    looks, day = CASES[name]
    log = log_of(looks, day)
    mate = finished(mate_in_steps(log))

    def log_chance(infested: float) -> float:
        return answer(replace(log, start=replace(log.start, infested=infested))).log_probability

    # a chance of one in 10^200 stands for a plant that came clean: its start costs no digits
    almost = log_chance(1e-200)
    came_infested = log_chance(1.0)
    if mate.if_clean == 0:
        assert almost < came_infested - 400
    else:
        ratio = math.log(mate.if_infested) - math.log(mate.if_clean)
        assert came_infested - almost == pytest.approx(ratio, abs=1e-9)


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("chance", [0.05, 0.4])
def test_with_them_a_plant_alone_is_told_what_its_own_sums_say(name: str, chance: float) -> None:
    """Linear: P(log) at any start is its mixture of the two."""
    looks, day = CASES[name]
    log = log_of(looks, day)
    mate = finished(mate_in_steps(log))

    def log_chance(infested: float) -> float:
        return answer(replace(log, start=replace(log.start, infested=infested))).log_probability

    mixed = chance * mate.if_infested + (1 - chance) * mate.if_clean
    both = mate.if_infested / 2 + mate.if_clean / 2
    assert log_chance(chance) - log_chance(0.5) == pytest.approx(math.log(mixed / both), abs=1e-9)


def test_what_is_supposed_of_its_own_start_is_not_in_it() -> None:
    looks = whole(0) + whole(9)
    for chance in (None, 0.01, 0.9):
        assert told(replace(facts(looks), chance_infested=chance), 12) == told(looks, 12)


def test_what_cannot_be_tells_nothing() -> None:
    log = log_of(whole(0), 0)
    found = Look(np.ones(len(log.landing)), (Find(np.zeros(len(log.landing)), 1),))
    assert finished(mate_in_steps(replace(log, days=(LoggedDay(None, 0.0, (found,)),)))) == SILENT
    cannot = replace(log, days=(*log.days, LoggedDay(None, 0.0, (found,))))
    assert finished(mate_in_steps(cannot)) == SILENT


def test_very_many_finds_are_taken_together_and_still_tell() -> None:
    looks = [
        one
        for day in range(0, 40, 2)
        for one in whole(day, {"axils": [tally(5)], "undersides": [tally(3, stage="young")]})
    ]
    mate = told(looks, 40)
    assert mate.if_infested == 1.0
    assert mate.if_clean == 0.0


# a delivery


def delivery(mates: int, seconds: float, days: int = 3) -> float:
    """What so many clean mates tell, each glanced at or looked at on so many days."""
    looks = [
        look(2 * day, zone.zone, seconds=zone.reference_seconds * seconds)
        for day in range(days)
        for zone in facts([]).body_on(on(0)).outside
    ]
    return chance_infested([told(looks, 2 * days)] * mates, INFESTATION)


def test_clean_mates_glanced_at_tell_little_and_thoroughly_looked_at_more() -> None:
    glanced, seen = delivery(20, 0.02, days=1), delivery(20, 1.0, days=6)
    assert 0.15 < glanced < 0.25
    assert seen < 0.1
    assert 1 / 24 < seen < glanced
    # a plant nobody looked at, of which only glances at its mates are known
    unseen = replace(facts([]), chance_infested=glanced)
    assert chance_clean(log_of(unseen, 1)) < 0.91


def test_one_infested_mate_outweighs_some_clean_ones() -> None:
    clean = told(whole(0) + whole(3), 4)
    infested = told(whole(0) + whole(3, {"axils": [tally()]}), 4)
    assert chance_infested([infested], INFESTATION) > 0.35
    assert chance_infested([infested, clean, clean], INFESTATION) > 0.25


def test_what_they_tell_is_the_start_of_a_plant_read_from_its_arrival() -> None:
    new = replace(facts([]), chance_infested=0.07)
    assert log_of(new, 0).start.infested == 0.07
    here = replace(facts([], arrived=False), chance_infested=0.07)
    assert log_of(here, 0).start.infested == INFESTATION.priors["established"].chance
    late = INFESTATION.reading_days + 1
    assert gather(new, on(late), PARAMETERS).begins == on(0) + timedelta(days=1)
    assert log_of(new, late).start.infested == INFESTATION.priors["established"].chance
    seen = replace(new, insects_seen=True)
    assert log_of(seen, 0).start.infested > 1
