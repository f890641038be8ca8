"""Long work as generators, whose steps are so short that no key press waits."""

from collections.abc import Generator
from typing import TypeVar

Found = TypeVar("Found")


def finished(steps: Generator[None, None, Found]) -> Found:
    """Run a generator of steps to its end; what it returns."""
    while True:
        try:
            next(steps)
        except StopIteration as end:
            found: Found = end.value
            return found
