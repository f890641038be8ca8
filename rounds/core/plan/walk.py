"""In which order the chosen plants are walked: clean side first, plants apart last; or by risk."""

from collections.abc import Sequence

BLOCKS = ("collection", "watch", "quarantine")
"""Clean before infested: common practice, no source."""


def walking_order(chosen: Sequence[tuple[int, str]], *, clean_first: bool = True) -> list[int]:
    """Sort the numbers of (number, standing) pairs, by standing first if `clean_first`."""
    ordered = sorted(
        chosen, key=lambda pair: (BLOCKS.index(pair[1]) if clean_first else 0, pair[0])
    )
    return [number for number, _ in ordered]
