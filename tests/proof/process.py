"""The life of the insects of one plant as data: what the simulation and its rivals run on.

An insect's kind is its sub-stage, its zone and whether it is tucked away. Arrays over kinds have
the shape (sub-stages, zones, 2), the last axis being in reach and tucked; sub-stages run from the
first egg to the laying adult.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.proof.records import Group, Start, Treatment, ZoneLook

Values = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Day:
    """One day of life: chances by sub-stage, and the mean of the eggs of a laying adult."""

    survive: Values
    advance: Values
    eggs: float
    moving: float = 1.0
    """share of the exchange that happens"""


@dataclass(frozen=True, eq=False)
class Process:
    """One pest on one plant. `day` gives a day of life from its degree-days."""

    zones: tuple[str, ...]
    weight: Values
    tucked_share: Values
    reference_seconds: Values
    groups: tuple[Group, ...]
    """of each sub-stage: eggs, young or adult; the last sub-stage is the laying adult"""
    make_up: Values
    exchange: Values
    found_in_reach: Values
    found_out_of_pot: Values
    day: Callable[[float], Day]
    arrival: Values
    """shares of the kinds among those that arrive"""
    leaves: float
    stays: float
    """of the crawlers that do not leave the plant"""
    killed: float
    """chance that what was killed in place is dead"""
    sac_gone: float
    """chance that an egg in reach goes with the sac of a laying adult that was found"""
    pot_zones: tuple[str, ...] = ("medium", "roots")
    lower_c: float = 8.0
    upper_c: float = 28.0

    @property
    def crawler(self) -> int:
        """The first sub-stage that is no egg."""
        return self.groups.count("eggs")

    @property
    def shape(self) -> tuple[int, int, int]:
        """Of an array over kinds."""
        return len(self.groups), len(self.zones), 2

    @property
    def landing(self) -> Values:
        """Where one settles that comes from elsewhere, shape (zones, 2); sums to 1."""
        in_reach = self.weight * (1 - self.tucked_share)
        return np.stack([in_reach, self.weight * self.tucked_share], axis=1)

    def start_means(self, start: Start) -> Values:
        """Mean number of each kind in an infested plant before the first look."""
        make_up = self.make_up / self.make_up.sum()
        means: Values = start.mean * make_up[:, None, None] * self.landing
        return means

    def degree_days(self, least_c: float, greatest_c: float) -> float:
        """Of one sine wave of temperature, development level above the upper threshold."""
        phase = (np.arange(3600) + 0.5) * (2 * np.pi / 3600)
        wave = (least_c + greatest_c) / 2 + (greatest_c - least_c) / 2 * np.sin(phase)
        return float(np.clip(wave, self.lower_c, self.upper_c).mean() - self.lower_c)

    def finding(self, look: ZoneLook) -> Values:
        """Chance of each kind to be found by a look."""
        at = self.zones.index(look.zone)
        times = look.seconds / self.reference_seconds[at]
        once = self.found_out_of_pot if look.unpotted else self.found_in_reach
        chance = np.zeros(self.shape)
        chance[:, at, 0] = 1 - (1 - once) ** times
        if look.unpotted:
            chance[:, at, 1] = chance[:, at, 0]
        return chance

    def members(self, group: Group, *, beside_sacs: bool = False) -> Flags:
        """Which sub-stages a group holds; beside sacs an adult is one before laying."""
        laying = np.zeros(len(self.groups), np.bool_)
        laying[-1] = True
        if group == "egg-mass":
            return laying
        if group == "unknown":
            return np.ones(len(self.groups), np.bool_)
        of_group = np.array([one == group for one in self.groups], np.bool_)
        of_group[laying] &= not beside_sacs
        return of_group

    def killing(self, treatment: Treatment) -> Values:
        """Chance of each kind to be killed by a treatment."""
        chance = np.zeros(self.shape)
        chance[: self.crawler, :, 0] = treatment.eggs_in_reach
        chance[self.crawler :, :, 0] = treatment.in_reach
        chance[:, :, 1] = treatment.tucked
        for zone in self.pot_zones:
            if zone in self.zones:
                chance[:, self.zones.index(zone)] = treatment.in_pot
        return chance
