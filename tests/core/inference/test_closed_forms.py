"""Formulas that stand in print, or follow in a line, against the one method."""

import math

import numpy as np
import pytest

from rounds.core.biology.day import Day, Values, make_day
from rounds.core.inference.answer import answer, chance_clean
from rounds.core.inference.observed import Find, Log, LoggedDay, Look, Start
from rounds.core.inference.prior import absorb, one_at_least
from rounds.core.inference.through import means_through
from rounds.core.inference.unlooked import unlooked

from .asked import left_distribution

NONE = np.array([], dtype=np.intp)


def step(chances: Values) -> Day:
    """A day with these chances (T, T) to become another type, and nothing born."""
    types = len(chances)
    return make_day(chances[None], np.zeros(types), np.ones(types) / types, NONE, NONE, 0.0)


def look(*found: float) -> Look:
    """A clean look with these chances by type."""
    return Look(1 - np.array(found))


def found_now(count: int, *found: float, stays: float = 0.0) -> Look:
    chances = np.array(found)
    return Look(1 - chances, (Find(chances, count, stays),))


def log_of(start: Start, days: list[LoggedDay], landing: Values | None = None) -> Log:
    places = np.eye(len(start.mean))[0] if landing is None else landing
    return Log(start, places, tuple(days))


def one_known(*share: float) -> tuple[Start, LoggedDay]:
    """A first date after which exactly one insect is there, of a type with these chances."""
    start = Start(1.0, np.array(share), 1.0)
    return start, LoggedDay(None, looks=(found_now(1, *np.ones(len(share)), stays=1.0),))


@pytest.mark.parametrize("looks", [1, 2, 5])
@pytest.mark.parametrize("found", [0.3, 0.8])
@pytest.mark.parametrize("psi", [0.2, 0.9])
def test_clean_looks_are_conditional_occupancy(psi: float, found: float, looks: int) -> None:
    # MacKenzie et al. 2002, Ecology 83:2248-2255: psi (1-p)^K / (1 - psi + psi (1-p)^K).
    start, first = one_known(1.0)
    kept = LoggedDay(step(np.array([[psi]])), looks=(look(found),) * looks)
    occupied = 1 - chance_clean(log_of(start, [first, kept]))
    left = psi * (1 - found) ** looks
    assert occupied == pytest.approx(left / (1 - psi + left), rel=1e-12)


def test_five_blank_visits_at_the_salamanders() -> None:
    # MacKenzie et al. 2006, p. 99, Blue Ridge salamanders: psi .5946, p .2587, by PRESENCE.
    start, first = one_known(1.0)
    kept = LoggedDay(step(np.array([[0.5946]])), looks=(look(0.2587),) * 5)
    assert 1 - chance_clean(log_of(start, [first, kept])) == pytest.approx(0.2472, abs=5e-5)


@pytest.mark.parametrize(
    ("sensitivity", "introduction", "prior", "expected"),
    [
        # Martin, Cameron & Greiner 2007, Prev. Vet. Med. 79:71-97, is the forward filter of a
        # two-state chain; these nine with hmmlearn 0.3.3.
        (
            0.6, [0.02] * 9, 0.5,
            [.706052, .848830, .925194, .960463, .975643, .981978, .984587, .985656, .986093],
        ),
        # RSurveillance pfree.calc (Sergeant), documented output, one discounted period.
        (0.8, [0.01], 0.5, [0.8305369]),
        # The same, the first period not discounted.
        (0.8, [0.0], 0.5, [0.8333333]),
        # epiR surveillance vignette, example 7: its inputs, values from the formula.
        (
            0.65, [.01, .01, .01, .02, .04, .10, .10, .10, .08, .06, .04, .02], 0.5,
            [.736881, .885134, .952912, .975809, .976923, .954130,
             .945551, .942256, .948993, .959368, .970851, .982448],
        ),
    ],
)  # fmt: skip
def test_freedom_after_clean_surveys(
    sensitivity: float, introduction: list[float], prior: float, expected: list[float]
) -> None:
    # A particle is the plant itself: free, or infested once and for all.
    start, first = one_known(prior, 1 - prior)
    days, infested = [first], np.array([0.0, 1.0])
    for chance, value in zip(introduction, expected, strict=True):
        turned = step(np.array([[1 - chance, chance], [0.0, 1.0]]))
        days.append(LoggedDay(turned, looks=(look(0.0, sensitivity),)))
        free = left_distribution(log_of(start, days), infested)[0]
        assert free == pytest.approx(value, abs=6e-7)


def shown_as(chances: Values) -> Look:
    """What a state was shown as, each with its chance; it stays as it is."""
    return Look(np.zeros(len(chances)), (Find(chances, 1, stays=1.0),))


def seen_or_not(seen: bool, *found: float) -> Look:
    return found_now(1, *found, stays=1.0) if seen else look(*found)


def chain(start: tuple[float, float], moves: list[list[float]], shown: list[Look]) -> Log:
    """A hidden chain of two states: one insect that is one type or the other, and is not lost."""
    begins, first = one_known(*start)
    days = [LoggedDay(None, looks=(*first.looks, shown[0]))]
    days += [LoggedDay(step(np.array(moves)), looks=(seen,)) for seen in shown[1:]]
    return log_of(begins, days)


def log_likelihood(of_chain: Log) -> float:
    """ln P of what was shown, given that one insect is there."""
    _, first = one_known(1.0, 0.0)
    there = log_of(of_chain.start, [first])
    return (
        answer(of_chain, with_interval=False).log_probability
        - answer(there, with_interval=False).log_probability
    )


UMBRELLAS = [True, True, False, True, True]
WEATHER = [[0.7, 0.3], [0.3, 0.7]]


def test_the_umbrellas_are_filtered_and_smoothed() -> None:
    # Russell & Norvig, as in the tests of hmmlearn (test_base.py): log-likelihood -3.3725; filtered
    # and smoothed with hmmlearn. Rain brings an umbrella with .9, none with .2.
    shown = [seen_or_not(umbrella, 0.9, 0.2) for umbrella in UMBRELLAS]
    logs = [chain((0.5, 0.5), WEATHER, shown[:days]) for days in range(1, 6)]
    said = [answer(log, with_interval=False) for log in logs]
    filtered = [each.mean[0] for each in said]
    assert filtered == pytest.approx([0.8182, 0.8834, 0.1907, 0.7308, 0.8673], abs=5e-5)
    assert log_likelihood(logs[-1]) == pytest.approx(-3.3725, abs=5e-5)
    smoothed = [*means_through(logs[-1])[:, 0], filtered[-1]]
    assert smoothed == pytest.approx([0.8673, 0.8204, 0.3075, 0.8204, 0.8673], abs=5e-5)


def test_what_somebody_did_tells_the_weather() -> None:
    # hmmlearn, test_categorical_hmm.py: walk, shop, clean; log-likelihood -3.392872
    of_rain, of_sun = (0.1, 0.4, 0.5), (0.6, 0.3, 0.1)
    shown = [shown_as(np.array(each)) for each in zip(of_rain, of_sun, strict=True)]
    log = chain((0.6, 0.4), [[0.7, 0.3], [0.4, 0.6]], shown)
    assert log_likelihood(log) == pytest.approx(-3.392872, abs=5e-7)
    smoothed = [*means_through(log)[:, 0], answer(log, with_interval=False).mean[0]]
    assert smoothed == pytest.approx([0.23170303, 0.62406281, 0.86397706], abs=2e-7)


SITES = ("10110000", "11000000", "00000000", "00110000", "11100100", "00000011")


def test_six_sites_looked_at_twice_in_four_seasons() -> None:
    # unmarked, test_colext.R (MacKenzie et al. 2003, Ecology 84:2200-2207): its coefficients, at
    # which log L is -21.52140; site 3 after each season: worked out at the optimum beside them
    psi, gone, came, found = (
        1 / (1 + math.exp(-logit)) for logit in (0.1422577, 0.2100365, -1.4950576, 1.1998444)
    )
    moves = [[1 - gone, gone], [came, 1 - came]]

    def seasons(site: str) -> Log:
        visits = [seen_or_not(seen == "1", found, 0.0) for seen in site]
        begins, first = one_known(psi, 1 - psi)
        days = [LoggedDay(None, looks=(*first.looks, *visits[:2]))]
        days += [
            LoggedDay(step(np.array(moves)), looks=tuple(visits[at : at + 2]))
            for at in range(2, len(visits), 2)
        ]
        return log_of(begins, days)

    told = sum(log_likelihood(seasons(site)) for site in SITES)
    assert told == pytest.approx(-21.52140, abs=5e-6)
    blank = [answer(seasons("00" * n), with_interval=False).mean[0] for n in (1, 2, 3, 4)]
    assert blank == pytest.approx([0.058165, 0.013091, 0.012135, 0.012115], abs=5e-5)


def test_first_looks_are_a_gamma_poisson_update() -> None:
    start = Start(1.0, np.array([6.0]), 0.6)
    known, rest = absorb(start, [found_now(3, 0.5)])
    assert rest == ()
    assert (known.mean[0], known.shape) == pytest.approx((3.0, 3.6))
    with_finds = log_of(start, [LoggedDay(None, looks=(found_now(3, 0.5),))])
    assert chance_clean(with_finds) == pytest.approx(0.112806, abs=5e-7)
    known, _ = absorb(Start(0.15, np.array([6.0]), 0.6), [look(0.5)])
    assert (known.mean[0], known.shape) == pytest.approx((0.5, 0.6))
    assert known.infested == pytest.approx(0.056805, abs=5e-7)


ONE_AT_LEAST = one_at_least(np.array([3.0]), 0.5)
"""M 3, a .5: none at all in (1 + 3 / .5) ** -.5 = 7 ** -.5 = .377964 of such plants"""


def test_one_at_least_is_the_gamma_poisson_number_without_none() -> None:
    # P(n | n >= 1) = P(n) / (1 - .377964); P(1) = .377964 * .5 * 6/7 = .161985, by hand
    start = log_of(ONE_AT_LEAST, [LoggedDay(None)])
    assert chance_clean(start) == pytest.approx(0.0, abs=1e-15)
    left = left_distribution(start, np.array([1.0]))
    assert left[0] == pytest.approx(0.0, abs=1e-12)
    assert left[1] == pytest.approx(0.161985 / 0.622036, abs=2e-6)
    # mean 3 / .622036
    assert answer(start).mean.sum() == pytest.approx(4.822876, abs=5e-6)


def test_clean_looks_of_the_first_day_never_clear_a_plant_known_to_be_infested() -> None:
    # missed with .5: (1 + 1.5 / .5) ** -.5 = .5; psi = .5 / (.5 - .377964) = 4.09717
    known, rest = absorb(ONE_AT_LEAST, [look(0.5)])
    assert rest == ()
    assert known.infested == pytest.approx(4.097168, abs=5e-6)
    # (.5 - .377964) / (1 - .377964)
    assert known.log_factor == pytest.approx(math.log(0.196187), abs=5e-6)
    clean = log_of(ONE_AT_LEAST, [LoggedDay(None, looks=(look(0.5),) * 6)])
    assert chance_clean(clean) == pytest.approx(0.0, abs=1e-12)


def test_a_find_of_the_first_day_makes_what_was_known_before_it_no_news() -> None:
    # as any infested plant: M 3, a .5, p .5, two found: shape 2.5, mean 1.5 * 2.5 / 2 = 1.875
    seen = [LoggedDay(None, looks=(found_now(2, 0.5),))]
    known, _ = absorb(ONE_AT_LEAST, seen[0].looks)
    assert (known.infested, known.shape) == pytest.approx((1.0, 2.5))
    assert known.mean[0] == pytest.approx(1.875)
    usual = log_of(Start(0.25, np.array([3.0]), 0.5), seen)
    assert chance_clean(log_of(ONE_AT_LEAST, seen)) == pytest.approx(chance_clean(usual), rel=1e-12)


def test_one_at_least_dies_out_as_the_numbers_without_none_do() -> None:
    # each lives on with .4: (G(.6) - q) / (1 - q), G(.6) = (1 + 1.2 / .5) ** -.5 = .542326
    dying = step(np.array([[0.4]]))
    log = log_of(ONE_AT_LEAST, [LoggedDay(None), LoggedDay(dying)])
    assert chance_clean(log) == pytest.approx((0.542326 - 0.377964) / 0.622036, abs=2e-6)
    # a clean look with .5 the next day: unseen with .6 + .4 * .5 = .8, G(.8) = 2.2 ** -.5
    looked = log_of(ONE_AT_LEAST, [LoggedDay(None), LoggedDay(dying, looks=(look(0.5),))])
    unseen = (1 + 3 * 0.2 / 0.5) ** -0.5
    expected = (0.542326 - 0.377964) / (unseen - 0.377964)
    assert chance_clean(looked) == pytest.approx(expected, abs=5e-6)


def test_one_at_least_agrees_with_counting_every_number_out() -> None:
    """Summed over n = 1, 2, ...: the chance of n, seen with .3 on the first day and with .6 later.

    One insect more or less is a negative binomial number; what was found is taken off.
    """
    shape, mean, live, first, later = 0.5, 3.0, 0.7, 0.3, 0.6
    share = mean / (mean + shape)
    clean = any_ = 0.0
    for n in range(1, 400):
        log_chance = (
            math.lgamma(n + shape) - math.lgamma(shape) - math.lgamma(n + 1)
            + shape * math.log(1 - share) + n * math.log(share)
        )  # fmt: skip
        # no look of the first day saw one; each then died, or lived and was missed once more
        there = math.exp(log_chance) * (1 - first) ** n
        any_ += there * (1 - live * later) ** n
        clean += there * (1 - live) ** n
    days = [
        LoggedDay(None, looks=(look(first),)),
        LoggedDay(step(np.array([[live]])), looks=(look(later),)),
    ]
    start = one_at_least(np.array([mean]), shape)
    assert chance_clean(log_of(start, days)) == pytest.approx(clean / any_, rel=1e-10)


def test_a_clean_look_at_a_poisson_number() -> None:
    # What arrives is Poisson: clean with exp(-m (1 - p)) after a clean look.
    start = Start(0.0, np.array([1.0]), 1.0)
    log = log_of(start, [LoggedDay(None, arrivals=2.5, looks=(look(0.7),))])
    assert chance_clean(log) == pytest.approx(math.exp(-2.5 * 0.3), rel=1e-13)


@pytest.mark.parametrize(
    ("looks", "unseen"), [(1, 0.52), (2, 0.37792), (5, 0.205982), (10, 0.079483), (20, 0.011842)]
)
def test_an_insect_that_hides_stays_unseen(looks: int, unseen: float) -> None:
    # p .8 in reach, tucked share .4, exchange .3 a day; arithmetic on the two states.
    moves = step(np.array([[1 - 0.3 * 0.4, 0.3 * 0.4], [0.3 * 0.6, 1 - 0.3 * 0.6]]))
    start, first = one_known(0.6, 0.4)
    seen_once = LoggedDay(None, looks=(*first.looks, look(0.8, 0.0)))
    days = [LoggedDay(moves, looks=(look(0.8, 0.0),)) for _ in range(looks - 1)]
    before = answer(log_of(start, [first]), with_interval=False).log_probability
    after = answer(log_of(start, [seen_once, *days]), with_interval=False).log_probability
    assert math.exp(after - before) == pytest.approx(unseen, abs=5e-7)


@pytest.mark.parametrize(("daily", "found"), [(0.01, 0.4), (0.2, 0.8)])
def test_arrivals_alone_level_off(daily: float, found: float) -> None:
    # Poisson in and thinned: the number after a clean look tends to Poisson(h (1 - p) / p).
    start = Start(0.0, np.array([1.0]), 1.0)
    same = step(np.eye(1))
    days = [LoggedDay(same if at else None, daily, (look(found),)) for at in range(120)]
    expected = math.exp(-daily * (1 - found) / found)
    assert chance_clean(log_of(start, days)) == pytest.approx(expected, rel=1e-10)


@pytest.mark.parametrize(("survival", "eggs", "root"), [(0.9, 0.2, 0.579258), (0.5, 1.5, 0.781740)])
def test_a_line_dies_out_with_the_extinction_root(
    survival: float, eggs: float, root: float
) -> None:
    # x = 1 - s + s x exp(-f (1 - x)): the least root, Watson & Galton 1875 for this offspring.
    first = np.array([0], dtype=np.intp)
    lays = make_day(np.array([[[survival]]]), np.zeros(1), np.ones(1), first, first, eggs)
    start, known = one_known(1.0)
    log = log_of(start, [known, *[LoggedDay(lays) for _ in range(600)]])
    assert chance_clean(log) == pytest.approx(root, abs=5e-7)


def test_nobody_looking_what_is_there_and_what_comes_die_out_apart() -> None:
    # one insect lives on with .8 a day; h come a day: exp(-h (1 + .8 + ... + .8^13)) that none is
    start, first = one_known(1.0)
    found = unlooked(log_of(start, [first]), [step(np.array([[0.8]]))] * 14)
    alone = 1 - 0.8**14
    assert found.cleared == pytest.approx(alone, rel=1e-12)
    there = (1 - 0.8**14) / (1 - 0.8)
    for arrivals in (0.0, 0.001, 0.3):
        expected = alone * math.exp(-arrivals * there)
        assert found.chance_clean(arrivals) == pytest.approx(expected, rel=1e-12)


def test_nobody_looking_is_a_log_without_looks() -> None:
    dying = step(np.array([[0.9]]))
    days = [LoggedDay(None, looks=(found_now(2, 0.5), look(0.4)))]
    ahead = [*days, *([LoggedDay(dying, arrivals=0.05)] * 6)]
    start = Start(0.25, np.array([3.0]), 0.5)
    found = unlooked(log_of(start, days), [dying] * 6)
    assert found.chance_clean(0.05) == pytest.approx(chance_clean(log_of(start, ahead)), rel=1e-10)
