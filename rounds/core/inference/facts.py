"""What is told of a plant, before any sum: its looks, where it stood, what came along with it."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from rounds.core.body import Body
from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import Infestation, Kills


@dataclass(frozen=True, slots=True)
class Mate:
    """What the log of a plant that came along tells: how likely it is, over the likelier case."""

    if_infested: float
    if_clean: float


def chance_infested(mates: Sequence[Mate], infestation: Infestation) -> float:
    """Chance that a plant came infested, given the logs of those that came with it.

    The share q infested of what came is Beta(a, b) before: a / (a + b) the chance of a new arrival,
    a + b as many plants as it is worth. The chance is the mean of q given that each mate's log had
    the chance q x `if_infested` + (1 - q) x `if_clean`. Exact: a sum of beta integrals, all terms
    of which are positive.
    """
    came = infestation.priors["arrival"].chance * infestation.mates_plants
    rest = infestation.mates_plants - came
    if not came or not rest:
        return came / infestation.mates_plants
    # of q^k (1 - q)^(n - k), k of n mates infested
    shares = [1.0]
    for mate in mates:
        fewer, more = [*shares, 0.0], [0.0, *shares]
        shares = [
            clean * mate.if_clean + infested * mate.if_infested
            for clean, infested in zip(fewer, more, strict=True)
        ]
        greatest = max(shares)
        shares = [share / greatest for share in shares]
    size = len(mates)
    logs = [math.lgamma(came + k) + math.lgamma(rest + size - k) for k in range(size + 1)]
    weights = [share * math.exp(log - max(logs)) for share, log in zip(shares, logs, strict=True)]
    infested = sum(weight * (came + k) for k, weight in enumerate(weights))
    return infested / sum(weights) / (came + rest + size)


@dataclass(frozen=True, slots=True)
class Division:
    """The plant was divided on a day: each insect came along with this chance."""

    day: date
    share: float
    earlier: tuple[int, ...] | None = None
    """ids of the looks of that day made before it, at the whole plant; None stands for all"""


@dataclass(frozen=True, slots=True)
class Treated:
    """A treatment was used on a day, after the looks of that day."""

    day: date
    kills: Kills


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
    chance_infested: float | None = None
    """that it came infested, by what those it came with tell; None where they tell nothing"""
    neighbours: Mapping[date, float] = field(default_factory=dict)
    """crawlers expected from infested neighbours, by day"""
    divisions: tuple[Division, ...] = ()
    treated: tuple[Treated, ...] = ()
    """what was used on it, oldest first"""
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
