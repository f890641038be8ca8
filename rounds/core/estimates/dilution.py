"""How much of a liquid and how much water make a weaker one.

What is dissolved stays the same: stock * its strength = whole * strength wanted. That the two
volumes add up is an assumption; alcohol and water together shrink by a few parts in a hundred.
"""

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
