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

INNER = 40
"""most coefficients multiplied as one small matrix; measured"""
MANY = 8
"""cap of the first variable from which `exp` makes matrices of its terms; measured"""
FEW_PAIRS = 2300
"""most products of coefficients that are summed pair by pair; measured"""
AT_ONCE = 40_000
"""of those, most for all rows together, to stay in the processor's cache; measured"""


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
    shape = np.broadcast_shapes(left.shape, right.shape)
    rows = prod(shape[:-1])
    a, b = (np.broadcast_to(x, shape).reshape(rows, shape[-1]) for x in (left, right))
    if pairs(caps) <= FEW_PAIRS:
        done = _summed(a, b, _pairing(caps))
    elif len(caps) == 1:
        done = _convolved(a, b)
    else:
        done = _blocks(a, b, _table(caps))
    return done.reshape(shape)


def exp(exponent: Array, caps: Caps) -> Array:
    """exp of a series, by the recurrence n E_n = sum m S_m E_(n - m) in the first variable."""
    if not caps:
        return np.exp(exponent)
    cap, rest = caps[0], caps[1:]
    s = exponent.reshape(*exponent.shape[:-1], cap + 1, -1)
    result = np.empty_like(s)
    result[..., 0, :] = exp(s[..., 0, :], rest)
    terms = s[..., 1:, :] * np.arange(1.0, cap + 1)[:, None]
    if cap >= MANY and size(rest) <= INNER:
        _exp_by_matrices(terms, result, rest)
        return result.reshape(exponent.shape)
    for n in range(1, cap + 1):
        earlier = result[..., n - 1 :: -1, :][..., :n, :]
        result[..., n, :] = product(terms[..., :n, :], earlier, rest).sum(axis=-2) / n
    return result.reshape(exponent.shape)


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


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """Indices of a product: the last variables as small matrices, the others term by term."""

    inner: NDArray[np.intp]
    """(I, I): which coefficient of the second factor takes one of the first (row) to one of the
    product (column); I, a place kept at zero, where none does"""
    steps: tuple[tuple[NDArray[np.intp], NDArray[np.intp]], ...]
    """for each outer place of the second factor: places of the first, and of the product"""


@lru_cache(maxsize=512)
def _table(caps: Caps) -> _Table:
    split = len(caps) - 1
    while split > 0 and size(caps[split - 1 :]) <= INNER:
        split -= 1
    outer, inner = _places(caps[:split]), _places(caps[split:])
    gap = inner[None, :, :] - inner[:, None, :]
    taken = gap @ _strides(caps[split:])
    table = np.where((gap >= 0).all(axis=2), taken, len(inner))
    strides, limit = _strides(caps[:split]), np.asarray(caps[:split], dtype=np.intp)
    steps = []
    for place in outer:
        fits = np.flatnonzero((outer + place <= limit).all(axis=1))
        steps.append((fits, fits + int(place @ strides)))
    return _Table(table, tuple(steps))


@dataclass(frozen=True, slots=True, eq=False)
class _Pairing:
    """Every pair of coefficients within the caps, by the coefficient of the product."""

    first: NDArray[np.intp]
    second: NDArray[np.intp]
    begins: NDArray[np.intp]
    """(C,): index of the first pair of each coefficient of the product"""


@lru_cache(maxsize=512)
def _pairing(caps: Caps) -> _Pairing:
    places, strides = _places(caps), _strides(caps)
    first, second, begins, count = [], [], [], 0
    for place in places:
        below = np.flatnonzero((places <= place).all(axis=1))
        first.append(below)
        second.append((place - places[below]) @ strides)
        begins.append(count)
        count += len(below)
    return _Pairing(np.concatenate(first), np.concatenate(second), np.asarray(begins))


def _summed(a: Array, b: Array, pairing: _Pairing) -> Array:
    at_once = max(1, AT_ONCE // len(pairing.first))
    result: Array = np.empty(a.shape[::-1], dtype=np.result_type(a, b))
    for row in range(0, len(a), at_once):
        some = slice(row, row + at_once)
        products = np.ascontiguousarray(a[some].T).take(pairing.first, axis=0)
        products = products * np.ascontiguousarray(b[some].T).take(pairing.second, axis=0)
        np.add.reduceat(products, pairing.begins, axis=0, out=result[:, some])
    return result.T


def _places(caps: Caps) -> NDArray[np.intp]:
    """(C, J): the powers of the J variables that each coefficient belongs to."""
    powers: NDArray[np.intp] = np.indices([cap + 1 for cap in caps], dtype=np.intp)
    return powers.reshape(len(caps), size(caps)).T


def _strides(caps: Caps) -> NDArray[np.intp]:
    return np.asarray([size(caps[at + 1 :]) for at in range(len(caps))], dtype=np.intp)


def _blocks(a: Array, b: Array, table: _Table) -> Array:
    rows, inner = len(a), len(table.inner)
    first = a.reshape(rows, -1, inner)
    second = np.zeros((rows, first.shape[1], inner + 1), dtype=b.dtype)
    second[:, :, :inner] = b.reshape(rows, -1, inner)
    result: Array = np.zeros(first.shape, dtype=np.result_type(a, b))
    for at, (taken, given) in enumerate(table.steps):
        matrices = np.take(second[:, at], table.inner, axis=1)
        result[:, given] += np.matmul(first[:, taken], matrices)
    return result.reshape(rows, -1)


def _convolved(a: Array, b: Array) -> Array:
    length = a.shape[1]
    return np.stack([np.convolve(x, y)[:length] for x, y in zip(a, b, strict=True)])
