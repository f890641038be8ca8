"""The chance of a log by how well the grower finds: the same as gathered with other rates."""

import math
from dataclasses import replace
from math import prod

import numpy as np
import pytest

from rounds.core.inference.answer import answer
from rounds.core.inference.detection import (
    log_chance,
    log_chances,
    read_until_full,
    with_detection,
)
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts, Treated
from rounds.core.inference.observed import Log, Start
from rounds.core.log.effective import EffectiveLook
from rounds.service.inference.steps import finished

from .logs import LEAFY, PARAMETERS, look, on, tally
from .logs import facts as facts_of

FAR_BEYOND = 10**9
WHOLE = LEAFY.zone("axils").reference_seconds


def facts(*looks: EffectiveLook) -> PlantFacts:
    return facts_of(sorted(looks, key=lambda of: (of.day, of.id)))


def of_log(log_facts: PlantFacts, last: int, theta: float = 1.0) -> Log:
    return gather(log_facts, on(last), replace(PARAMETERS, detection_times=theta)).log


def some_finds() -> PlantFacts:
    """Finds on the first day and later, some with their stage, one left there."""
    return facts(
        look(0, "axils", tally(2), seconds=60.0),
        look(3, "axils", tally(1, stage="young"), seconds=40.0),
        look(3, "undersides", seconds=50.0),
        look(7, "axils", tally(2, stage="adult"), tally(1, stage="young"), seconds=60.0),
        look(7, "axils", tally(1), seconds=30.0),
        look(9, "sheaths", tally(1, kind="left"), seconds=20.0),
        look(14, "axils", seconds=60.0),
    )


def test_the_chance_of_a_log_is_the_one_of_the_whole_answer() -> None:
    log = of_log(some_finds(), 14)
    whole = answer(log, FAR_BEYOND, with_interval=False)
    assert log_chance(log, FAR_BEYOND) == pytest.approx(whole.log_probability, rel=1e-12)


@pytest.mark.parametrize("theta", [0.5, 1.0, 1.4])
def test_another_eye_is_that_of_other_rates(theta: float) -> None:
    seen_with = with_detection(of_log(some_finds(), 14), theta)
    gathered = of_log(some_finds(), 14, theta)
    assert log_chance(seen_with) == pytest.approx(log_chance(gathered), rel=1e-12)


def test_it_is_the_chance_given_that_something_was_found() -> None:
    log = of_log(facts(look(0, "axils", tally(1))), 0)
    clean = of_log(facts(look(0, "axils")), 0)
    (said,) = finished(log_chances(log, [1.0], log))
    nothing = math.exp(log_chance(clean))
    assert said == pytest.approx(log_chance(log) - math.log1p(-nothing), rel=1e-12)
    # with one insect at least there for certain there is nothing to be given
    certain = replace(log, start=Start(1.2, log.start.mean, log.start.shape))
    (said,) = finished(log_chances(certain, [1.0], certain))
    assert said == log_chance(certain)


def test_the_chances_of_all_that_may_be_read_of_a_day_sum_to_one() -> None:
    # nothing found on the first day; two days later nothing, one, two ... each as it is read
    def chance(*looks: EffectiveLook) -> float:
        return math.exp(log_chance(read_until_full(of_log(facts(*looks), 2), 8, 10**6)))

    first = look(0, "medium")
    of_counts = [chance(first, look(2, "axils", *[tally(n)] * bool(n))) for n in range(40)]
    assert sum(of_counts) == pytest.approx(chance(first), abs=1e-9)


def coefficients(log: Log) -> int:
    return prod(f.count + 1 for day in log.days[1:] for k in day.looks for f in k.finds)


def test_a_log_is_read_until_its_finds_fill_the_budget() -> None:
    heavy = facts(
        *(look(day, "axils", tally(3), seconds=60.0) for day in range(2, 30)),
        look(0, "axils", seconds=60.0),
    )
    log = of_log(heavy, 29)
    read = read_until_full(log, 64, 256)
    assert len(read.days) == 5
    assert coefficients(read) == 64
    # with room for all of them nothing is left out
    few = of_log(some_finds(), 14)
    assert len(read_until_full(few, FAR_BEYOND).days) == len(few.days) == 15


def test_of_a_day_with_too_much_the_sum_is_read() -> None:
    zones = ("axils", "undersides", "new-growth", "sheaths")
    looks = [look(2, zone, tally(5), seconds=60.0) for zone in zones]
    log = of_log(facts(look(0, "axils", seconds=60.0), *looks), 2)
    (read,) = read_until_full(log, 64, 256).days[2].looks
    assert [find.count for find in read.finds] == [20]
    assert np.allclose(read.finds[0].found, 1 - read.unseen)
    # with room to keep the finds apart: taken together they would be that sum again
    assert log_chance(read_until_full(log, 64, 256)) > log_chance(log, 2**15)


def test_what_stays_there_is_never_summed() -> None:
    looks = [look(2, "axils", tally(30, kind="left"), seconds=60.0) for _ in range(2)]
    log = of_log(facts(look(0, "axils", seconds=60.0), *looks), 2)
    assert len(read_until_full(log, 64, 256).days) == 2


def test_a_day_on_which_something_was_used_is_read_as_far_as_without_it() -> None:
    days = (
        look(0, "axils", seconds=60.0),
        look(3, "axils", tally(9), seconds=60.0),
        look(3, "undersides", tally(9), seconds=60.0),
        look(5, "axils", tally(1), seconds=60.0),
    )
    plain = of_log(facts(*days), 5)
    sprayed = gather(
        replace(facts(*days), treated=(Treated(on(3), PARAMETERS.treatments["spray"]),)),
        on(5), PARAMETERS,
    ).log  # fmt: skip
    read, without = read_until_full(sprayed), read_until_full(plain)
    assert len(read.days) == len(without.days) > 3
    *seen, used = read.days[3].looks
    assert [k.finds[0].count for k in seen] == [k.finds[0].count for k in without.days[3].looks]
    assert used.kills is not None


@pytest.mark.parametrize("theta", [0.5, 1.0, 1.4])
@pytest.mark.parametrize(("stage", "rows"), [("adult", (4, 5)), ("young", (1, 2, 3))])
def test_a_second_look_is_read_with_its_seconds_its_zone_and_its_stage(
    theta: float, stage: str, rows: tuple[int, ...]
) -> None:
    # four of 24 found by a second look of half the time, against all of them by the first
    def chance(first: int, second: int) -> float:
        looks = [look(0, "axils", *[tally(n, stage=stage)] * bool(n), seconds=seconds + 8 * n)
                 for n, seconds in ((first, WHOLE), (second, WHOLE / 2))]  # fmt: skip
        return log_chance(of_log(facts(*looks), 0, theta))

    stages = [PARAMETERS.pests["mealybug"].stages[row] for row in rows]
    missed = np.array([(1 - s.found_in_reach) ** theta for s in stages])
    share = np.array([s.make_up for s in stages])
    by_first = share @ (1 - missed)
    by_second = share @ (missed * (1 - np.sqrt(missed)))
    ratio = math.comb(24, 4) * (by_second / by_first) ** 4
    assert chance(20, 4) - chance(24, 0) == pytest.approx(math.log(ratio), rel=1e-9)
