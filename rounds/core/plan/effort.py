"""Where seconds of looking are best spent: exponential search with several kinds in each zone.

A second goes where it finds most, until a second finds as much in every zone that gets any:
de Guenin 1961; Charnes & Cooper 1958 ('water filling'). One kind in a zone has a closed form; the
stages of an insect differ in how well they are seen, so the seconds are searched for. What is found
is handled, and that takes seconds too, in proportion to the harm found: so the gain of a second
spent, looking or handling, falls as the gain of a second of looking does.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Places = NDArray[np.intp]

FITS = 1e-9
"""seconds by which a sum of floats may pass what there is"""
CLOSE = 1e-10
"""tolerance of the sum of seconds, as a share of them"""
MOST_STEPS = 200
HALVINGS = 60


@dataclass(frozen=True, slots=True, eq=False)
class Zones:
    """N zones with S kinds of insects in each."""

    harm: Values
    """(N, S): what the insects in reach would cause, by kind; not negative"""
    rates: Values
    """(N, S): share found a second, 1 / tau; positive"""
    least: Values
    """(N,): seconds each gets"""
    most: Values
    """(N,): seconds beyond which none are credited; may be infinite"""
    handling: Values
    """(N,): seconds of handling for each unit of harm found; not negative"""

    def take(self, which: Places) -> "Zones":
        """Some of them."""
        return Zones(
            self.harm[which], self.rates[which], self.least[which], self.most[which],
            self.handling[which],
        )  # fmt: skip

    def spent(self, seconds: Values) -> Values:
        """(N,): seconds that so many of looking (N,) take, with the handling of what is found."""
        return np.asarray(seconds + self.handling * self.prevented(seconds))

    def prevented(self, seconds: Values) -> Values:
        """(N,): harm found in so many seconds (N,)."""
        found = -np.expm1(-self.rates * seconds[:, None])
        return np.asarray((self.harm * found).sum(axis=1))

    def gain(self, seconds: Values) -> Values:
        """(N,): marginal harm found per second of looking, after so many seconds (N,)."""
        return np.asarray(self._by_kind(seconds).sum(axis=1))

    def paid_gain(self, seconds: Values) -> Values:
        """(N,): harm found by one second more that is spent, handling counted in."""
        gain = self.gain(seconds)
        return np.asarray(gain / (1 + self.handling * gain))

    def _by_kind(self, seconds: Values) -> Values:
        return np.asarray(self.harm * self.rates * np.exp(-self.rates * seconds[:, None]))


def seconds_at(zones: Zones, level: Values | float, start: Values | None = None) -> Values:
    """(N,): seconds at which the marginal gain is `level`, a positive number or one per zone.

    The logarithm of the gain is convex and falls: Newton's steps from too few seconds never go
    too far. `start` are seconds (N,) known to be too few; else the least are.
    """
    levels = np.broadcast_to(np.asarray(level, dtype=float), zones.least.shape)
    paid = 1 - zones.handling * levels
    # where handling alone takes more than a second is worth, no second is worth it
    wanted = np.where(paid > 0, np.log(levels) - np.log(np.where(paid > 0, paid, 1.0)), np.inf)
    seconds = (zones.least if start is None else start).astype(float)
    todo = np.flatnonzero(zones.gain(seconds) > np.exp(wanted))
    for _ in range(MOST_STEPS):
        if not len(todo):
            break
        harm, rates = zones.harm[todo], zones.rates[todo]
        by_kind = harm * rates * np.exp(-rates * seconds[todo, None])
        gain = by_kind.sum(axis=1)
        step = (np.log(gain) - wanted[todo]) * gain / (by_kind * rates).sum(axis=1)
        seconds[todo] = np.minimum(seconds[todo] + step, zones.most[todo])
        further = (step > CLOSE * seconds[todo]) & (seconds[todo] < zones.most[todo])
        todo = todo[further]
    return np.asarray(np.clip(seconds, zones.least, zones.most))


def partly(zones: Zones, start: Values, goal: Values, seconds: float) -> Values:
    """(N,): zone after zone from its start up to its goal, as far as so many seconds go.

    Looking and handling at all zones take no more than `seconds`, where the start takes no more.
    """
    more = np.maximum(goal - start, 0.0)
    before = np.cumsum(more) - more

    def at(looked: float) -> Values:
        return np.asarray(start + np.clip(looked - before, 0.0, more))

    low, high = 0.0, float(more.sum())
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if zones.spent(at(middle)).sum() <= seconds:
            low = middle
        else:
            high = middle
    return at(low)


def fill(zones: Zones, seconds: float) -> Values:
    """(N,): the split of some seconds over the zones that finds most harm.

    Looking and the handling of what is found take no more than `seconds`. Where there are fewer
    than the least of all zones take: that least. Zones where nothing can be found get no more than
    their least.
    """
    least = zones.spent(zones.least).sum()
    reach = np.where(zones.gain(zones.least) > 0, zones.most, zones.least)
    if seconds <= least or zones.spent(reach).sum() <= seconds:
        return zones.least.astype(float) if seconds <= least else reach
    spare = CLOSE * seconds
    return _search(zones, seconds - spare, spare)


def _search(zones: Zones, wanted: float, close: float) -> Values:
    """Seconds (N,) of one marginal gain in all zones that take `wanted`, within `close`."""
    high = float(np.log(zones.paid_gain(zones.least).max()))
    low, too_few, given = high, zones.least, zones.least
    width = 1.0
    while zones.spent(given).sum() < wanted:
        high, low, too_few, width = low, low - width, given, 2 * width
        given = seconds_at(zones, np.exp(low), too_few)
    level = low
    for _ in range(MOST_STEPS):
        beyond = float(zones.spent(given).sum() - wanted)
        if abs(beyond) <= close:
            break
        if beyond > 0:
            low = level
        else:
            high, too_few = level, given
        level = _next_level(zones, given, level, beyond)
        if not low < level < high:
            level = (low + high) / 2
        given = seconds_at(zones, np.exp(level), too_few)
    return given


def _next_level(zones: Zones, given: Values, level: float, beyond: float) -> float:
    """Newton's step of the log gain: a zone within its limits takes 1 / decline seconds a unit.

    With handling, times the square of what a second of looking takes in all.
    """
    free = (given > zones.least) & (given < zones.most)
    if not free.any():
        return level
    held = zones.take(np.flatnonzero(free))
    by_kind = held.harm * held.rates * np.exp(-held.rates * given[free, None])
    gain = by_kind.sum(axis=1)
    decline = (by_kind * held.rates).sum(axis=1) / gain
    return level + beyond / float(((1 + held.handling * gain) ** 2 / decline).sum())
