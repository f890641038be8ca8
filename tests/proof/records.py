"""What a grower wrote down about one plant, as the proofs use it: records of their own.

Days are whole numbers from the first date, which is day 0.
"""

import math
from dataclasses import dataclass, field
from typing import Literal

Group = Literal["eggs", "young", "adult", "egg-mass", "unknown"]
"""`egg-mass` is a laying adult with her sac; `unknown` is any stage."""
Done = Literal["removed", "killed", "left"]
"""`killed` is killed in place, which may fail."""


@dataclass(frozen=True, slots=True)
class Find:
    """So many insects of one group, and what was done with them."""

    group: Group
    count: int
    done: Done = "removed"


@dataclass(frozen=True, slots=True)
class ZoneLook:
    """One look at one zone. `seconds` are those credited; no finds is a clean look."""

    zone: str
    seconds: float
    unpotted: bool = False
    finds: tuple[Find, ...] = ()

    @property
    def found(self) -> int:
        """How many were found."""
        return sum(find.count for find in self.finds)


@dataclass(frozen=True, slots=True)
class Treatment:
    """Chance with which an insect is killed, by where it is. Comes after the day's looks."""

    in_reach: float = 0.0
    """from the first nymph on"""
    eggs_in_reach: float = 0.0
    tucked: float = 0.0
    in_pot: float = 0.0
    """medium and roots, all stages, in reach or not"""


@dataclass(frozen=True, slots=True)
class DayLooks:
    """The looks of a day in their order, then its treatments."""

    day: int
    looks: tuple[ZoneLook, ...]
    treatments: tuple[Treatment, ...] = ()


@dataclass(frozen=True, slots=True)
class Start:
    """Before the first look: with chance `infested`, Poisson(L * mean), L gamma of mean 1."""

    infested: float
    mean: float
    shape: float


@dataclass(frozen=True, slots=True)
class PlantLog:
    """All that is known about one plant up to the end of `last_day`, the day asked about.

    `days` are in order, at most one of a day; a day that is missing has no looks.
    `temperatures` has the least and the greatest degC of each day but the last (the step from a
    day to the next runs on the temperatures of the former). `arrivals` is the mean number of
    insects that arrive on each day but the first.
    """

    days: tuple[DayLooks, ...]
    last_day: int
    temperatures: tuple[tuple[float, float], ...]
    start: Start
    arrivals: float = 0.0
    by_day: dict[int, DayLooks] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if len(self.temperatures) != self.last_day:
            raise ValueError(f"{len(self.temperatures)} temperatures for {self.last_day} days")
        numbers = [looks.day for looks in self.days]
        if numbers != sorted(set(numbers)) or (numbers and numbers[-1] > self.last_day):
            raise ValueError(f"days are not in order within the log: {numbers}")
        object.__setattr__(self, "by_day", {looks.day: looks for looks in self.days})

    @property
    def last_find(self) -> int | None:
        """Day of the last look with a find."""
        with_finds = [d.day for d in self.days if any(look.found for look in d.looks)]
        return max(with_finds, default=None)

    @property
    def coefficients(self) -> int:
        """Product of (finds + 1) over looks after the first day: what exactness costs at least."""
        return math.prod(look.found + 1 for d in self.days if d.day > 0 for look in d.looks)


def channels(look: ZoneLook) -> dict[Group, int]:
    """What a look says was found: a number for every group, or one for all groups together.

    Where one find has no stage, only the sum of the look is known. A group with no find is a
    zero, and known to be. With a sac among the finds, `egg-mass` are the laying adults and
    `adult` those before laying.

    Raises:
        ValueError: adults and sacs in one look, which leaves open whether the adults were laying.
    """
    count: dict[Group, int] = {}
    for find in look.finds:
        count[find.group] = count.get(find.group, 0) + find.count
    if "unknown" in count or not look.found:
        return {"unknown": look.found}
    if count.get("egg-mass") and count.get("adult"):
        raise ValueError("adults with and without a sac in one look")
    groups: tuple[Group, ...] = ("eggs", "young", "adult")
    told = {group: count.get(group, 0) for group in groups}
    return {**told, "egg-mass": count["egg-mass"]} if count.get("egg-mass") else told
