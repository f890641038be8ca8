"""What an answer promises: tiny chances, impossible logs, more looking never harms."""

import math
from dataclasses import replace

import numpy as np
import pytest

from rounds.core.biology.day import Values, make_day
from rounds.core.inference.answer import answer, chance_clean
from rounds.core.inference.backward import prepare
from rounds.core.inference.batch import CleanPlants, clean_answers
from rounds.core.inference.left import means
from rounds.core.inference.observed import Find, ImpossibleEntry, Log, LoggedDay, Look, Start

from .trials import ZONES, plant_day, plant_landing, plant_log, plant_look, plant_start

FAR_BEYOND = 10**9
"""coefficients: no finds are taken together"""
PLANT = (0.3, 6.0, 0.8)
FOUND = {(0, 0): 2, (3, 1): 1, (5, 1): 2}


def ending(log: Log, looks: tuple[Look, ...]) -> Log:
    """The log with these looks on its last date."""
    return replace(log, days=(*log.days[:-1], replace(log.days[-1], looks=looks)))


def up_to(log: Log, day: int) -> Log:
    return replace(log, days=log.days[: day + 1])


@pytest.mark.parametrize("scale", [1e-3, 10.0, 1e6])
def test_the_scale_of_the_finds_cancels(scale: float) -> None:
    log = plant_log(PLANT, 22, 20, FOUND)
    course = prepare(log, 4096)
    mean, chance = means(course, scale)
    plain, plain_chance = means(course, 1.0)
    assert mean == pytest.approx(plain, rel=1e-11)
    assert chance / scale ** sum(course.pooling.caps) == pytest.approx(plain_chance, rel=1e-11)


def test_a_log_rarer_than_the_smallest_number_has_its_figures() -> None:
    # One stage that neither dies nor breeds; 200 found at once where each is shown with .001.
    # Forwards: every number written out with its gamma-Poisson weight.
    none = np.array([], dtype=np.intp)
    same = make_day(np.ones((1, 1, 1)), np.zeros(1), np.ones(1), none, none, 0.0)
    chances, count, mean, shape = np.array([0.001]), 200, 5.0, 0.7
    days = [LoggedDay(None)]
    days += [LoggedDay(same, looks=(Look(1 - chances, (Find(chances, count),)),))]
    got = answer(Log(Start(1.0, np.array([mean]), shape), np.ones(1), tuple(days)))
    log_probability, expected = _written_out(count, mean, shape, 0.001)
    assert log_probability < math.log(1e-250)
    assert got.log_probability == pytest.approx(log_probability, rel=1e-9)
    assert got.mean[0] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("count", [450, 900])
def test_many_rare_finds_are_brought_within_range(count: int) -> None:
    none = np.array([], dtype=np.intp)
    same = make_day(np.ones((1, 1, 1)), np.zeros(1), np.ones(1), none, none, 0.0)
    shown = Look(np.array([0.999]), (Find(np.array([0.001]), count),))
    days = (LoggedDay(None), LoggedDay(same, looks=(shown,)))
    log = Log(Start(1.0, np.array([5.0]), 0.7), np.ones(1), days)
    got = answer(log, FAR_BEYOND, with_interval=False)
    log_probability, expected = _written_out(count, 5.0, 0.7, 0.001)
    assert got.log_probability == pytest.approx(log_probability, rel=1e-9)
    assert got.mean[0] == pytest.approx(expected, rel=1e-9)


def _written_out(count: int, mean: float, shape: float, found: float) -> tuple[float, float]:
    n = np.arange(20000)
    log_gamma = np.array([math.lgamma(k + 1) for k in range(len(n))])
    of_start = np.array([math.lgamma(shape + k) for k in n]) - math.lgamma(shape) - log_gamma
    log_weight = of_start + n * math.log(mean / (mean + shape))
    log_weight += shape * math.log(shape / (mean + shape))
    left = n[: len(n) - count]
    chosen = log_gamma[left + count] - log_gamma[left] - log_gamma[count]
    log_weight = log_weight[count:] + chosen
    log_weight += count * math.log(found) + left * math.log1p(-found)
    top = log_weight.max()
    weight = np.exp(log_weight - top)
    return top + math.log(weight.sum()), float(weight @ left / weight.sum())


def test_one_look_object_may_stand_on_several_days() -> None:
    log = plant_log(PLANT, 22, 4, {(2, 0): 1, (3, 0): 1})
    same = [replace(day, looks=log.days[2].looks) if at == 3 else day
            for at, day in enumerate(log.days)]  # fmt: skip
    assert chance_clean(replace(log, days=tuple(same))) == pytest.approx(chance_clean(log))
    assert prepare(replace(log, days=tuple(same)), 4096).pooling.is_exact


@pytest.mark.parametrize(("day", "entry"), [(0, 7), (2, 7)])
def test_an_impossible_log_names_the_entry_that_did_it(day: int, entry: int) -> None:
    # Zone 5 holds nothing, and nothing moves there: what is found there cannot have been.
    log = plant_log((0.3, 6.0, 0.8), 8, 3, {(day, 0): 1, (day, 5): 1})
    empty = np.where(np.arange(108) >= 90, 0.0, log.start.mean)
    days = [_with_entries(logged, entry) for logged in log.days]
    bad = Log(replace(log.start, mean=empty), log.landing, tuple(days))
    with pytest.raises(ImpossibleEntry) as caught:
        answer(bad)
    assert caught.value.entry == entry


def _with_entries(day: LoggedDay, entry: int) -> LoggedDay:
    looks = [
        replace(look, finds=tuple(replace(f, entry=entry if zone == 5 else 1) for f in look.finds))
        for zone, look in enumerate(day.looks)
    ]
    return replace(day, looks=tuple(looks))


def test_a_find_on_a_plant_that_cannot_be_infested_is_impossible() -> None:
    with pytest.raises(ImpossibleEntry):
        chance_clean(plant_log((0.0, 6.0, 0.8), 22, 3, {(2, 0): 1}))


@pytest.mark.parametrize("finds", [{}, FOUND], ids=["clean", "found"])
def test_more_seconds_or_zones_never_lower_the_chance(finds: dict[tuple[int, int], int]) -> None:
    chances = []
    for effort in (0.0, 0.3, 1.0, 3.0):
        log = plant_log(PLANT, 22, 12, finds)
        last = tuple(plant_look(zone, effort, 0, 0) for zone in range(ZONES))
        chances.append(chance_clean(ending(log, last)))
    assert chances == sorted(chances)
    by_zones = []
    for zones in range(ZONES + 1):
        log = plant_log(PLANT, 22, 12, finds, looked_at=range(ZONES))
        last = tuple(plant_look(zone, 1.0, 0, 0) for zone in range(zones))
        by_zones.append(chance_clean(ending(log, last)))
    assert by_zones == sorted(by_zones)


@pytest.mark.parametrize("zone", range(ZONES))
@pytest.mark.parametrize("day", [0, 6, 12])
def test_a_find_never_leaves_it_above_the_same_look_without_it(zone: int, day: int) -> None:
    without = chance_clean(plant_log(PLANT, 22, 12, FOUND))
    assert chance_clean(plant_log(PLANT, 22, 12, {**FOUND, (day, zone): 3})) <= without


def test_colder_is_never_faster() -> None:
    on_day_40 = [chance_clean(plant_log(PLANT, c, 40, FOUND)) for c in (8, 14, 18, 22, 26)]
    assert on_day_40 == sorted(on_day_40)


def test_at_the_threshold_an_unseen_zone_stays_as_likely_as_it_was() -> None:
    # Nothing dies at 8 degrees: without looks nothing changes, however long.
    none: dict[tuple[int, int], int] = {}
    survive = plant_log(PLANT, 8, 30, none, looked_at=())
    day = plant_day(8)
    lives = make_day(day.blocks / day.blocks.sum(axis=2, keepdims=True), np.zeros(108),
                     day.landing, day.laying, day.eggs, 0.0)  # fmt: skip
    days = tuple(replace(d, step=lives if at else None) for at, d in enumerate(survive.days))
    assert chance_clean(replace(survive, days=days)) == pytest.approx(
        chance_clean(up_to(survive, 0)), rel=1e-12
    )


def test_clean_plants_side_by_side_are_as_one_by_one() -> None:
    last, rng = 30, np.random.default_rng(3)
    efforts = (0.4, 1.0, 2.0)
    kinds = np.stack([_unseen(effort) for effort in efforts])
    begins = rng.integers(0, last + 1, size=150)
    looks = rng.integers(-1, 3, size=(last + 1, 150))
    warm = [plant_day(c) for c in rng.uniform(12, 28, size=last)]
    arrivals = rng.choice([2e-4, 1e-3], size=(last + 1, 150))
    infested, mean = rng.uniform(0.01, 0.9, size=150), rng.uniform(1, 9, size=150)
    plants = CleanPlants(
        begins, infested, mean, np.full(150, 0.5), plant_start(1, 1, 1).mean, plant_landing(),
        warm, arrivals, kinds, looks,
    )  # fmt: skip
    [(got, _)] = clean_answers([plants])
    for plant in (0, 7, 77, int(begins.argmax()), int(begins.argmin())):
        days = [
            LoggedDay(
                warm[at - 1] if at > begins[plant] else None,
                float(arrivals[at, plant]) if at > begins[plant] else 0.0,
                (Look(kinds[looks[at, plant]]),) if looks[at, plant] >= 0 else (),
            )
            for at in range(begins[plant], last + 1)
        ]
        start = plant_start(float(infested[plant]), float(mean[plant]), 0.5)
        one = chance_clean(Log(start, plant_landing(), tuple(days)))
        assert got[plant] == pytest.approx(one, rel=1e-12)


def _unseen(effort: float) -> Values:
    unseen: Values = np.prod([plant_look(z, effort, 0, 0).unseen for z in range(ZONES)], axis=0)
    return unseen


def test_an_interval_is_left_out_when_it_is_not_asked_for() -> None:
    log = plant_log(PLANT, 22, 5, {})
    assert answer(log, with_interval=False).left is None
    assert answer(log).left is not None
