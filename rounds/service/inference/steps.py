"""Work that takes longer, in steps so short that no key need wait."""

from collections.abc import Generator
from typing import TypeVar

Found = TypeVar("Found")


def finished(steps: Generator[None, None, Found]) -> Found:
    """What steps come to, without a pause."""
    while True:
        try:
            next(steps)
        except StopIteration as end:
            found: Found = end.value
            return found
