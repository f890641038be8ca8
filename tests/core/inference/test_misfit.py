"""Finds as they were foretold: each day's chances, what is won against them, when it is said."""

from math import exp, log
from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.inference.answer import answer
from rounds.core.inference.evidence import gather
from rounds.core.inference.foretold import TOLD_APART, DayForetold, days_foretold
from rounds.core.inference.misfit import (
    Capital,
    FitRules,
    Kind,
    capitals,
    collection_misfit,
    greatest,
    least_tail,
    misfit,
)
from rounds.core.log.effective import EffectiveLook
from rounds.service.inference.steps import finished

from .logs import PARAMETERS, facts, look, on, tally, whole

LAST = 9
BEFORE = {
    "clean": [*whole(0), *whole(3)],
    "found": [*whole(0, {"axils": [tally(2)]}), *whole(3, {"undersides": [tally(1)]})],
    "left": [*whole(0), *whole(3, {"axils": [tally(1, "left"), tally(1, "killed")]}), *whole(6)],
}


def log_chance(looks: list[EffectiveLook], day: int) -> float:
    found = answer(gather(facts(looks), on(day), PARAMETERS).log, with_interval=False)
    return found.log_probability


def foretold(looks: list[EffectiveLook], day: int) -> list[DayForetold]:
    return finished(days_foretold(gather(facts(looks), on(day), PARAMETERS).log, 60))


@pytest.mark.parametrize("kind", list(BEFORE))
def test_what_a_look_finds_was_foretold_by_the_ratio_of_two_logs(kind: str) -> None:
    """One zone and insects of no recorded stage: the log with k finds, over the log before it."""
    before, seconds = BEFORE[kind], BEFORE[kind][0].seconds
    foretold_of = foretold([*before, look(LAST, "axils", seconds=seconds)], LAST)[-1].chances
    without, handling = log_chance(before, LAST), PARAMETERS.inspection.seconds_per_find
    for count in range(4):
        found = [tally(count)] if count else []
        last = look(LAST, "axils", *found, seconds=seconds + handling * count)
        expected = exp(log_chance([*before, last], LAST) - without)
        assert foretold_of[count] == pytest.approx(expected, rel=1e-9)
    assert sum(foretold_of) == pytest.approx(1)


def test_the_first_look_is_foretold_from_what_is_supposed_of_a_new_plant() -> None:
    """None found: 1 - psi + psi (1 + M s / a) ** -a, s the share of insects that a look shows."""
    log_of = gather(facts(whole(0)), on(0), PARAMETERS).log
    supposed = PARAMETERS.infestation.priors["arrival"]
    shown = float(log_of.start.mean @ (1 - log_of.days[0].looks[0].unseen))
    none = (1 + shown / supposed.shape) ** -supposed.shape
    (day,) = foretold(whole(0), 0)
    assert day.found == 0
    assert day.chances[0] == pytest.approx(1 - supposed.chance + supposed.chance * none)


def test_only_days_with_looks_are_foretold_and_of_many_only_the_last() -> None:
    looks = [k for number in range(8) for k in whole(number)]
    log_of = gather(facts(looks), on(LAST), PARAMETERS).log
    assert [day.number for day in finished(days_foretold(log_of, 3))] == [5, 6, 7]


def test_more_than_can_be_told_apart_count_as_the_most() -> None:
    (day,) = foretold(whole(0, {"axils": [tally(30)]}), 0)
    assert day.found == TOLD_APART
    assert len(day.chances) == TOLD_APART + 1


chances_of_counts = st.lists(st.floats(0.0, 1.0), min_size=7, max_size=7).filter(
    lambda weights: sum(weights) > 0.01
)


@given(chances_of_counts)
def test_whatever_is_foretold_nothing_is_won_on_average(weights: list[float]) -> None:
    """The mean of what each belief holds after a day, and so the whole, is what it was before."""
    chances = tuple(weight / sum(weights) for weight in weights)
    after = [list(capitals([DayForetold(0, found, chances)]))[-1] for found in range(7)]
    for kind in get_args(Kind):
        won = np.array([exp(each.of[kind]) for each in after])
        assert float(won @ np.array(chances)) == pytest.approx(1)
    assert float(np.array([exp(each.whole) for each in after]) @ np.array(chances)) == (
        pytest.approx(1)
    )


def test_what_is_won_on_a_day_is_worked_by_hand() -> None:
    """One found where one in ten was: 3 / (.9 + .3) and 1.5 / (.9 + .15), the mean of both."""
    day = DayForetold(0, 1, (0.9, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0))
    more = (3 / 1.2 + 1.5 / 1.05) / 2
    fewer = ((1 / 3) / (0.9 + 0.1 / 3) + (2 / 3) / (0.9 + 0.2 / 3)) / 2
    won = list(capitals([day]))[-1].of
    assert exp(won["too-many"]) == pytest.approx(more)
    assert exp(won["too-few"]) == pytest.approx(fewer)
    assert exp(won["too-clumped"]) == pytest.approx((more + fewer) / 2)


def test_what_was_won_once_counts_though_some_of_it_is_lost_again() -> None:
    few = (0.9, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0)
    days = [DayForetold(0, 1, few), DayForetold(1, 1, few), DayForetold(2, 0, few)]
    wholes = [capital.whole for capital in capitals(days)]
    assert greatest(days).whole == max(wholes) == wholes[2] > wholes[3]
    lost = [DayForetold(number, 0, few) for number in range(3)]
    assert greatest(lost).whole >= 0, "before the first day nothing is won or lost"


RULES = FitRules(times=20, tail=0.001, times_alone=100)


def test_it_is_said_once_the_whole_has_grown_and_a_day_lay_far_out() -> None:
    # two lost all, so that the whole is a third of what the other holds
    def won(of: Kind, times: float) -> Capital:
        return Capital({kind: log(times) if kind == of else -999.0 for kind in get_args(Kind)})

    assert misfit(won("too-many", 61), 0.0009, RULES) == "too-many"
    assert misfit(won("too-many", 59), 0.0009, RULES) is None
    assert misfit(won("too-many", 61), 0.0011, RULES) is None
    assert misfit(won("too-few", 301), 1.0, RULES) == "too-few", "a hundredfold without such a day"
    assert misfit(won("too-few", 299), 1.0, RULES) is None


def test_the_tail_of_a_day_is_that_of_as_many_or_of_as_few() -> None:
    chances = (0.02, 0.6, 0.3, 0.05, 0.02, 0.009, 0.001)
    assert least_tail([DayForetold(0, 6, chances)]) == pytest.approx(0.001)
    assert least_tail([DayForetold(0, 4, chances)]) == pytest.approx(0.03)
    assert least_tail([DayForetold(0, 0, chances)]) == pytest.approx(0.02), "as few or fewer"
    assert least_tail([DayForetold(0, 4, chances), DayForetold(1, 0, chances)]) == (
        pytest.approx(0.02)
    )
    assert least_tail([]) == 1


def test_of_a_collection_the_assumption_is_named_that_fits_all_of_it_best() -> None:
    plants = [{"eye-worse": 0.4, "moves-less": -0.2}] * 20
    assert collection_misfit(plants, 100) == "eye-worse", "exp(8) / 2 is more than 100"
    assert collection_misfit(plants[:13], 100) is None, "exp(5.2) / 2 is less"
    assert collection_misfit([], 100) is None
