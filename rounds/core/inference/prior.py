"""The start of a log, with the looks made before anything moved taken into it.

Looks of the first date are a conjugate gamma-Poisson update: exact, and what they found costs no
coefficient, however much it was.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.observed import Find, ImpossibleEntry, Look, Start
from rounds.core.inference.series import (
    Array,
    Caps,
    constant,
    falling_powers,
    product,
    whole_power,
)


@dataclass(frozen=True, slots=True, eq=False)
class Handled:
    """`count` insects found at the start, each alive as one of the types, or gone.

    The chances are joint with later looks of the date missing the insect, so that they need not
    sum to 1.
    """

    count: int
    weights: Values
    """(T,): chance to be there, by type"""
    gone: float


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """The start given the looks absorbed. `log_factor` is the log chance of what they showed."""

    infested: float
    mean: Values
    shape: float
    handled: tuple[Handled, ...] = ()
    log_factor: float = 0.0


def one_at_least(mean: Values, shape: float) -> Start:
    """The gamma-Poisson start (T,), given that it holds one insect at least.

    With q = (1 + M / a) ** -a the chance of none, (G(u) - q) / (1 - q) is 1 - psi + psi G(u) for
    psi = 1 / (1 - q): zero-truncation is a weight above 1, and all that is done with a start,
    conditioning on looks too, holds for it unchanged.

    Args:
        mean: expected number by type, before it is known that there is one; not all 0.
        shape: of the gamma distribution of the level.
    """
    none = math.log1p(mean.sum() / shape) * -shape
    return Start(-1 / math.expm1(none), mean, shape)


def absorb(start: Start, looks: Sequence[Look]) -> tuple[Known, tuple[Look, ...]]:
    """Condition the start on as many looks as possible; also return the looks that remain.

    A look that may find insects already found and left there that date cannot be absorbed.

    Raises:
        ImpossibleEntry: something was found where nothing can be.
    """
    known = Known(start.infested, start.mean, start.shape)
    for at, look in enumerate(looks):
        if not _can_take(known, look):
            return known, tuple(looks[at:])
        known = _taken(known, look)
    return known, ()


def start_value(known: Known, state: Array, caps: Caps) -> Array:
    """Generating function (V, C) at values (T, V, C) of one insect, `log_factor` left out."""
    return with_chance(known.infested, value_infested(known, state, caps))


def value_infested(known: Known, state: Array, caps: Caps) -> Array:
    """The same (V, C) if the plant is infested, which is all of it that takes long."""
    met, handled = _parts(known, state, caps, [known.shape])
    return product(met[0], handled, caps)


def with_chance(infested: float, value: Array) -> Array:
    """The value of a start that is infested with a chance, from that of one that is."""
    found: Array = infested * value
    found[..., 0] += 1 - infested
    return found


def start_slope(known: Known, state: Array, caps: Caps) -> Array:
    """Derivative (T, C) of `start_value` by the values (T, C) of one insect of each type."""
    met, handled = _parts(known, state[:, None], caps, [known.shape, known.shape + 1])
    steep = product(met[1], handled, caps)[0]
    slope: Array = known.infested * known.mean[:, None] * steep
    for at, one in enumerate(known.handled):
        others = replace(known, handled=known.handled[:at] + known.handled[at + 1 :])
        rest = _handled_value(others, state[:, None], caps)
        fewer = whole_power(_mixed(one, state[:, None]), one.count - 1, caps)
        there = product(met[0], product(rest, fewer, caps), caps)[0]
        slope += known.infested * one.count * one.weights[:, None] * there
    return slope


def _parts(known: Known, state: Array, caps: Caps, powers: list[float]) -> tuple[Array, Array]:
    base: Array = np.tensordot(-known.mean / known.shape, state, axes=1)
    base[..., 0] += 1 + known.mean.sum() / known.shape
    return falling_powers(base, powers, caps), _handled_value(known, state, caps)


def _handled_value(known: Known, state: Array, caps: Caps) -> Array:
    value: Array = constant(1.0, state[0])
    for one in known.handled:
        value = product(value, whole_power(_mixed(one, state), one.count, caps), caps)
    return value


def _mixed(one: Handled, state: Array) -> Array:
    mixed: Array = np.tensordot(one.weights, state, axes=1)
    mixed[..., 0] += one.gone
    return mixed


def _can_take(known: Known, look: Look) -> bool:
    return not any(np.any(one.weights * find.found) for one in known.handled for find in look.finds)


def _taken(known: Known, look: Look) -> Known:
    kept = 1.0 if look.kills is None else 1 - look.kills
    seen = float(known.mean @ (1 - look.unseen))
    finds = [find for find in look.finds if find.count]
    count = sum(find.count for find in finds)
    shape = known.shape + count
    log_met = _log_met(known, seen, finds)
    earlier = [
        _handled_on(one.count, one.weights * look.unseen, one.gone, look) for one in known.handled
    ]
    left = [_left(known, find, look) for find in finds if find.stays]
    return Known(
        infested=_infested(known.infested, log_met, count),
        mean=known.mean * look.unseen * kept * (shape / (known.shape + seen)),
        shape=shape,
        handled=(*earlier, *left),
        log_factor=known.log_factor + _log_chance(known.infested, log_met, count),
    )


def _log_met(known: Known, seen: float, finds: list[Find]) -> float:
    """Log chance of the finds on an infested plant: negative multinomial."""
    total = sum(find.count for find in finds)
    log_chance = math.lgamma(known.shape + total) - math.lgamma(known.shape)
    log_chance -= (known.shape + total) * math.log1p(seen / known.shape)
    for find in finds:
        expected = float(known.mean @ find.found)
        if expected <= 0 or known.infested <= 0:
            raise ImpossibleEntry(find.entry)
        log_chance += find.count * math.log(expected / known.shape) - math.lgamma(find.count + 1)
    return log_chance


def _infested(before: float, log_met: float, count: int) -> float:
    if count:
        return 1.0
    clean = before * math.exp(log_met)
    return clean / (1 - before + clean) if before else 0.0


def _log_chance(before: float, log_met: float, count: int) -> float:
    if count:
        return math.log(before) + log_met
    return math.log1p(before * math.expm1(log_met))


def _left(known: Known, find: Find, look: Look) -> Handled:
    which = known.mean * find.found
    return _handled_on(find.count, which / which.sum() * find.stays, 1 - find.stays, look)


def _handled_on(count: int, weights: Values, gone: float, look: Look) -> Handled:
    """Insects found earlier, after what was done right after the look."""
    if look.kills is None:
        return Handled(count, weights, gone)
    return Handled(count, weights * (1 - look.kills), gone + float(weights @ look.kills))
