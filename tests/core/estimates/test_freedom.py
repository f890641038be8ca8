"""Freedom from infestation, sample sizes and clean visits agree with what was published."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import hypergeom

from rounds.core.estimates.freedom import (
    approximate_sample,
    binomial_sample,
    clean_visits,
    freedom,
    hypergeometric_sample,
    plateau,
)

# ISPM 31 (FAO/IPPC 2008), Table 1, 95 % confidence, efficacy 100 %; by lot, at 5, 2, 1, .5 and
# .1 %. From memory, recomputed with scipy's hypergeometric distribution.
ISPM_95 = {
    25: (24,), 50: (39, 48), 100: (45, 78, 95), 200: (51, 105, 155, 190),
    300: (54, 117, 189, 285), 400: (55, 124, 211, 311), 500: (56, 129, 225, 388),
    600: (56, 132, 235, 379), 700: (57, 134, 243, 442), 800: (57, 136, 249, 421),
    900: (57, 137, 254, 474), 1000: (57, 138, 258, 450, 950),
    2000: (58, 143, 277, 517, 1553), 5000: (59, 147, 290, 564, 2253),
    10000: (59, 148, 294, 581, 2588), 100000: (59, 149, 298, 596, 2950),
    200000: (59, 149, 298, 597, 2972),
}  # fmt: skip
ISPM_99 = {
    25: (25,), 50: (45, 50), 100: (59, 90, 99), 200: (73, 136, 180, 198),
    300: (78, 160, 235, 297), 400: (81, 174, 273, 360), 500: (83, 183, 300, 450),
    1000: (86, 204, 368, 601, 990), 10000: (90, 226, 448, 878, 3689),
    200000: (90, 228, 458, 917, 4551),
}  # fmt: skip
LEVELS = (0.05, 0.02, 0.01, 0.005, 0.001)

# ISPM 31, binomial table with imperfect efficacy; from memory, recomputed.
BINOMIAL_95 = {
    1.0: (59, 149, 299, 598, 2995), 0.99: (60, 150, 302, 604, 3025),
    0.95: (62, 157, 314, 630, 3152), 0.90: (66, 165, 332, 665, 3328),
    0.85: (69, 175, 351, 704, 3523), 0.80: (74, 186, 373, 748, 3744),
    0.75: (79, 199, 398, 798, 3993), 0.50: (119, 299, 598, 1197, 5990),
    0.25: (239, 598, 1197, 2396, 11982), 0.10: (598, 1497, 2995, 5990, 29956),
}  # fmt: skip
BINOMIAL_99 = {
    1.0: (90, 228, 459, 919, 4603), 0.8: (113, 286, 574, 1149, 5755),
    0.5: (182, 459, 919, 1840, 9209),
}  # fmt: skip


@pytest.mark.parametrize(
    ("confidence", "table"), [(0.95, ISPM_95), (0.99, ISPM_99)], ids=["95", "99"]
)
def test_samples_of_a_lot_agree_with_ispm_31(
    confidence: float, table: dict[int, tuple[int, ...]]
) -> None:
    for units, row in table.items():
        got = [
            hypergeometric_sample(units, level, confidence).samples for level in LEVELS[: len(row)]
        ]
        assert tuple(got) == row, units


@pytest.mark.parametrize(
    ("confidence", "table"), [(0.95, BINOMIAL_95), (0.99, BINOMIAL_99)], ids=["95", "99"]
)
def test_samples_without_a_lot_agree_with_ispm_31(
    confidence: float, table: dict[float, tuple[int, ...]]
) -> None:
    for efficacy, row in table.items():
        got = [binomial_sample(level, confidence, efficacy).samples for level in LEVELS]
        assert tuple(got) == row, efficacy


# Package epiR (cran/epiR): surveillance vignette, examples 1, 3 and 14; help page of rsu.sssep.rs,
# examples 1 to 3. Units, prevalence, sensitivity, samples at 95 %.
EPIR = [
    (500, 0.05, 0.90, 63),
    (1000, 0.05, 0.90, 65),
    (20000, 0.005, 0.90, 656),
    (200, 0.20, 1.0, 15),
    (5000, 0.08, 0.995, 38),
    (193000, 10 / 100000, 0.85, 31586),
]


@pytest.mark.parametrize(("units", "prevalence", "sensitivity", "samples"), EPIR)
def test_approximate_samples_agree_with_epir(
    units: int, prevalence: float, sensitivity: float, samples: int
) -> None:
    assert approximate_sample(units, prevalence, 0.95, sensitivity).samples == samples


def test_without_a_known_lot_epir_agrees() -> None:
    # epiR surveillance vignette, example 1; rsu.sep.rs, example 1: 300 units find with .942938
    assert binomial_sample(0.05, 0.95, 0.90).samples == 66
    assert binomial_sample(0.01, 0.9429, 0.95).samples == 300
    assert binomial_sample(0.01, 0.9430, 0.95).samples == 301


def test_thirty_of_a_small_lot_find_as_often_as_epir_says() -> None:
    # epiR, rsu.sep.rs, example 2: 30 of so many, one of which is infested, seen with .95
    of_lot = {80: 0.3562, 85: 0.3352, 90: 0.3166, 95: 0.3000, 100: 0.2850}
    for units, found in of_lot.items():
        assert approximate_sample(units, 0.01, found, 0.95).samples == 30


@pytest.mark.parametrize(
    ("prior", "prevalence", "sensitivity", "samples"),
    # epiR: rsu.sspfree.rs; surveillance vignette, example 1. Introductions .01, wanted .95.
    [(0.75, 0.01, 0.95, 198), (0.50, 0.05, 0.90, 65)],
)
def test_samples_that_make_a_lot_free_enough_are_those_of_epir(
    prior: float, prevalence: float, sensitivity: float, samples: int
) -> None:
    found = (1 - prior * 0.99 / 0.95) / (1 - prior * 0.99)
    assert list(freedom(prior, [0.01], found)) == pytest.approx([0.95])
    assert binomial_sample(prevalence, found, sensitivity).samples == samples


# Package RSurveillance, documented output of n.hypergeo: lots at 1 %, 95 %; then 5 of 100.
def test_approximate_samples_agree_with_rsurveillance() -> None:
    lots = {100: 95, 200: 156, 500: 226, 1000: 259, 10000: 296}
    assert {n: approximate_sample(n, 0.01, 0.95).samples for n in lots} == lots
    sure = {0.5: 13, 0.8: 28, 0.9: 37, 0.95: 46}
    assert {c: approximate_sample(100, 0.05, c).samples for c in sure} == sure


def test_what_a_sample_misses_agrees_with_a_text_of_veterinary_practice() -> None:
    # 10 % infested, 22 samples: missed with chance .098 (Beef Practice, cow-calf, p. 48)
    assert binomial_sample(0.10, 1 - 0.0985).samples == 22
    assert binomial_sample(0.10, 1 - 0.0984).samples == 23


def test_a_sample_of_plants_agrees_with_mcsorley_and_littell() -> None:
    # McSorley & Littell 1993, Nematropica 23:177-181, abstract: 5 % infested
    assert [binomial_sample(0.05, c).samples for c in (0.95, 0.99)] == [59, 90]


@given(st.integers(1, 300), st.floats(0.01, 1), st.floats(0.5, 0.999), st.floats(0.05, 1))
def test_an_exact_sample_is_the_smallest_that_is_enough(
    units: int, prevalence: float, confidence: float, sensitivity: float
) -> None:
    found = hypergeometric_sample(units, prevalence, confidence, sensitivity)
    assert found.infested_units is not None

    def missed(samples: int) -> float:
        among = np.arange(found.infested_units + 1)  # type: ignore[operator]
        chances = hypergeom(units, found.infested_units, samples).pmf(among)
        return float(chances @ (1 - sensitivity) ** among)

    if found.samples is None:
        assert missed(units) > (1 - confidence) * (1 - 1e-6)
    else:
        assert missed(found.samples) <= (1 - confidence) * (1 + 1e-6)
        assert found.samples == 1 or missed(found.samples - 1) > (1 - confidence) * (1 - 1e-6)


def test_more_is_needed_than_there_are_where_the_eye_is_too_poor() -> None:
    # all 40 looked at miss the 4 infested ones with chance .7 ** 4 = .24
    assert hypergeometric_sample(40, 0.1, 0.95, 0.3).samples is None


def test_freedom_agrees_with_the_package_rsurveillance() -> None:
    # RSurveillance, documented output of pfree.calc (Sergeant)
    (chance,) = freedom(0.5, [0.01], 0.8)
    assert chance == pytest.approx(0.8305369, abs=5e-8)
    assert plateau(0.01, 0.8) == pytest.approx(0.9974747, abs=5e-8)
    # the same, nothing having come in before the first period
    assert list(freedom(0.5, [0.0], 0.8)) == pytest.approx([0.8333333], abs=5e-8)


def test_the_sensitivity_that_keeps_a_plateau_is_that_of_epir() -> None:
    # epiR, rsu.pfree.equ, example 2: .10 comes in, above .95 is wanted, in steps of .01: .69
    assert plateau(0.10, 0.68) < 0.95 < plateau(0.10, 0.69)


def test_blanks_at_a_site_say_what_an_occupancy_model_says() -> None:
    # MacKenzie et al. 2006, p. 99 (psi .5946, p .2587): after five blanks .2472, by its formula
    *_, free = freedom(1 - 0.5946, [0.0] * 5, 0.2587)
    assert 1 - free == pytest.approx(0.2472, abs=5e-5)


def test_freedom_is_the_filter_of_a_hidden_markov_chain() -> None:
    # hmmlearn, CategoricalHMM.predict_proba, last row, period by period; recomputed
    expected = [0.706052, 0.848830, 0.925194, 0.960463, 0.975643, 0.981978, 0.984587, 0.985656,
                0.986093]  # fmt: skip
    assert list(freedom(0.5, [0.02] * 9, 0.6)) == pytest.approx(expected, abs=5e-7)


def test_freedom_follows_what_comes_in_month_by_month() -> None:
    # inputs: epiR surveillance vignette, example 7; values worked out from the formula
    comes_in = [0.01, 0.01, 0.01, 0.02, 0.04, 0.10, 0.10, 0.10, 0.08, 0.06, 0.04, 0.02]
    expected = [0.736881, 0.885134, 0.952912, 0.975809, 0.976923, 0.954130, 0.945551, 0.942256,
                0.948993, 0.959368, 0.970851, 0.982448]  # fmt: skip
    assert list(freedom(0.5, comes_in, 0.65)) == pytest.approx(expected, abs=5e-7)


@pytest.mark.parametrize(("sensitivity", "expected"), [(0.18, 0.91), (0.63, 1.00), (0.86, 1.00)])
def test_a_year_without_a_find_agrees_with_martin(sensitivity: float, expected: float) -> None:
    # Martin, Cameron & Greiner 2007 part 2, Prev Vet Med, abstract. Prior and introductions are
    # not given there: .5 and .001 a month are assumed, hence the tolerance.
    *_, last = freedom(0.5, [0.001] * 12, sensitivity)
    assert last == pytest.approx(expected, abs=0.01)


@given(st.floats(0.001, 0.5), st.floats(0.01, 1), st.floats(0.01, 1))
def test_freedom_tends_to_its_plateau(
    introduction: float, sensitivity: float, prior: float
) -> None:
    # near equality of the two it creeps
    if abs(introduction - sensitivity) < 0.05:
        return
    *_, last = freedom(prior, [introduction] * 3000, sensitivity)
    assert last == pytest.approx(plateau(introduction, sensitivity, prior), abs=1e-6)


def test_the_ends_of_freedom() -> None:
    assert list(freedom(0.0, [0.0] * 2, 1.0)) == [0.0, 0.0]
    assert list(freedom(0.3, [0.0] * 2, 0.0)) == [0.3, 0.3]
    assert plateau(0.0, 0.0, 0.3) == 0.3
    assert plateau(0.0, 0.4, 0.3) == 1.0
    assert plateau(0.5, 0.4) == 0.0


@pytest.mark.parametrize(
    ("presence", "detection", "residual", "exact", "visits"),
    [(0.5, 0.5, 0.05, 4.248, 5), (0.5, 0.3, 0.05, 8.255, 9), (0.8, 0.3, 0.05, 12.142, 13),
     (0.2, 0.3, 0.05, 4.369, 5), (0.5, 0.3, 0.01, 12.883, 13)],
)  # fmt: skip
def test_clean_visits_follow_the_formula_of_wintle(
    presence: float, detection: float, residual: float, exact: float, visits: int
) -> None:
    # formula: Wintle et al. 2012, Divers Distrib 18:417-424; values worked out from it
    found = clean_visits(detection, presence, residual)
    assert found.exact == pytest.approx(exact, abs=5e-4)
    assert found.visits == visits


def test_clean_visits_agree_with_durso() -> None:
    # Durso, Willson & Winne 2011, Biol Conserv 144:1508-1515: detection .46, 5 visits at .05.
    # No prior enters there: odds of one to one, and a chance .05 / 1.05 afterwards, are the same.
    assert clean_visits(0.46, 0.5, 0.05 / 1.05).visits == 5


def test_clean_visits_without_a_prior_are_those_of_mcardle_and_of_hanley() -> None:
    # McArdle 1990, Oikos 57:276-277, and Reed 1996: ln .05 / ln (1 - p), worked out from it
    visits = {0.05: 59, 0.1: 29, 0.2: 14, 0.3: 9, 0.5: 5, 0.6: 4, 0.7: 3, 0.8: 2, 0.9: 2}
    assert {p: clean_visits(p, 0.5, 0.05 / 1.05).visits for p in visits} == visits
    # Hanley & Lippman-Hand 1983, JAMA 249:1743-1745: none of n, 95 % bound 1 - .05 ** (1 / n)
    bounds = {0.258866: 10, 0.139108: 20, 0.095034: 30, 0.058155: 50, 0.029513: 100}
    for bound, number in bounds.items():
        exact = clean_visits(bound, 0.5, 0.05 / 1.05).exact
        assert exact == pytest.approx(number, abs=0.002)


@given(st.floats(0.01, 0.99), st.floats(0.01, 0.99), st.floats(0.001, 0.5))
def test_after_as_many_visits_the_chance_is_low_enough(
    detection: float, presence: float, residual: float
) -> None:
    visits = clean_visits(detection, presence, residual).visits

    def after(number: int) -> float:
        missed = presence * (1 - detection) ** number
        return missed / (missed + 1 - presence)

    assert after(visits) <= residual * (1 + 1e-6)
    assert visits == 0 or after(visits - 1) > residual * (1 - 1e-6)


def test_a_visit_that_misses_nothing_is_enough() -> None:
    assert clean_visits(1.0, 0.9, 0.01).visits == 1
    assert clean_visits(0.5, 0.01, 0.05) == clean_visits(1.0, 0.01, 0.05)
    assert math.isclose(clean_visits(0.5, 0.01, 0.05).exact, 0.0)
