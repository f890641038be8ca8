"""What is told of a plant, before any sum: its looks, where it stood, what came along with it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from rounds.core.body import Body
from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import Infestation


@dataclass(frozen=True, slots=True)
class Mates:
    """Plants that arrived together with this one and can tell something.

    `known` have a complete look since, or a live find; `infested` of them have a live find.
    """

    known: int
    infested: int


def chance_infested(mates: Mates, infestation: Infestation) -> float:
    """Chance that a new arrival is infested, given what is known of those that came with it."""
    known = infestation.mates_plants + mates.known
    return (infestation.mates_infested + mates.infested) / known


@dataclass(frozen=True, slots=True)
class Division:
    """The plant was divided on a day: each insect came along with this chance."""

    day: date
    share: float
    earlier: tuple[int, ...] | None = None
    """ids of the looks of that day made before it, at the whole plant; None stands for all"""


@dataclass(frozen=True, slots=True)
class PlantFacts:
    """All that the evidence of one plant and one pest rests on."""

    looks: tuple[EffectiveLook, ...]
    """those that stand, up to the day spoken about"""
    body_on: Callable[[date], Body]
    range_c: Callable[[date], tuple[float, float]]
    """least and greatest temperature where it stood, degC"""
    apart: Callable[[date], bool]
    """whether it stood where infested plants stand"""
    first_day: date
    arrived: bool
    """it came that day; else it was there already"""
    pest: str
    mates: Mates | None = None
    neighbours: Mapping[date, float] = field(default_factory=dict)
    """crawlers expected from infested neighbours, by day"""
    divisions: tuple[Division, ...] = ()
    insects_seen: bool = False
    """insects were seen on it when it came, nobody counted how many"""


@dataclass(frozen=True, slots=True)
class Refit:
    """What is assumed otherwise, for the band of a figure: factors, and the chance at the start."""

    detection: float = 1.0
    exchange: float = 1.0
    tucked: float = 1.0
    """times the tucked shares, to 1 at most"""
    infested: float | None = None
    """chance to be infested at the start; None for the one supposed"""
    arrivals: float = 1.0
    """times those that come from nowhere in particular; what neighbours send stays"""
    code: str = ""
    """what is assumed otherwise; empty for the log as it is"""


def begins_on(found_on: Sequence[date], first_day: date, on: date, reading: Infestation) -> date:
    """First day of the log that is read: before its newest run of finds, but not before it came.

    Args:
        found_on: days with a live find up to `on`, in order.
        first_day: the day the plant came.
        on: the day spoken about.
        reading: how far back is read.
    """
    begins = on - timedelta(days=reading.reading_days)
    first_of_run = None
    for day in reversed(found_on):
        if first_of_run is not None and (first_of_run - day).days >= reading.run_ends_days:
            break
        first_of_run = day
    if first_of_run is not None:
        begins = min(begins, first_of_run - timedelta(days=reading.reading_before_finds))
    return max(first_day, begins)
