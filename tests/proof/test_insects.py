"""What whole insects do on average is what is known in closed form."""

import math
from dataclasses import replace

import numpy as np
import pytest

from rounds.core.biology.degree_days import day_degree_days
from rounds.service.logbook.parameters import load_parameters
from tests.proof.insects import Colonies, bare, unlooked
from tests.proof.process import Day, Process
from tests.proof.records import Start, Treatment, ZoneLook
from tests.proof.trials import tiny_process
from tests.proof.values import ASSUMED, plant_process

PARAMETERS = load_parameters()
PEST = PARAMETERS.pests["mealybug"]
PLANT = plant_process(PARAMETERS)
MANY = 20_000
ROOTS = PLANT.zones.index("roots")
AXILS = PLANT.zones.index("axils")
LAYING = len(PLANT.groups) - 1


def colonies(
    process: Process, sub_stage: int, zone: int = 0, tucked: bool = False, plants: int = MANY
) -> Colonies:
    """One insect of a kind on each plant."""
    life = bare(process, plants, np.random.default_rng(7))
    kind = np.ravel_multi_index((sub_stage, zone, int(tucked)), process.shape)
    life.plant = np.arange(plants, dtype=np.int32)
    life.kind = np.full(plants, kind, np.int16)
    return life


def near(share: float, expected: float, of: int = MANY) -> bool:
    """Within four standard errors of a share."""
    return abs(share - expected) < 4 * math.sqrt(expected * (1 - expected) / of)


def deathless(degree_days: float) -> Day:
    """A day of the table on which nobody dies and nothing is laid."""
    day = PLANT.day(degree_days)
    return replace(day, survive=np.ones(len(PLANT.groups)), eggs=0.0)


@pytest.mark.parametrize("stage", range(5))
def test_a_stage_lasts_its_degree_days_in_any_weather(stage: int) -> None:
    first = sum(one.sub_stages for one in PEST.stages[:stage])
    after = first + PEST.stages[stage].sub_stages
    process = replace(PLANT, day=deathless, leaves=0.0)
    life = colonies(process, first, plants=4000)
    spent, day = np.zeros(4000), 0
    while (within := life.sub_stage[life.kind] < after).any():
        degree_days = (4.0, 17.0, 9.5)[day % 3]
        spent[life.plant[within]] += degree_days
        life.live(degree_days, 0.0)
        day += 1
    expected = PEST.stages[stage].degree_days
    assert abs(spent.mean() - expected) < 4 * spent.std() / math.sqrt(4000)


def test_cold_stops_death_growth_and_laying() -> None:
    life = colonies(PLANT, LAYING)
    life.live(PLANT.degree_days(4.0, 8.0), 0.0)
    assert (life.counts() == 1).all()
    assert set(life.sub_stage[life.kind]) == {LAYING}


@pytest.mark.parametrize("degree_days", [7.0, 14.0])
def test_death_follows_the_warmth(degree_days: float) -> None:
    life = colonies(replace(PLANT, leaves=0.0), PLANT.crawler)
    life.live(degree_days, 0.0)
    assert near(len(life.kind) / MANY, 0.97 ** (degree_days / 14))


@pytest.mark.parametrize("tucked", [False, True])
def test_a_layer_lays_where_she_began_the_day(tucked: bool) -> None:
    life = colonies(PLANT, LAYING, AXILS, tucked)
    life.live(10.0, 0.0)
    eggs = life.kind[life.kind < life.crawling]
    laid = 0.97 ** (10 / 14) * ASSUMED.eggs_a_day * 10 / ASSUMED.warm_day
    assert len(eggs) / MANY == pytest.approx(laid, rel=0.01)
    assert set(eggs) == {2 * AXILS + tucked}


def test_crawlers_leave_stay_or_settle_by_weight_and_then_move() -> None:
    still = replace(PLANT, exchange=np.zeros(len(PLANT.groups)), day=deathless)
    life = colonies(still, PLANT.crawler - 1, ROOTS, True)
    life.live(85 / 3, 0.0)
    assert set(life.sub_stage[life.kind]) == {PLANT.crawler}
    assert near(len(life.kind) / MANY, 0.98)
    stayed = 0.98 * (0.5 + 0.5 * 0.05)
    assert near(float((life.zone[life.kind] == ROOTS).sum()) / MANY, stayed)
    in_axils = life.kind[life.zone[life.kind] == AXILS]
    assert near(len(in_axils) / MANY, 0.98 * 0.5 * 0.35)
    assert near(float((in_axils % 2).mean()), 0.40, len(in_axils))


def test_lines_die_out_with_the_chance_of_the_branching_process() -> None:
    """x = 1 - s + s x exp(-f (1 - x)): .579258 and .781740."""
    for survive, eggs, root in ((0.9, 0.2, 0.579258), (0.5, 1.5, 0.781740)):
        life, lasting = colonies(one_kind(survive, eggs), 0, plants=6000), np.zeros(6000, np.bool_)
        for _ in range(300):
            life.live(1.0, 0.0)
            lasting |= life.counts() > 60
            life.keep(~lasting[life.plant])
        assert (life.counts() > 0).sum() <= 3, "lines are undecided"
        assert near(1 - float(lasting.mean()), root, 6000)


def one_kind(survive: float, eggs: float) -> Process:
    """Insects that are laying adults from birth."""
    day = Day(np.array([survive]), np.zeros(1), eggs)
    tiny = tiny_process((0.5, 0.5), (1, 1), 0, 0, (1, 1), (0, 0))
    return replace(tiny, groups=("adult",), exchange=np.zeros(1), day=lambda degree_days: day)


@pytest.mark.parametrize(("seconds", "sub_stage"), [(0.5, PLANT.crawler), (1, 0), (2, LAYING)])
def test_a_look_finds_by_exponential_search(seconds: float, sub_stage: int) -> None:
    life = colonies(PLANT, sub_stage, AXILS)
    found = life.found(ZoneLook("axils", seconds * float(PLANT.reference_seconds[AXILS])))
    once = PLANT.found_in_reach[sub_stage]
    assert near(float(found.mean()), 1 - (1 - once) ** seconds)
    assert not life.found(ZoneLook("undersides", 1e6)).any()


def test_nobody_tucked_away_is_found_from_outside() -> None:
    life = colonies(PLANT, LAYING, ROOTS, True)
    assert not life.found(ZoneLook("roots", 1e6)).any()
    assert near(float(life.found(ZoneLook("roots", 120.0, unpotted=True)).mean()), 0.75)


def test_looks_with_exchange_between_them_leave_fewer_unseen() -> None:
    """p .8, tucked .4, exchange .3: .52 .37792 .205982 .079483 .011842 after 1 2 5 10 20."""
    tiny = tiny_process((0.0, 1.0), (1, 1), 0, 0, (0, 1), (0, 0.8))
    process = replace(tiny, tucked_share=np.array([0.4]), exchange=np.array([0.0, 0.3]))
    life = bare(process, MANY, np.random.default_rng(3))
    life.plant = np.arange(MANY, dtype=np.int32)
    life.kind = np.where(life.rng.random(MANY) < 0.4, 3, 2).astype(np.int16)
    left = {}
    for look in range(1, 21):
        life.keep(~life.found(ZoneLook("all", 1.0)))
        left[look] = len(life.kind) / MANY
        life.live(10.0, 0.0)
    known = {1: 0.52, 2: 0.37792, 5: 0.205982, 10: 0.079483, 20: 0.011842}
    assert all(near(left[look], share) for look, share in known.items())


def test_arrivals_and_looks_level_off() -> None:
    """Chance clean exp(-h (1 - p) / p) after a look."""
    process = tiny_process((0.0, 1.0), (1, 1), 0, 0, (0, 1), (0, 0.3))
    life = bare(process, MANY, np.random.default_rng(3))
    for _ in range(30):
        life.live(10.0, 0.05)
        life.keep(~life.found(ZoneLook("all", 1.0)))
    assert near(float((life.counts() == 0).mean()), math.exp(-0.05 * 0.7 / 0.3))


def test_arrivals_come_as_crawlers_by_weight_and_tucked_share() -> None:
    life = bare(PLANT, MANY, np.random.default_rng(3))
    life.live(10.0, 1.0)
    assert len(life.kind) / MANY == pytest.approx(1.0, abs=4 / math.sqrt(MANY))
    assert set(life.sub_stage[life.kind]) == {PLANT.crawler}
    in_axils = life.zone[life.kind] == AXILS
    assert near(float(in_axils.mean()), 0.35, len(life.kind))
    assert near(float((life.kind[in_axils] % 2).mean()), 0.40, int(in_axils.sum()))


def test_the_start_is_gamma_poisson_and_mostly_nothing() -> None:
    start = Start(0.25, 3.0, 0.5)
    life = unlooked(PLANT, start, 200_000, np.random.default_rng(5))
    number = life.counts()
    none_of_infested = (1 + 3.0 / 0.5) ** -0.5
    assert near(float((number > 0).mean()), 0.25 * (1 - none_of_infested), 200_000)
    second = 0.25 * (3.0**2 * (1 + 1 / 0.5) + 3.0)
    error = float((number.astype(float) ** 2).std()) / math.sqrt(200_000)
    assert abs(float((number.astype(float) ** 2).mean()) - second) < 4 * error
    shares = np.bincount(life.sub_stage[life.kind], minlength=len(PLANT.groups)) / len(life.kind)
    assert shares == pytest.approx(PLANT.make_up, abs=0.01)


def test_sacs_take_eggs_in_reach_of_the_look_along() -> None:
    inside, hidden = colonies(PLANT, 1, AXILS), colonies(PLANT, 1, AXILS, True)
    elsewhere, crawlers = colonies(PLANT, 1, ROOTS, True), colonies(PLANT, PLANT.crawler, AXILS)
    for life in (inside, hidden, elsewhere, crawlers):
        life.lose_sacs(ZoneLook("axils", 1.0))
    assert near(len(inside.kind) / MANY, 0.3)
    assert len(hidden.kind) == len(elsewhere.kind) == len(crawlers.kind) == MANY
    elsewhere.lose_sacs(ZoneLook("roots", 1.0, unpotted=True))
    assert near(len(elsewhere.kind) / MANY, 0.3)


@pytest.mark.parametrize(
    ("treatment", "sub_stage", "zone", "tucked", "left"),
    [
        (ASSUMED.contact_spray, LAYING, AXILS, False, 0.45),
        (ASSUMED.contact_spray, LAYING, AXILS, True, 1.0),
        (ASSUMED.contact_spray, 0, AXILS, False, 1.0),
        (ASSUMED.contact_spray, LAYING, ROOTS, True, 1.0),
        (ASSUMED.root_clean_out, 0, ROOTS, True, 0.10),
        (ASSUMED.root_clean_out, LAYING, AXILS, False, 1.0),
        (Treatment(tucked=0.3), LAYING, AXILS, True, 0.7),
    ],
)
def test_treatments_kill_by_stage_and_reach(
    treatment: Treatment, sub_stage: int, zone: int, tucked: bool, left: float
) -> None:
    life = colonies(PLANT, sub_stage, zone, tucked)
    life.treat(treatment)
    assert near(len(life.kind) / MANY, left) or len(life.kind) / MANY == left


@pytest.mark.parametrize(("least", "greatest"), [(2, 20), (10, 20), (18, 35), (20, 20), (-3, 6)])
def test_degree_days_of_the_wave_are_those_of_the_package(least: float, greatest: float) -> None:
    of_package = day_degree_days(least, greatest, PEST.warmth)
    assert PLANT.degree_days(least, greatest) == pytest.approx(of_package, abs=1e-3)


def test_branches_are_copies_and_plants_are_numbered_anew() -> None:
    life = bare(PLANT, 4, np.random.default_rng(1))
    life.plant = np.array([3, 0, 3, 2], np.int32)
    life.kind = np.array([30, 0, 31, 20], np.int16)
    life.keep_plants(np.array([True, True, False, True]))
    life.branch(np.array([1, 2, 3]))
    assert life.counts().tolist() == [1, 0, 0, 2, 2, 2]
    kinds = [sorted(life.kind[life.plant == plant].tolist()) for plant in range(6)]
    assert kinds == [[0], [], [], [30, 31], [30, 31], [30, 31]]
