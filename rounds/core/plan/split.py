"""Which plants get seconds of a round, and how many at each zone."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.effort import Places, Values, Zones, fill, seconds_at

FITS = 1e-9
"""seconds by which a sum of floats may pass what there is"""
SAME = 9
"""decimals of the logarithm of a gain; plants that differ by less are taken by code"""
MOST_TRIES = 50


@dataclass(frozen=True, eq=False)
class Calls:
    """P plants that could be looked at, first to be looked at first, with N zones in all.

    A plant that must be looked at gets the least seconds of its zones or is left out; the least
    seconds of the others are 0.
    """

    codes: Sequence[str]
    """who comes first of plants that gain as much"""
    must: NDArray[np.bool_]
    """(P,): it is looked at before anything else is weighed"""
    overhead: Values
    """(P,): seconds it costs besides looking, walking and clean hands; positive"""
    spared: Values
    """(P,): of the overhead, what a round saves once where the plant is in it: no walk leads to the
    first, no clean hands follow the last; the most of those planned is saved"""
    owner: Places
    """(N,): the plant of each zone"""
    zones: Zones

    @cached_property
    def entry(self) -> Values:
        """(P,): the most harm a plant's own seconds find a second, its overhead counted in.

        Found as a fixed point (Dinkelbach 1967): at that gain a second its seconds pay for the
        walk to it, and no less. The ratio grows with each try until it does not.
        """
        level = self._ratio(np.minimum(self.zones.most, 60.0))
        for _ in range(MOST_TRIES):
            useful = np.maximum(level, np.finfo(float).tiny)
            better = np.maximum(level, self._ratio(seconds_at(self.zones, useful[self.owner])))
            if np.all(better <= level * (1 + 1e-12)):
                break
            level = better
        return level

    @cached_property
    def others(self) -> Places:
        """The plants that need not be looked at, most gain a second first; ties by code."""
        rank = np.argsort(np.argsort(np.array([code.casefold() for code in self.codes], dtype=str)))
        gain = np.round(np.log(np.maximum(self.entry, np.finfo(float).tiny)), SAME)
        ordered = np.lexsort((rank, -gain))
        return np.asarray(ordered[~self.must[ordered] & (self.entry[ordered] > 0)])

    def _ratio(self, seconds: Values) -> Values:
        found = np.bincount(self.owner, self.zones.prevented(seconds), len(self.must))
        spent = np.bincount(self.owner, seconds, len(self.must)) + self.overhead
        return np.asarray(found / spent)

    def overhead_of(self, plants: Places) -> float:
        """Seconds some plants cost together besides looking."""
        if not len(plants):
            return 0.0
        return float(self.overhead[plants].sum() - self.spared[plants].max())

    def zones_of(self, plants: Places) -> Places:
        """The zones of some plants."""
        chosen = np.zeros(len(self.must), dtype=bool)
        chosen[plants] = True
        return np.flatnonzero(chosen[self.owner])


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """The seconds of a round, split."""

    planned: NDArray[np.bool_]
    """(P,): it is looked at"""
    seconds: Values
    """(N,): at each zone; 0 where it is not"""
    prevented: float
    """harm found"""


def split(calls: Calls, seconds: float) -> Split:
    """The split of so many seconds.

    First the plants that must be looked at, in their order: one that does not fit is passed over,
    and a smaller one after it may still find room. The others come in by gain a second, as many
    as find most together; each that comes in takes its overhead from the seconds of all.

    One more is worth it from some number of seconds on, and that number grows from plant to
    plant, as a level of gain at the same seconds is never lower with a plant more. So the best
    number is found by halving, more seconds never drop a plant that need not be looked at, and,
    with the same plants that must, never find less.
    """
    if not len(calls.must):
        return Split(calls.must, np.zeros(0), 0.0)
    must = _that_fit(calls, seconds)
    others = calls.others
    # no more than come in without a second of looking
    left = seconds - _least(calls, must) - float(calls.overhead[must].sum()) + calls.spared.max()
    spent = np.cumsum(calls.overhead[others])
    low, high = 0, int(np.searchsorted(spent, left + FITS, "right"))
    known: dict[int, Split] = {}

    def with_others(number: int) -> Split:
        if number not in known:
            known[number] = _filled(calls, np.concatenate([must, others[:number]]), seconds)
        return known[number]

    while low < high:
        middle = (low + high + 1) // 2
        if with_others(middle).prevented >= with_others(middle - 1).prevented:
            low = middle
        else:
            high = middle - 1
    return with_others(low)


def _least(calls: Calls, plants: Places) -> float:
    return float(calls.zones.least[calls.zones_of(plants)].sum())


def _that_fit(calls: Calls, seconds: float) -> Places:
    """Those of the plants that must be looked at that fit, in their order."""
    least = np.bincount(calls.owner, calls.zones.least, len(calls.must)) + calls.overhead
    spent, spared = -FITS, 0.0
    chosen = []
    for plant in np.flatnonzero(calls.must):
        would_spare = max(spared, float(calls.spared[plant]))
        if spent + least[plant] - would_spare <= seconds:
            chosen.append(plant)
            spent, spared = spent + least[plant], would_spare
    return np.array(chosen, dtype=np.intp)


def _filled(calls: Calls, plants: Places, seconds: float) -> Split:
    """The best split among these plants; one that gets no second is not looked at."""
    here = calls.zones_of(plants)
    zones = calls.zones.take(here)
    found = fill(zones, seconds - calls.overhead_of(plants))
    spent = np.zeros(len(calls.owner))
    spent[here] = found
    planned = np.zeros(len(calls.must), dtype=bool)
    planned[plants] = np.bincount(calls.owner, spent, len(calls.must))[plants] > 0
    return Split(planned, spent, float(zones.prevented(found).sum()))
