"""What a look at one plant could prevent, and what it costs."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ZoneCall:
    """One zone of a plant."""

    harm: Sequence[float]
    """what the insects in reach would cause, by stage"""
    reference_seconds: float
    least_seconds: float
    """0 where the plant need not be looked at"""


@dataclass(frozen=True, slots=True)
class PlantCall:
    """One plant that could be looked at."""

    code: str
    must: bool
    overhead_seconds: float
    spared_seconds: float
    zones: Sequence[ZoneCall]
    found_in_reach: tuple[float, ...]
    """by stage: chance to find one insect in the reference seconds"""
