"""What was read or made last, held as long as little else was asked for since."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

Made = TypeVar("Made")


class Lately(Generic[Made]):
    """The few values asked for last: so that a collection of any size fits into memory."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: OrderedDict[Hashable, Made] = OrderedDict()

    def get(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """The value of a key, the same object as before if it is still held; else made anew."""
        found = self._held.pop(key) if key in self._held else make()
        self._held[key] = found
        if len(self._held) > self._most:
            self._held.popitem(last=False)
        return found
