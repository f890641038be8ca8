"""In which order the chosen plants are walked: from the clean side to the infested; or by risk."""

from collections.abc import Sequence
from dataclasses import dataclass

BLOCKS = ("collection", "watch", "alive", "quarantine")
"""Clean before infested: common practice, no source. Alive are those not yet apart."""

QUARANTINE = "quarantine"

TIED_DECIMALS = 12
"""to which chances are compared: further ones depend on how a sum was added up"""


@dataclass(frozen=True, slots=True)
class Stop:
    """One plant of a walk."""

    number: int
    """in the order of need"""
    block: str
    chance_clean: float


def walking_order(stops: Sequence[Stop]) -> list[int]:
    """The numbers of plants as they are walked: block by block, those apart the cleanest first."""
    return [stop.number for stop in sorted(stops, key=_when)]


def _when(stop: Stop) -> tuple[int, float, int]:
    cleanest = -round(stop.chance_clean, TIED_DECIMALS) if stop.block == QUARANTINE else 0.0
    return BLOCKS.index(stop.block), cleanest, stop.number
