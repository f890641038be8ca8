"""The chance clean some days on where nobody looks meanwhile, for any number of arrivals.

What is there now dies out or not whatever arrives, and what arrives on the days between is Poisson:
its share of the generating function is exp(h s) for h crawlers a day. So one run gives the chance
for every place the plant may be put.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from rounds.core.biology.day import Day
from rounds.core.inference.ahead import DaysAhead
from rounds.core.inference.observed import Log, LoggedDay


@dataclass(frozen=True, slots=True)
class Unlooked:
    """Chances at the end of some days in which nobody looks."""

    cleared: float
    """that nothing is left of what is there now"""
    clear_of_one: float
    """that nothing is left of what came, where one crawler a day arrives"""

    def chance_clean(self, arrivals: float) -> float:
        """That nothing is left, where so many crawlers a day arrive."""
        return float(self.cleared * self.clear_of_one**arrivals)


def unlooked(log: Log, steps: Sequence[Day]) -> Unlooked:
    """The chances at the end of the days after a log.

    Args:
        log: up to now.
        steps: from each day to the next, one at least.

    Raises:
        ImpossibleEntry: something in the log cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    last = len(steps)
    days = DaysAhead(log, lambda number: LoggedDay(steps[number - 1], 1.0), last)
    for _ in days.work_out([last]):
        pass
    return Unlooked(days.cleared(last), days.arrived(last))
