"""What a look at one plant could prevent, what it costs, and whether it is owed."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum


class Turn(IntEnum):
    """When a plant is given its seconds."""

    ALIVE = 0
    """insects are known to live on it: none of these is left out while there are minutes"""
    STARVING = 1
    """nobody has looked at it for far too long"""
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
    """0 where the plant is not due"""
    handling_seconds: float = 0.0
    """what is expected to be found in the reference seconds takes so long to handle"""


@dataclass(frozen=True, slots=True)
class PlantCall:
    """One plant that could be looked at."""

    code: str
    turn: Turn
    in_one_go: bool
    """where its least seconds do not fit, all zones get fewer; else only the best get theirs"""
    overhead_seconds: float
    spared_seconds: float
    zones: Sequence[ZoneCall]
    found_in_reach: tuple[float, ...]
    """by stage: chance to find one insect in the reference seconds"""


@dataclass(frozen=True, slots=True)
class Shares:
    """How the seconds of a round are shared out."""

    credited_at_most: float
    """times the reference seconds of a zone beyond which none are credited"""
    most_of_one: float
    """of the seconds, for one plant while others wait for what they are owed"""
    most_of_alive: float
    """of the seconds, for those with insects while others starve"""
    least_seconds: float
    """nobody is looked at for less"""
    whole_seconds: float = 0.0
    """of the round, where only what is left of it is shared out"""
