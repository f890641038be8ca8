"""A growing colony is told from stragglers, and from longer looks; the sums are the published."""

import math
from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from rounds.core.estimates.growth import DayCounted, Growth, cusum, fitted, growth_of
from rounds.core.parameters import AlarmRules
from rounds.service.logbook.parameters import load_parameters

FIRST = date(2026, 5, 4)
RULES = load_parameters().alarm


def looked(
    counts: Sequence[int], efforts: Sequence[float] | float = 1.0, every_days: int = 1
) -> list[DayCounted]:
    each = [efforts] * len(counts) if isinstance(efforts, float) else efforts
    return [
        DayCounted(FIRST + timedelta(number * every_days), count, effort)
        for number, (count, effort) in enumerate(zip(counts, each, strict=True))
    ]


def alarms(looks: Sequence[DayCounted], rules: AlarmRules = RULES) -> list[int]:
    """The looks, counted from 1, after which the alarm stands."""
    told = [growth_of(looks[:number], rules) for number in range(1, len(looks) + 1)]
    return [number for number, of in enumerate(told, 1) if of is not None and of.alarm_on]


def test_growth_agrees_with_the_poisson_regression_of_aids_in_belgium() -> None:
    # Wood, Generalized Additive Models: cases by year; data read in public course code, figures
    # from memory, recomputed: slope .202121 (.007771), intercept 3.140590, deviances 872.206 and
    # 80.686, doubling 3.43
    cases = [12, 14, 33, 50, 67, 74, 123, 141, 165, 204, 253, 246, 240]
    found = fitted(looked(cases))
    assert found.rate == pytest.approx(0.2021212, abs=5e-8)
    assert math.log(2) / found.rate == pytest.approx(3.43, abs=0.005)
    # where so many were counted the likelihood-ratio interval is nearly the normal one
    reach = 1.959964 * 0.007771
    assert (found.low, found.high) == pytest.approx(
        (found.rate - reach, found.rate + reach), abs=2e-4
    )
    weights = [math.exp(found.rate * year) for year in range(1, 14)]
    level = sum(cases) / sum(weights)
    assert math.log(level) == pytest.approx(3.140590, abs=5e-6)
    fits = [level * weight for weight in weights]
    assert deviance(cases, fits) == pytest.approx(80.686, abs=5e-4)
    assert deviance(cases, [sum(cases) / 13] * 13) == pytest.approx(872.206, abs=5e-4)


def deviance(counts: Sequence[int], fits: Sequence[float]) -> float:
    pairs = zip(counts, fits, strict=True)
    return 2 * sum(count * math.log(count / fit) - (count - fit) for count, fit in pairs)


def test_effort_is_an_offset() -> None:
    # twice the effort with twice the finds is the same rate: 0
    flat = fitted(looked([3, 6, 12], [0.5, 1.0, 2.0]))
    assert flat.rate == pytest.approx(0, abs=1e-9)
    assert flat.low < 0 < flat.high
    # and finds that double each week grow by ln 2 / 7 a day
    assert fitted(looked([4, 8, 16], 0.7, 7)).rate == pytest.approx(math.log(2) / 7)


def test_the_sum_agrees_with_lucas_and_crosier() -> None:
    # Lucas & Crosier 1982, Technometrics 24:199-205, Table 5, as in Six Sigma Advanced Tools,
    # Table 24.1: K .5, a signal at 5 with the seventh
    values = [0.8, 1.9, 1.4, 2.0, 1.1, 0.7, 2.6]
    sums = cusum([(value, 1.0) for value in values], 0.5)
    assert sums == pytest.approx([0.3, 1.7, 2.6, 4.1, 4.7, 4.9, 7.0])


def test_the_sum_agrees_with_montgomery_and_runger() -> None:
    # Montgomery & Runger, Applied Statistics and Probability for Engineers, Table 16-8: target 99,
    # K 1; the lower sum is that of the differences the other way round
    values = [102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1,
              98.4, 97.0, 96.7, 100.3, 101.4, 97.2, 101.0]  # fmt: skip
    upper = [2.0, 0, 0, 0, 2.0, 0.5, 0, 0, 0, 0, 1.3, 0, 1.1, 0, 0, 0, 0.3, 1.7, 0, 1.0]
    lower = [0, 3.2, 2.9, 2.5, 0, 0, 0, 0.3, 0, 0, 0, 0, 0, 0, 1.0, 2.3, 0, 0, 0.8, 0]
    assert cusum([(value - 99, 1.0) for value in values], 1) == pytest.approx(upper)
    assert cusum([(99 - value, 1.0) for value in values], 1) == pytest.approx(lower)


def test_the_sum_agrees_with_the_handbook_of_nist() -> None:
    # NIST/SEMATECH e-Handbook 6.3.2.3, from memory: target 325, k .3175, h 4.1959
    values = [324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225,
              324.600, 324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775,
              326.875, 328.350]  # fmt: skip
    sums = cusum([(value - 325, 1.0) for value in values], 0.3175)
    printed = [3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04]
    assert sums[12:] == pytest.approx(printed, abs=0.0051)
    assert next(number for number, total in enumerate(sums, 1) if total >= 4.1959) == 14


def test_the_reference_is_that_of_stragglers_and_a_colony_of_three() -> None:
    # Lucas 1985: (mu1 - mu0) / (ln mu1 - ln mu0); with mu0 .52 and mu1 1.563777 it is .948: Rossi,
    # Lampugnani & Marchi 1999, Stat Med 18:2111-2122, help page of the package spc
    def between(stragglers: float, colony: float) -> float:
        return (colony - stragglers) / math.log(colony / stragglers)

    assert between(0.52, 1.563777) == pytest.approx(0.948, abs=5e-7)
    assert RULES.reference == pytest.approx(between(RULES.mean, 3.0), abs=0.05)


@pytest.mark.parametrize("effort", [0.1, 0.3, 1.0])
@pytest.mark.parametrize("every_days", [1, 7])
def test_a_colony_that_grows_is_told_by_the_fifth_look(effort: float, every_days: int) -> None:
    raised = alarms(looked([2, 3, 5, 9, 14], effort, every_days))
    assert raised[-1] == 5
    assert raised[0] == 4


@pytest.mark.parametrize("effort", [0.05, 0.3, 1.0, 3.0])
def test_stragglers_are_never_an_alarm(effort: float) -> None:
    assert alarms(looked([2, 1, 0, 1, 0], effort)) == []


@pytest.mark.parametrize("complete_seconds", [10, 15, 60, 180, 360])
def test_what_longer_looks_find_more_is_never_an_alarm(complete_seconds: float) -> None:
    efforts = [seconds / complete_seconds for seconds in (15, 22, 38, 68, 105)]
    assert alarms(looked([2, 3, 5, 7, 10], efforts)) == []


def test_what_was_found_at_once_and_falls_is_no_alarm() -> None:
    assert alarms(looked([30, 12, 5, 3, 1, 0, 0])) == []
    # many, week after week, that stay as many
    assert alarms(looked([12, 13, 11, 12, 12], 1.0, 7)) == []


def test_a_colony_that_comes_back_is_told_from_its_last_look_without_a_find() -> None:
    told = growth_of(looked([30, 4, 0, 0, 1, 2, 5, 9]), RULES)
    assert told is not None
    assert told.since == FIRST + timedelta(3)
    assert told.alarm_on == FIRST + timedelta(7)


def test_an_alarm_stands_until_the_finds_rise_no_more() -> None:
    assert alarms(looked([2, 3, 5, 9, 10, 9, 3, 1])) == [4, 5, 6, 7]
    assert alarms(looked([2, 3, 5, 9, 5, 2, 2, 2])) == [4, 5, 6]


def test_too_few_looks_with_finds_tell_nothing() -> None:
    assert growth_of([], RULES) is None
    assert growth_of(looked([0, 4, 40]), RULES) is None
    with pytest.raises(ValueError, match="fewer than two days"):
        fitted(looked([0, 4, 0]))


def test_counts_of_no_effort_are_left_out() -> None:
    looks = looked([2, 3, 5, 9, 99], [1.0, 1.0, 1.0, 1.0, 0.0])
    assert growth_of(looks, RULES) == growth_of(looks[:4], RULES)


def test_the_interval_is_where_the_likelihood_ratio_is_at_its_limit() -> None:
    run = looked([1, 0, 2, 3, 2, 6], [0.5, 1, 0.8, 1, 0.3, 1], 3)
    found = fitted(run)

    def log_likelihood(rate: float) -> float:
        days = [3 * number for number in range(6)]
        weights = [of.effort * math.exp(rate * day) for of, day in zip(run, days, strict=True)]
        return sum(
            of.found * math.log(weight / sum(weights))
            for of, weight in zip(run, weights, strict=True)
        )

    best = log_likelihood(found.rate)
    for near in (-1e-4, 1e-4):
        assert log_likelihood(found.rate + near) < best
    for end in (found.low, found.high):
        assert 2 * (best - log_likelihood(end)) == pytest.approx(3.841459, abs=1e-5)


def test_what_is_told_of_a_rise_is_its_doubling() -> None:
    told = growth_of(looked([2, 4, 8, 16]), RULES)
    assert isinstance(told, Growth)
    assert told.is_rising
    assert told.doubling_days == pytest.approx(1.0)
    fell = growth_of(looked([16, 8, 4, 2]), RULES)
    assert fell is not None
    assert (fell.is_falling, fell.doubling_days, fell.alarm_on) == (True, None, None)
