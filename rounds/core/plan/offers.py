"""What spare seconds may go to, plant by plant: a look at one more, or a look made to count.

A look at a plant that is not due has the least seconds it would be owed; where it was not fully
checked for long, those from which a look counts. What gains most per second is offered first.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.call import Turn
from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import FITS, Places, Values

SAME = 9
"""decimals to which the logarithm of a gain is rounded; ties are ordered by code"""

Chosen = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Offer:
    """Seconds for one plant, in place of those it has."""

    plant: int
    zones: Places
    seconds: Values
    """of looking at each of the zones"""


def offers(calls: Calls, planned: Chosen, seconds: Values) -> Iterator[Offer]:
    """What spare seconds may go to, in order.

    Args:
        calls: all plants.
        planned: (P,) those that are looked at already.
        seconds: (N,) what each of their zones gets.
    """
    has = np.where(planned[calls.owner], seconds, 0.0)
    comes = ~planned & (calls.turn == Turn.GAIN)
    short = np.where(calls.wants_full[calls.owner], calls.counts, calls.floors)
    in_short = np.where(comes[calls.owner], np.maximum(has, short), has)
    in_full = np.maximum(in_short, calls.counts)
    first = _gain(calls, has, in_short, comes)
    second = _gain(calls, in_short, in_full, np.zeros_like(comes))
    # a longer look may gain more per second than a short one, as one walk leads to either
    at_once = comes & (second >= first)
    in_short = np.where(at_once[calls.owner], in_full, in_short)
    first = np.where(at_once, _gain(calls, has, in_full, comes), first)
    may_count = (planned | comes) & ~at_once & (calls.turn != Turn.ALIVE)
    gains = np.concatenate([np.where(comes, first, 0.0), np.where(may_count, second, 0.0)])
    plants = len(calls.turn)
    ranks = np.tile(calls.rank, 2)
    near = np.round(np.log(np.maximum(gains, np.finfo(float).tiny)), SAME)
    is_second = np.repeat([0, 1], plants)
    for number in np.lexsort((is_second, ranks, -near))[: np.count_nonzero(gains > 0)].tolist():
        goal = in_short if number < plants else in_full
        zones = np.flatnonzero(calls.owner == number % plants)
        yield Offer(number % plants, zones, goal[zones])


def _gain(calls: Calls, before: Values, after: Values, walks: Chosen) -> Values:
    """(P,): harm found per second more; 0 where a plant gets none."""
    found = calls.by_plant(calls.zones.prevented(after) - calls.zones.prevented(before))
    taken = calls.by_plant(calls.zones.spent(after) - calls.zones.spent(before))
    taken = taken + np.where(walks, calls.overhead, 0.0)
    return np.divide(found, taken, out=np.zeros(len(found)), where=taken > FITS)
