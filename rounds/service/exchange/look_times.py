"""When the looks of a file were; days and times as most files write them are read fast."""

from datetime import UTC, date, datetime, time, timedelta
from typing import NamedTuple

from rounds.clock import Clock
from rounds.service.exchange import cells

A_DAY = len("2026-05-01")
A_TIME = frozenset(map(len, ("2026-05-01 07:30", "2026-05-01 07:30:15")))

When = tuple[date, float]
"""The local day, and the instant in seconds since 1970, UTC."""


class LocalDay(NamedTuple):
    """A day that was met in the file."""

    noon: When
    is_even: bool
    """no clock is changed on it"""


class LookTimes:
    """Reads the times of one file."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._days: dict[str, LocalDay] = {}

    def read_fast(self, text: str) -> When | None:
        """As `read`; None where it has to be read at length."""
        day = self._days.get(text[:A_DAY])
        if day is None:
            return None
        noon, is_even = day
        if len(text) == A_DAY:
            return noon
        if not is_even or len(text) not in A_TIME or text[A_DAY] not in " T":
            return None
        try:
            return noon[0], datetime.fromisoformat(text).timestamp()
        except ValueError:
            return None

    def read(self, text: str) -> When:
        """When a look was. BadInput where it cannot be read."""
        day = text[:A_DAY]
        when = self._read(text)
        if cells.ONLY_A_DAY.fullmatch(day):
            noon = self._read(day)
            self._days[day] = LocalDay(noon, _is_even(noon[0]))
        return when

    def _read(self, text: str) -> When:
        moment = cells.moment(self._clock, text, "at")
        return moment.day, moment.instant.timestamp()


def _is_even(day: date) -> bool:
    begins, ends = (datetime.combine(day + timedelta(days), time()) for days in (0, 1))
    return ends.astimezone(UTC) - begins.astimezone(UTC) == timedelta(days=1)
