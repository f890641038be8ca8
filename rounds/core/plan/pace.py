"""The grower's own pace: how long looks take against how long they were planned."""

from collections.abc import Sequence
from dataclasses import dataclass

from rounds.core.parameters import Planning

AS_PLANNED = 1.0


@dataclass(frozen=True, slots=True)
class TimedLook:
    """One look at a zone, walking included on both sides."""

    elapsed_seconds: float
    planned_seconds: float


@dataclass(frozen=True, slots=True)
class Pace:
    """How long a grower's looks take, and how that came about."""

    times: float
    """the planned seconds"""
    looks: int
    """complete ones it rests on; fewer than it takes say nothing yet"""


def own_pace(looks: Sequence[TimedLook], planning: Planning) -> Pace:
    """Times the planned seconds a look takes: the median of the last looks, within limits.

    Args:
        looks: newest last; planned seconds are positive.
        planning: how many count, how many it takes, and the limits.
    """
    last = looks[-planning.pace_looks :]
    if len(last) < planning.pace_from_looks:
        return Pace(AS_PLANNED, len(last))
    middle = median_times(last)
    return Pace(min(max(middle, planning.pace_least), planning.pace_most), len(last))


def median_times(looks: Sequence[TimedLook]) -> float:
    """Times the planned seconds that looks took, the middle of at least one."""
    return _median([look.elapsed_seconds / look.planned_seconds for look in looks])


def _median(values: Sequence[float]) -> float:
    # importing `statistics` for its median would load modules that no plan needs
    ordered = sorted(values)
    return (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2
