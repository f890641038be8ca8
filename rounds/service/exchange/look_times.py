"""When the looks of a file were; days and times as most files write them are read fast."""

from datetime import UTC, date, datetime, time, timedelta

from rounds.clock import Clock
from rounds.service.exchange import cells

A_DAY = len("2026-05-01")
A_TIME = frozenset(map(len, ("2026-05-01 07:30", "2026-05-01 07:30:15")))

When = tuple[date, float]
"""The local day, and the instant in seconds since 1970, UTC."""


class LookTimes:
    """Reads the times of one file."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._noons: dict[str, When] = {}
        self._days: dict[str, date] = {}
        """as they stand before a time; without those on which clocks are changed"""

    def read_fast(self, text: str) -> When | None:
        """As `read`; None where the text is not in the usual form, or clocks change that day."""
        day = self._days.get(text[: A_DAY + 1])
        if day is None or len(text) not in A_TIME:
            return self._noons.get(text)
        try:
            return day, datetime.fromisoformat(text).timestamp()
        except ValueError:
            return None

    def read(self, text: str) -> When:
        """When a look was. BadInput where it cannot be read."""
        when = self._read(text)
        day = text[:A_DAY]
        if cells.ONLY_A_DAY.fullmatch(day):
            self._noons[day] = noon = self._read(day)
            if _is_even(noon[0]):
                self._days[f"{day} "] = self._days[f"{day}T"] = noon[0]
        return when

    def _read(self, text: str) -> When:
        moment = cells.moment(self._clock, text, "at")
        return moment.day, moment.instant.timestamp()


def _is_even(day: date) -> bool:
    """Whether no clock is changed on a day."""
    begins, ends = (datetime.combine(day + timedelta(days), time()) for days in (0, 1))
    return ends.astimezone(UTC) - begins.astimezone(UTC) == timedelta(days=1)
