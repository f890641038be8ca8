"""What the inference reads: a start, and days with their step, their arrivals and their looks.

Everything is data in T types: which process it comes from does not matter here.
"""

from collections.abc import Hashable
from dataclasses import dataclass, replace

from rounds.core.biology.day import Day, Values


class ImpossibleEntry(ValueError):
    """What was entered cannot happen under the settings. `entry` is the first that did it."""

    def __init__(self, entry: int) -> None:
        super().__init__(f"entry {entry} cannot happen under these settings")
        self.entry = entry


@dataclass(frozen=True, slots=True, eq=False)
class Start:
    """Zero-inflated gamma-Poisson: with `infested` a level L of mean 1, counts Poisson(L mean)."""

    infested: float
    """weight of the gamma-Poisson numbers; above 1 where one insect at least is there for certain:
    what exceeds 1 takes the chance of none away"""
    mean: Values
    """(T,)"""
    shape: float

    def supposing(self, infested: float | None) -> "Start":
        """With another chance to be infested; as it is where one insect is there for certain."""
        if infested is None or self.infested > 1:
            return self
        return replace(self, infested=infested)


@dataclass(frozen=True, slots=True, eq=False)
class Find:
    """Insects a look showed in one way: in one zone, of one group, treated alike."""

    found: Values
    """(T,): chance that the look shows an insect of the type in this way"""
    count: int
    stays: float = 0.0
    """chance that it is still there afterwards: 0 removed, 1 left alone"""
    entry: int = 0
    """what it was entered as, for a message"""
    zone: Hashable = None
    stage: Hashable = None
    """where and in what stages: of the finds of many those alike are taken together"""


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """One pass of the eyes, or of a hand: each insect is met at most once."""

    unseen: Values
    """(T,): chance that an insect of the type is not shown"""
    finds: tuple[Find, ...] = ()
    kills: Values | None = None
    """(T,): chance to be gone by what was done right after it, found or not"""


@dataclass(frozen=True, slots=True, eq=False)
class LoggedDay:
    """A date: the step that led to it, what arrived since, then its looks in order."""

    step: Day | None
    """None on the first date"""
    arrivals: float = 0.0
    """mean number of insects; Poisson"""
    looks: tuple[Look, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Log:
    """All that is known of one plant, first date first."""

    start: Start
    landing: Values
    """(T,): of those that arrive; sums to 1"""
    days: tuple[LoggedDay, ...]
