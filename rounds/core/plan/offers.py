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
    adds: bool
    """the plant is not looked at without it"""
    cost: float
    """seconds it takes in all besides those the plant has"""
    found: float
    """harm found besides"""


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
    # a longer look may gain more per second than a short one, as one walk leads to either
    is_longer = _gain(calls, in_short, in_full) >= _gain(calls, has, in_short, comes)
    in_short = np.where((comes & is_longer)[calls.owner], in_full, in_short)
    may_count = (planned | comes) & (calls.turn != Turn.ALIVE)
    gains = np.concatenate([
        np.where(comes, _gain(calls, has, in_short, comes), 0.0),
        np.where(may_count, _gain(calls, in_short, in_full), 0.0),
    ])  # fmt: skip
    plants = len(calls.turn)
    near = np.round(np.log(np.maximum(gains, np.finfo(float).tiny)), SAME)
    in_order = np.lexsort((np.repeat([0, 1], plants), np.tile(calls.rank, 2), -near))
    for number in in_order[: np.count_nonzero(gains > 0)].tolist():
        plant, adds = number % plants, number < plants
        zones = np.flatnonzero(calls.owner == plant)
        before, after = (has, in_short) if adds else (in_short, in_full)
        at = calls.zones.take(zones)
        cost = float((at.spent(after[zones]) - at.spent(before[zones])).sum())
        found = float((at.prevented(after[zones]) - at.prevented(before[zones])).sum())
        walk = float(calls.overhead[plant]) if adds else 0.0
        yield Offer(plant, zones, after[zones], adds, cost + walk, found)


def _gain(calls: Calls, before: Values, after: Values, walks: Chosen | None = None) -> Values:
    """(P,): harm found per second more; 0 where a plant gets none."""
    found = calls.by_plant(calls.zones.prevented(after) - calls.zones.prevented(before))
    taken = calls.by_plant(calls.zones.spent(after) - calls.zones.spent(before))
    if walks is not None:
        taken = taken + np.where(walks, calls.overhead, 0.0)
    return np.divide(found, taken, out=np.zeros(len(found)), where=taken > FITS)
