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

    n and m are powers of one variable: of each coefficient the first it has any power of.
    """
    if not caps:
        return np.exp(exponent)
    cap, rest = caps[0], caps[1:]
    if cap < MANY or size(rest) > INNER:
        rows = exponent.reshape(-1, exponent.shape[-1])
        return _exp_by_blocks(rows, caps).reshape(exponent.shape)
    s = exponent.reshape(*exponent.shape[:-1], cap + 1, -1)
    result = np.empty_like(s)
    result[..., 0, :] = exp(s[..., 0, :], rest)
    _exp_by_matrices(s[..., 1:, :] * np.arange(1.0, cap + 1)[:, None], result, rest)
    return result.reshape(exponent.shape)


def _exp_by_blocks(exponent: Array, caps: Caps) -> Array:
    """exp of rows (R, C), from each outer place to all that it adds to."""
    table = _table(caps, 1)
    rows, inner = len(exponent), len(table.inner)
    terms = _outer_first(exponent, inner)
    result: Array = np.zeros_like(terms)
    result[0] = exp(terms[0], caps[table.split :])
    padded = np.zeros((rows, inner + 1), dtype=exponent.dtype)
    for at, (taken, given, weights) in enumerate(table.of_exp):
        padded[:, :inner] = result[at]
        matrices = padded.take(table.inner, axis=1)
        weighed = (terms[taken] * weights[:, None, None]).swapaxes(0, 1)
        result[given] += np.matmul(weighed, matrices).swapaxes(0, 1)
    return _rows_first(result)


def _exp_by_matrices(terms: Array, result: Array, rest: Caps) -> None:
    """Fill all but the first term of `result` by that recurrence, as products with matrices."""
    cap, inner = terms.shape[-2:]
    padded = np.concatenate([terms, np.zeros_like(terms[..., :1])], axis=-1)
    table = _table(rest).inner if rest else np.zeros((1, 1), dtype=np.intp)
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
    table = _table(caps, 1)
    rows, inner = exponent.reshape(-1, exponent.shape[-1]), len(table.inner)
    terms, given = _outer_first(rows, inner), _outer_first(factor.reshape(rows.shape), inner)
    result, multiplied = np.zeros_like(terms), np.zeros_like(given)
    result[0] = exp(terms[0], caps[table.split :])
    padded = np.zeros((len(rows), inner + 1), dtype=exponent.dtype)
    for at, (taken, to) in enumerate(table.of_product):
        padded[:, :inner] = result[at]
        met = given[taken]
        if at < len(table.of_exp):
            of_exp, adds_to, weights = table.of_exp[at]
            met = np.concatenate([met, terms[of_exp] * weights[:, None, None]])
        matrices = padded.take(table.inner, axis=1)
        found = np.matmul(met.swapaxes(0, 1), matrices).swapaxes(0, 1)
        multiplied[to] += found[: len(to)]
        if at < len(table.of_exp):
            result[adds_to] += found[len(to) :]
    shape = exponent.shape
    return _rows_first(result).reshape(shape), _rows_first(multiplied).reshape(shape)


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


Places = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """Indices of a product: the last variables as small matrices, the others term by term."""

    split: int
    """number of the first of the last variables"""
    inner: Places
    """(I, I): which coefficient of the second factor takes one of the first (row) to one of the
    product (column); I, a place kept at zero, where none does"""
    of_product: tuple[tuple[Places, Places], ...]
    """for each outer place of the second factor: places of the first, and of the product"""
    of_exp: tuple[tuple[Places, Places, NDArray[np.float64]], ...]
    """for each outer place of the exponential that adds to later ones: places of the exponent, of
    the exponential, and m / n of the recurrence"""


@lru_cache(maxsize=512)
def _table(caps: Caps, least_outer: int = 0) -> _Table:
    split = max(len(caps) - 1, least_outer)
    while split > least_outer and size(caps[split - 1 :]) <= INNER:
        split -= 1
    outer, inner = _places(caps[:split]), _places(caps[split:])
    gap = inner[None, :, :] - inner[:, None, :]
    taken = gap @ _strides(caps[split:])
    table = np.where((gap >= 0).all(axis=2), taken, len(inner))
    strides, limit = _strides(caps[:split]), np.asarray(caps[:split], dtype=np.intp)
    steps, weighed = [], []
    for place in outer:
        fits = np.flatnonzero((outer + place <= limit).all(axis=1))
        given = fits + int(place @ strides)
        steps.append((fits, given))
        weights = _weights(outer[fits], outer[given]) if split else np.zeros(1)
        counts = weights > 0
        if counts.any():
            weighed.append((fits[counts], given[counts], weights[counts]))
    return _Table(split, table, tuple(steps), tuple(weighed))


def _weights(terms: Places, sums: Places) -> NDArray[np.float64]:
    """(N,): m / n by the first variable of which each place (N, J) of the result has a power."""
    first = np.argmax(sums > 0, axis=1)[:, None]
    m, n = (np.take_along_axis(places, first, axis=1)[:, 0] for places in (terms, sums))
    weights: NDArray[np.float64] = m / np.maximum(n, 1)
    return weights


def _places(caps: Caps) -> Places:
    """(C, J): the powers of the J variables that each coefficient belongs to."""
    powers: Places = np.indices([cap + 1 for cap in caps], dtype=np.intp)
    return powers.reshape(len(caps), size(caps)).T


def _strides(caps: Caps) -> Places:
    return np.asarray([size(caps[at + 1 :]) for at in range(len(caps))], dtype=np.intp)


def _outer_first(rows: Array, inner: int) -> Array:
    """Rows (R, C) as (O, R, I), so that what is taken of an outer place lies together."""
    return np.ascontiguousarray(rows.reshape(len(rows), -1, inner).swapaxes(0, 1))


def _rows_first(outer: Array) -> Array:
    """The reverse of `_outer_first`: (O, R, I) to (R, C)."""
    return outer.swapaxes(0, 1).reshape(outer.shape[1], -1)


def _blocks(several: Array, by: Array, caps: Caps) -> Array:
    """Products of (K, R, C) by (R, C): each place of the second factor makes one small matrix."""
    table = _table(caps)
    kinds, rows, inner = len(several), len(by), len(table.inner)
    # (O, K, R, I): what one matrix meets lies at even distances, and need not be copied for it
    split = several.reshape(kinds, rows, -1, inner).transpose(2, 0, 1, 3)
    first = np.ascontiguousarray(split)
    second = np.zeros((len(first), rows, inner + 1), dtype=by.dtype)
    second[:, :, :inner] = by.reshape(rows, -1, inner).swapaxes(0, 1)
    result: Array = np.empty(first.shape, dtype=np.result_type(several, by))
    for at, (taken, given) in enumerate(table.of_product):
        matrices = second[at].take(table.inner, axis=1)
        one = (first[taken] if at else first).reshape(-1, rows, inner).swapaxes(0, 1)
        if at:
            result[given] += np.matmul(one, matrices).swapaxes(0, 1).reshape(-1, *first.shape[1:])
        else:
            np.matmul(one, matrices, out=result.reshape(-1, rows, inner).swapaxes(0, 1))
    return result.transpose(1, 2, 0, 3).reshape(kinds, rows, -1)


def _convolved(a: Array, b: Array) -> Array:
    length = a.shape[1]
    return np.stack([np.convolve(x, y)[:length] for x, y in zip(a, b, strict=True)])
