"""What a look at one plant could prevent, what it costs, and whether it is owed."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum


class Turn(IntEnum):
    """When a plant is given its seconds."""

    ALIVE = 0
    """insects are known to live on it: none of these is left out while there are minutes"""
    FIRST = 1
    """its turn has come: it waited for far too long, stands beside a find, or has just come"""
    DUE = 2
    """it is owed a look, in its order"""
    GAIN = 3
    """it is not due: what it could prevent decides"""


@dataclass(frozen=True, slots=True)
class ZoneCall:
    """One zone of a plant."""

    harm: Sequence[float]
    """what the insects in reach would cause, by stage"""
    reference_seconds: float
    least_seconds: float
    """what it is owed when the plant is due; 0 where it was looked at lately"""
    counts_seconds: float = 0.0
    """from which a look at it counts as one; no less than it is owed"""
    handling_seconds: float = 0.0
    """what is expected to be found in the reference seconds takes so long to handle"""
    waits: bool = False
    """nobody has looked at it for so long that it comes before better zones of its plant"""


@dataclass(frozen=True, slots=True)
class PlantCall:
    """One plant that could be looked at."""

    code: str
    turn: Turn
    latest_in_days: int
    """until the day it is looked at at the latest; where it is due none is left"""
    turn_in_days: int
    """until its turn has come, whatever else is due"""
    overhead_seconds: float
    spared_seconds: float
    zones: Sequence[ZoneCall]
    found_in_reach: tuple[float, ...]
    """by stage: chance to find one insect in the reference seconds"""
    unchecked_days: int = 0
    """since the last look that counted for the whole plant; more than any where there was none"""
    is_probable: bool = False
    """insects are taken to live on it by the sums alone"""
    wants_full: bool = False
    """that, or the day it came, was so long ago that a look at it shall count"""


@dataclass(frozen=True, slots=True)
class Shares:
    """How the seconds of a round are shared out."""

    credited_at_most: float
    """times the reference seconds of a zone beyond which none are credited"""
    most_of_one: float
    """of the seconds, for one plant while others wait for what they are owed"""
    most_of_alive: float
    """of the seconds, which those with insects keep however many others wait"""
    ahead: float
    """of the seconds that those with insects leave, kept on the days ahead for what falls due"""
    least_seconds: float
    """nobody is looked at for less"""
    later_seconds: float
    """of a usual round, as the days ahead are taken to have one"""
    whole_seconds: float = 0.0
    """of the round, where only what is left of it is shared out"""
