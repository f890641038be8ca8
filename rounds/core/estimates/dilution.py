"""How much of a liquid and how much water make a weaker one.

What is dissolved stays the same: stock * its strength = whole * strength wanted. That the two
volumes add up is an assumption; alcohol and water together shrink by a few parts in a hundred.
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Dilution:
    """Volumes of stock and of water, in the unit of the volume wanted."""

    stock: float
    water: float


def diluted(stock_percent: float, target_percent: float, volume: float) -> Dilution:
    """The volumes of stock and water that make a volume of the strength wanted.

    Args:
        stock_percent: strength of what is there, above 0 and up to 100.
        target_percent: strength wanted, above 0 and not above the stock's.
        volume: of the whole, above 0, in any unit.

    Raises:
        ValueError: where there is no such mixture.
    """
    if not 0 < target_percent <= stock_percent <= 100 or not volume > 0:
        raise ValueError(f"no mixture: {stock_percent} to {target_percent}, volume {volume}")
    stock = min(volume, volume * target_percent / stock_percent)
    return Dilution(stock, volume - stock)


def from_rate(ml_per_litre: float, volume: float) -> Dilution:
    """The volumes for a rate that a label gives: so much of it to each litre of water.

    Args:
        ml_per_litre: of the stock, above 0.
        volume: of the whole, above 0, in any unit.

    Raises:
        ValueError: where there is no such mixture.
    """
    if not ml_per_litre > 0 or not volume > 0:
        raise ValueError(f"no mixture: {ml_per_litre} ml per litre, volume {volume}")
    stock = volume * ml_per_litre / (1000 + ml_per_litre)
    return Dilution(stock, volume - stock)


@dataclass(frozen=True, slots=True)
class Cup:
    """What a measuring cup, a spoon or a syringe shows: steps, each up to a volume, ml."""

    steps: tuple[tuple[float, float], ...]

    def nearest(self, millilitres: float) -> float:
        """The nearest volume that it shows, ml; 0 where that is nothing."""
        step = next(step for most, step in self.steps if millilitres <= most)
        return round(millilitres / step) * step


METRIC_CUP = Cup(((10, 0.5), (50, 1), (250, 5), (1000, 10), (math.inf, 50)))
"""A syringe up to 10 ml, a medicine cup, then measuring cups: an assumption."""

ML_IN_US_TEASPOON = 4.92892159375
"""Exact: a sixth of the US fluid ounce (NIST Handbook 44, Appendix C)."""

US_CUP = Cup(((6 * ML_IN_US_TEASPOON, ML_IN_US_TEASPOON / 4),
              (48 * ML_IN_US_TEASPOON, 1.5 * ML_IN_US_TEASPOON),
              (math.inf, 3 * ML_IN_US_TEASPOON)))  # fmt: skip
"""Quarter teaspoons up to a fluid ounce, quarter ounces up to a cup, half ounces above: an
assumption."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A stock as a cup shows it."""

    stock: float
    """ml"""
    error: float
    """of the strength made: 0.02 is 2 in 100 too strong"""


def measured(stock_ml: float, cup: Cup) -> Measured | None:
    """A volume of stock rounded to what a cup shows, filled up with water; None: too little."""
    shown = cup.nearest(stock_ml)
    return Measured(shown, shown / stock_ml - 1) if shown > 0 else None
