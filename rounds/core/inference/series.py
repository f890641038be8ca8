"""Power series in several variables, each cut at a cap of its own.

A series is an array whose last axis holds the C = (k_1 + 1) ... (k_J + 1) coefficients, the first
variable slowest. All sums here are of products of one sign as long as coefficients are, so nothing
cancels. Axes before the last are rows, computed side by side.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import prod
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[Any]
"""float64; complex128 where the generating function is evaluated on the unit circle"""
Places = NDArray[np.intp]
Caps = tuple[int, ...]

INNER = 24
"""most coefficients multiplied as one small matrix; measured"""
MANY = 8
"""cap of the first variable from which `exp` makes matrices of its terms; measured"""
LONG = 60
"""cap of a single variable from which rows are convolved one by one; measured"""


def size(caps: Caps) -> int:
    """C, the number of coefficients."""
    return prod(cap + 1 for cap in caps)


def pairs(caps: Caps) -> int:
    """Products of coefficients in one product of series; the cost of a day grows with it."""
    return prod((cap + 1) * (cap + 2) // 2 for cap in caps)


def product(left: Array, right: Array, caps: Caps) -> Array:
    """The product, cut at the caps. Rows are broadcast: (..., C) and (..., C) to (..., C)."""
    if not caps:
        return left * right
    if left.shape != right.shape:
        left, right = np.broadcast_arrays(left, right)
    a, b = (x.reshape(-1, x.shape[-1]) for x in (left, right))
    is_long = len(caps) == 1 and caps[0] >= LONG
    done = _convolved(a, b) if is_long else _blocks(a[None], b, caps)
    return done.reshape(left.shape)


def products(several: Array, by: Array, caps: Caps) -> Array:
    """The products of several rows each by one and the same: (K, R, C) and (R, C) to (K, R, C)."""
    if not caps or (len(caps) == 1 and caps[0] >= LONG):
        return np.stack([product(one, by, caps) for one in several])
    return _blocks(several, by, caps)


def exp(exponent: Array, caps: Caps) -> Array:
    """exp of a series, by the recurrence n E_n = sum m S_m E_(n - m).

    n and m are powers of one variable: of each coefficient the first it has any power of. Of few
    coefficients it is the sum of powers, cut where all products are.
    """
    if not caps:
        return np.exp(exponent)
    rows = exponent.reshape(-1, exponent.shape[-1])
    if size(caps) <= INNER and sum(caps) < MANY:
        return _exp_by_powers(rows, caps).reshape(exponent.shape)
    cap, rest = caps[0], caps[1:]
    if cap < MANY or size(rest) > INNER:
        alone: Array = _exp_and_products(rows, (), caps)[0]
        return alone.reshape(exponent.shape)
    s = exponent.reshape(*exponent.shape[:-1], cap + 1, -1)
    result = np.empty_like(s)
    result[..., 0, :] = exp(s[..., 0, :], rest)
    _exp_by_matrices(s[..., 1:, :] * np.arange(1.0, cap + 1)[:, None], result, rest)
    return result.reshape(exponent.shape)


def _exp_by_powers(rows: Array, caps: Caps) -> Array:
    """exp of rows (R, C): that of the constant term, times a sum that no power beyond adds to."""
    varying = np.zeros((len(rows), rows.shape[1] + 1), dtype=rows.dtype)
    varying[:, 1:-1] = rows[:, 1:]
    by_varying = varying.take(_whole(caps), axis=1)
    start: Array = np.zeros((len(rows), 1, rows.shape[1]), dtype=rows.dtype)
    start[..., 0] = np.exp(rows[:, :1])
    # Horner: 1 + S (1 + S / 2 (1 + S / 3 ...))
    found = start
    for power in range(sum(caps), 0, -1):
        found = np.matmul(found, by_varying)
        found /= power
        found += start
    result: Array = found[:, 0]
    return result


def _exp_by_matrices(terms: Array, result: Array, rest: Caps) -> None:
    """Fill all but the first term of `result` by that recurrence, as products with matrices."""
    cap, inner = terms.shape[-2:]
    padded = np.concatenate([terms, np.zeros_like(terms[..., :1])], axis=-1)
    table = _whole(rest) if rest else np.zeros((1, 1), dtype=np.intp)
    matrices = np.ascontiguousarray(padded[..., ::-1, :][..., table])
    matrices = matrices.reshape(*terms.shape[:-2], cap * inner, inner)
    flat = result.reshape(*result.shape[:-2], 1, -1)
    for n in range(1, cap + 1):
        # the last n terms of the reversed order meet E_0 ... E_(n - 1)
        met = np.matmul(flat[..., : n * inner], matrices[..., (cap - n) * inner :, :])
        flat[..., n * inner : (n + 1) * inner] = met / n


def exp_and_product(exponent: Array, factor: Array, caps: Caps) -> tuple[Array, Array]:
    """exp of a series, and its product with another of the same shape (..., C).

    Each outer place of the exponential meets the places of both at once: the small matrices that
    it makes are made once, and half as many products with them are asked for.
    """
    if len(caps) < 2 or size(caps) <= INNER:
        result = exp(exponent, caps)
        return result, product(factor, result, caps)
    rows = (each.reshape(-1, each.shape[-1]) for each in (exponent, factor))
    result, multiplied = _exp_and_products(next(rows), tuple(rows), caps)
    return result.reshape(exponent.shape), multiplied.reshape(exponent.shape)


def _exp_and_products(exponent: Array, factors: tuple[Array, ...], caps: Caps) -> Array:
    """exp of rows (R, C), and its products with others: (1 + K, R, C).

    From each outer place of the exponential, as it becomes known, to all that it adds to.
    """
    table = _table(caps, 1)
    rows, inner = len(exponent), len(table.inner)
    given = np.stack([exponent, *factors], axis=1).reshape(rows, -1, *table.outer, inner)
    terms = given[:, 0]
    origin = table.places[0].at
    constant_term = exp(given[origin], caps[table.split :])
    terms *= table.powers
    result: Array = np.zeros_like(given)
    result[origin] = constant_term
    padded = np.zeros((rows, inner + 1), dtype=exponent.dtype)
    matrices = np.empty((rows, inner, inner), dtype=exponent.dtype)
    for place in table.places:
        known = result[place.at]
        known /= place.power
        if place.passed is not None:
            # powers of a later variable alone add to no place after
            given[place.passed] = 0
        padded[:, :inner] = known
        _take(padded, table.inner, matrices)
        _add_products(given, matrices, place, result)
    return result.swapaxes(0, 1).reshape(-1, rows, exponent.shape[1])


def _take(padded: Array, inner: Places, matrices: Array) -> None:
    """The coefficients (R, I + 1) of one place as matrices (R, I, I), into memory at hand.

    Asking for as much anew at each place takes as long as filling it.
    """
    # no place lies outside; with "raise" numpy would fill other memory first
    np.take(padded, inner, axis=1, out=matrices, mode="clip")


def _add_products(given: Array, matrices: Array, place: "_Place", result: Array) -> None:
    """Add to `result` what series (R, K, ..., I) make with one place of a second factor.

    The coefficients of that place are there as matrices (R, I, I).
    """
    rows, inner = matrices.shape[:2]
    met = given[place.taken]
    found = np.matmul(met.reshape(rows, -1, inner), matrices)
    added_to = result[place.given]
    added_to += found.reshape(met.shape)


def falling_powers(base: Array, powers: Sequence[float], caps: Caps) -> Array:
    """base ** -power for each power: (..., C) to (P, ..., C).

    The constant term of the base must be above 0 and the others at most 0, which makes every
    coefficient of the result a sum of positive terms.
    """
    result = _powers(base, np.asarray([*powers, 1.0]), caps)
    return result[:-1]


def whole_power(base: Array, power: int, caps: Caps) -> Array:
    """base ** power for a whole power of 0 or more."""
    result = constant(1.0, base)
    while power:
        if power & 1:
            result = product(result, base, caps)
        power >>= 1
        if power:
            base = product(base, base, caps)
    return result


def constant(value: float, like: Array) -> Array:
    """The series that is only a number, shaped and typed as another."""
    result = np.zeros_like(like)
    result[..., 0] = value
    return result


def _powers(base: Array, powers: NDArray[np.float64], caps: Caps) -> Array:
    """As `falling_powers`; the last of the powers is 1, as the recursion needs the inverse."""
    if not caps:
        return base ** -powers.reshape(-1, *([1] * base.ndim))
    cap, rest = caps[0], caps[1:]
    b = base.reshape(*base.shape[:-1], cap + 1, -1)
    result = np.empty((len(powers), *b.shape), dtype=base.dtype)
    result[..., 0, :] = _powers(b[..., 0, :], powers, rest)
    inverse = result[-1, ..., 0, :]
    power = powers.reshape(-1, *([1] * b.ndim))
    for n in range(1, cap + 1):
        m = np.arange(1.0, n + 1)[:, None]
        terms = product(-b[..., 1 : n + 1, :], result[..., n - 1 :: -1, :][..., :n, :], rest)
        total = ((power * m + (n - m)) * terms).sum(axis=-2)
        result[..., n, :] = product(inverse, total, rest) / n
    return result.reshape(len(powers), *base.shape)


_Index = tuple[int | slice, ...]
ALL = slice(None)


@dataclass(frozen=True, slots=True)
class _Place:
    """One outer place of a second factor: indices of arrays (R, K, *outer, I) of series."""

    at: _Index
    """of the place itself, in the first of the K series"""
    taken: _Index
    """of the first factors: the places that fit"""
    given: _Index
    """of the products: where these add to"""
    power: int
    """of the first variable that it has any power of; 1 for none"""
    passed: _Index | None
    """the terms of an exponent that come before this place alone; None where those before did"""


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """Indices of a product: the last variables as small matrices, the others term by term."""

    split: int
    """number of the first of the last variables"""
    outer: tuple[int, ...]
    """lengths of the axes of the others"""
    inner: Places
    """(I, I): which coefficient of the second factor takes one of the first (row) to one of the
    product (column); I, a place kept at zero, where none does"""
    places: tuple[_Place, ...]
    powers: NDArray[np.float64]
    """(*outer, 1): of each place the power of the first variable that it has any of"""


@lru_cache(maxsize=512)
def _table(caps: Caps, least_outer: int = 0) -> _Table:
    split = max(len(caps) - 1, least_outer)
    while split > least_outer and size(caps[split - 1 :]) <= INNER:
        split -= 1
    outer = tuple(cap + 1 for cap in caps[:split])
    places, powers, firsts = [], [], [-1]
    for at in np.ndindex(*outer):
        first = next((number for number, power in enumerate(at) if power), -1)
        fits = (slice(length - power) for length, power in zip(outer, at, strict=True))
        powers.append(float(at[first]) if first >= 0 else 0.0)
        places.append(
            _Place(
                at=(ALL, 0, *at),
                taken=(ALL, ALL, *fits),
                given=(ALL, ALL, *(slice(power, None) for power in at)),
                power=at[first] if first >= 0 else 1,
                passed=None if first == firsts[-1] else (ALL, 0, *(0,) * (first + 1)),
            )
        )
        firsts.append(first)
    of_places = np.reshape(powers, (*outer, 1))
    return _Table(split, outer, _whole(caps[split:]), tuple(places), of_places)


@lru_cache(maxsize=512)
def _whole(caps: Caps) -> Places:
    """(C, C): which coefficient of a second factor takes one (row) to one (column); C for none."""
    places = _places(caps)
    gap = places[None, :, :] - places[:, None, :]
    return np.where((gap >= 0).all(axis=2), gap @ _strides(caps), len(places))


def _places(caps: Caps) -> Places:
    """(C, J): the powers of the J variables that each coefficient belongs to."""
    powers: Places = np.indices([cap + 1 for cap in caps], dtype=np.intp)
    return powers.reshape(len(caps), size(caps)).T


def _strides(caps: Caps) -> Places:
    return np.asarray([size(caps[at + 1 :]) for at in range(len(caps))], dtype=np.intp)


def _blocks(several: Array, by: Array, caps: Caps) -> Array:
    """Products of (K, R, C) by (R, C): each place of the second factor makes one small matrix."""
    table = _table(caps)
    rows, inner = len(by), len(table.inner)
    given = several.swapaxes(0, 1).reshape(rows, -1, *table.outer, inner)
    padded = np.zeros((rows, 1, *table.outer, inner + 1), dtype=by.dtype)
    padded[..., :inner] = by.reshape(rows, 1, *table.outer, inner)
    matrices = np.empty((rows, inner, inner), dtype=by.dtype)
    result: Array = np.zeros(given.shape, dtype=np.result_type(several, by))
    for place in table.places:
        _take(padded[place.at], table.inner, matrices)
        _add_products(given, matrices, place, result)
    return result.swapaxes(0, 1).reshape(several.shape)


def _convolved(a: Array, b: Array) -> Array:
    length = a.shape[1]
    return np.stack([np.convolve(x, y)[:length] for x, y in zip(a, b, strict=True)])
