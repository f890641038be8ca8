"""Power series against plain sums over all pairs of coefficients."""

import math
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from rounds.core.inference.series import (
    constant,
    exp,
    exp_and_product,
    falling_powers,
    pairs,
    product,
    size,
    whole_power,
)

CAPS = [
    (),
    (3,),
    (2, 1),
    (3, 2, 1, 1),
    (5, 4, 3),
    (1,) * 7,
    (8, 8),
    (70,),
    (1,) * 8,
    (3, 2, 2, 2, 1),
]


def drawn(caps: tuple[int, ...], seed: int = 1) -> NDArray[Any]:
    return np.random.default_rng(seed).random((2, size(caps)))


def multiplied(a: NDArray[Any], b: NDArray[Any], caps: tuple[int, ...]) -> NDArray[Any]:
    shape = [cap + 1 for cap in caps]
    result = np.zeros(shape)
    for i in np.ndindex(*shape):
        for j in np.ndindex(*shape):
            if all(x + y <= cap for x, y, cap in zip(i, j, caps, strict=True)):
                power = tuple(x + y for x, y in zip(i, j, strict=True))
                result[power] += a.reshape(shape)[i] * b.reshape(shape)[j]
    return result.ravel()


@pytest.mark.parametrize("caps", CAPS, ids=str)
def test_a_product_sums_all_pairs_within_the_caps(caps: tuple[int, ...]) -> None:
    a, b = drawn(caps, 1), drawn(caps, 2)
    assert product(a, b, caps)[1] == pytest.approx(multiplied(a[1], b[1], caps), rel=1e-12)


@pytest.mark.parametrize("caps", [(4,), (3, 3, 3), (1,) * 8], ids=str)
def test_a_product_takes_complex_numbers_and_broadcasts_rows(caps: tuple[int, ...]) -> None:
    a, b = drawn(caps, 1), drawn(caps, 2)[:1]
    turned = product(a * 1j, b, caps)
    assert turned == pytest.approx(1j * product(a, np.repeat(b, 2, axis=0), caps), rel=1e-12)


@pytest.mark.parametrize("caps", CAPS, ids=str)
def test_exp_of_a_sum_is_the_product_of_exps(caps: tuple[int, ...]) -> None:
    a, b = drawn(caps, 1) / size(caps), drawn(caps, 2) / size(caps)
    both = exp(a + b, caps)
    assert product(exp(a, caps), exp(b, caps), caps) == pytest.approx(both, rel=1e-10)


@pytest.mark.parametrize("caps", [*CAPS, (9, 5)], ids=str)
def test_exp_and_a_product_with_it_are_as_each_alone(caps: tuple[int, ...]) -> None:
    a, b = drawn(caps, 1) / size(caps), drawn(caps, 2)
    found, multiplied_by = exp_and_product(a, b, caps)
    assert found == pytest.approx(exp(a, caps), rel=1e-12)
    assert multiplied_by == pytest.approx(product(b, exp(a, caps), caps), rel=1e-12)


def test_exp_in_one_variable_is_known() -> None:
    # exp(2 + 3 x): coefficients e^2 3^n / n!
    got = exp(np.array([2.0, 3.0, 0, 0, 0]), (4,))
    assert got == pytest.approx([math.exp(2) * 3**n / math.factorial(n) for n in range(5)])


@pytest.mark.parametrize("caps", CAPS, ids=str)
def test_falling_powers_multiply_as_powers_do(caps: tuple[int, ...]) -> None:
    base = -drawn(caps)
    base[:, 0] = 2 * size(caps)
    half, one_and_half = falling_powers(base, [0.5, 1.5], caps)
    whole = product(product(half, half, caps), base, caps)
    assert whole == pytest.approx(constant(1.0, base), abs=1e-12)
    tripled = product(product(half, half, caps), half, caps)
    assert tripled == pytest.approx(one_and_half, rel=1e-9)


def test_falling_powers_in_one_variable_are_negative_binomial() -> None:
    # (1 - q x) ** -r: coefficients Gamma(r + n) / (Gamma(r) n!) q^n
    r, q = 0.7, 0.4
    got = falling_powers(np.array([1.0, -q, 0, 0, 0, 0]), [r], (5,))[0]
    expected = [math.gamma(r + n) / math.gamma(r) / math.factorial(n) * q**n for n in range(6)]
    assert got == pytest.approx(expected, rel=1e-13)


@pytest.mark.parametrize("power", [0, 1, 2, 5])
def test_a_whole_power_is_a_repeated_product(power: int) -> None:
    caps, base = (3, 2), drawn((3, 2))
    expected = constant(1.0, base)
    for _ in range(power):
        expected = product(expected, base, caps)
    assert whole_power(base, power, caps) == pytest.approx(expected, rel=1e-12)


def test_pairs_are_those_that_stay_within_the_caps() -> None:
    caps = (3, 2, 1)
    shape = [cap + 1 for cap in caps]
    within = [
        (i, j)
        for i in np.ndindex(*shape)
        for j in np.ndindex(*shape)
        if all(x + y <= cap for x, y, cap in zip(i, j, caps, strict=True))
    ]
    assert pairs(caps) == len(within)


def test_long_sums_of_small_chances_keep_their_digits() -> None:
    # 60 factors of 1e-4: the coefficient of x^60 of (1e-4 x + 1)^60 is 1e-240.
    base = np.zeros(61)
    base[0], base[1] = 1.0, 1e-4
    assert whole_power(base, 60, (60,))[-1] == pytest.approx(1e-240, rel=1e-12)
