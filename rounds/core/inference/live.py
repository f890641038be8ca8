"""What the next keys will mean: likely clean for every count the next look may end with.

There is no forward state to keep: the end value changes with every look and the way back is not
linear. But the coefficients of the current look's variable are the answers to all its counts.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.answer import within_range
from rounds.core.inference.backward import Backward, Frame, prepare
from rounds.core.inference.observed import Log, Look
from rounds.core.inference.series import Array

MOST_FOUND = 4
"""counts in the table: 0 to this; beyond it the table is built anew"""
LIVE_BUDGET = 32
"""coefficients of the finds up to now: the table must be there while a hand moves"""


@dataclass(frozen=True, slots=True, eq=False)
class LiveTable:
    """`chances` (Z, 5): after so many clean looks, with 0 to 4 found at the next and taken off."""

    chances: Values

    def chance_clean(self, clean: int, found: int) -> float | None:
        """After `clean` clean looks and `found` at the next; None beyond the table."""
        if clean < len(self.chances) and found <= MOST_FOUND:
            return float(self.chances[clean, found])
        return None


def live_table(log: Log, looks: Sequence[Look], budget: int = LIVE_BUDGET) -> LiveTable:
    """The table for the looks that are to follow on the last date of a log, in their order.

    Args:
        log: up to now.
        looks: as they will be if nothing is found; at least one.
        budget: coefficients of the finds up to now.

    Raises:
        ImpossibleEntry: something in the log cannot happen.
    """
    course = prepare(log, budget)
    caps = course.pooling.caps
    live = len(caps)
    course = replace(course, pooling=replace(course.pooling, caps=(*caps, MOST_FOUND)))

    def run(scale: float) -> tuple[Array, float]:
        ends = _ends(looks, scale)
        back = Backward(course, ends, scale, frame=Frame((live,), (MOST_FOUND,)))
        chances = _of_live(back, live).reshape(len(looks), 2, MOST_FOUND + 1)
        return chances, float(chances[0, 1, 0])

    _, chances = within_range(log, run)
    with np.errstate(invalid="ignore", divide="ignore"):
        return LiveTable(np.nan_to_num(chances[:, 0] / chances[:, 1]).real)


def _ends(looks: Sequence[Look], scale: float) -> Values:
    """(T, 2 Z, 5): nothing and anything left, seen through the looks up to each one."""
    types = len(looks[0].unseen)
    ends = np.zeros((types, len(looks), 2, MOST_FOUND + 1))
    earlier = np.ones(types)
    for at, look in enumerate(looks):
        ends[:, at, 1, 0] = look.unseen * earlier
        ends[:, at, :, 1] = ((1 - look.unseen) * scale * earlier)[:, None]
        earlier = earlier * look.unseen
    return ends.reshape(types, -1, MOST_FOUND + 1)


def _of_live(back: Backward, live: int) -> Array:
    """(V, 5): the coefficients of all that was found, for each count of the live look."""
    total = back.total()
    slower, own, quicker = back.frame.place(live)
    return total.reshape(-1, slower, own, quicker)[:, -1, :, -1]
