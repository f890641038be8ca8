"""Whole insects on invented plants, looked at and found: an independent truth for the sums.

They share the parameter table with the sums and nothing else.
"""

import importlib.util
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from .logs import LEAFY, PARAMETERS

SOURCE = Path(__file__).parents[3] / "demo" / "insects.py"
ZONES = [zone.zone for zone in LEAFY.outside]


def _load() -> Any:
    spec = importlib.util.spec_from_file_location("insects_of_the_demo", SOURCE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


INSECTS = _load()
BIOLOGY = INSECTS.Biology(PARAMETERS)


@dataclass(frozen=True)
class Season:
    """How one plant lives and is looked at. All that is found is taken off."""

    last: int
    """day"""
    every: int
    """days between whole looks of the reference seconds"""
    celsius: float = 22.0
    arrivals: float = 0.0


def infested_plant(rng: np.random.Generator) -> Any:
    """A plant as supposed of an infested arrival: 3 insects on average, gamma shape 1/2."""
    supposed = PARAMETERS.infestation.before["arrival"]
    colony = INSECTS.Colony(BIOLOGY, LEAFY, rng)
    colony.begin(supposed.mean * rng.gamma(supposed.shape) / supposed.shape)
    return colony


def pass_day(colony: Any, season: Season, rng: np.random.Generator) -> None:
    """From one date to the next."""
    colony.day(season.celsius - PARAMETERS.warmth.lower_threshold_c)
    if season.arrivals:
        colony.arrive(int(rng.poisson(season.arrivals)))


def look_over(colony: Any) -> dict[str, int]:
    """What a whole look finds, by zone; it is taken off."""
    found = {}
    for zone in ZONES:
        seen = colony.look(zone, LEAFY.zone(zone).reference_seconds, unpotted=False)
        if len(seen.where):
            found[zone] = len(seen.where)
            colony.remove(seen.where)
    return found


def left_after(
    season: Season, found: Mapping[int, Mapping[str, int]], plants: int, seed: int
) -> list[int]:
    """Numbers left on those of so many infested plants whose looks found exactly this."""
    rng = np.random.default_rng(seed)
    left = (_left(season, found, rng) for _ in range(plants))
    return [number for number in left if number is not None]


def _left(
    season: Season, found: Mapping[int, Mapping[str, int]], rng: np.random.Generator
) -> int | None:
    colony = infested_plant(rng)
    for day in range(season.last + 1):
        if day:
            pass_day(colony, season, rng)
        looked = day % season.every == 0 or day in found
        if looked and look_over(colony) != found.get(day, {}):
            return None
    return len(colony.types)
