"""In which order the chosen plants are walked: clean side first, plants apart last."""

from collections.abc import Sequence

BLOCKS = ("collection", "watch", "quarantine")
"""Clean before infested: common practice, no source."""


def walking_order(chosen: Sequence[tuple[int, str]]) -> list[int]:
    """The numbers of (number, standing) pairs, block by block, in order of need within each."""
    ordered = sorted(chosen, key=lambda pair: (BLOCKS.index(pair[1]), pair[0]))
    return [number for number, _ in ordered]
