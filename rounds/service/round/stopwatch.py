"""The clock of a round: it runs from key to key and stops by itself where no key comes."""

from collections.abc import Callable

from rounds.clock import Clock


class RoundStopwatch:
    """Seconds between presses, of which no more than `idle_seconds` says ever count."""

    def __init__(self, clock: Clock, idle_seconds: Callable[[], float]) -> None:
        self._clock = clock
        self._idle_seconds = idle_seconds
        self._last = clock.stopwatch()
        self.paused = False

    def press(self) -> float:
        """A key came: the seconds to add since the last one. Ends a pause."""
        running = self.running()
        self._last = self._clock.stopwatch()
        self.paused = False
        return running

    def pause(self) -> None:
        """Stop until the next key."""
        self._last = self._clock.stopwatch()
        self.paused = True

    def running(self) -> float:
        """Seconds counted since the last key, so far."""
        if self.paused:
            return 0.0
        return min(self._since(), self._idle_seconds())

    def stopped_itself(self) -> bool:
        """Whether no key has come for so long that the clock stands."""
        return not self.paused and self._since() > self._idle_seconds()

    def _since(self) -> float:
        return max(0.0, self._clock.stopwatch() - self._last)
