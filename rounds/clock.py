"""The only place that asks what time it is."""

import time
from dataclasses import dataclass
from datetime import UTC, date, datetime


class Clock:
    """Wall clock and stopwatch of this machine; tests put their own in its place."""

    def now(self) -> datetime:
        """This instant, UTC."""
        return datetime.now(UTC)

    def today(self) -> date:
        """The local day."""
        return self.now().astimezone().date()

    def stopwatch(self) -> float:
        """Seconds that only ever go forward; differences alone mean something."""
        return time.monotonic()


@dataclass
class SetClock(Clock):
    """A clock that stands where it is put."""

    instant: datetime
    seconds: float = 0.0

    def now(self) -> datetime:
        """The instant it was put at."""
        return self.instant

    def stopwatch(self) -> float:
        """The seconds it was put at."""
        return self.seconds


def milliseconds(instant: datetime) -> int:
    """An instant as milliseconds since 1970, UTC."""
    return round(instant.timestamp() * 1000)


def from_seconds(seconds: float) -> datetime:
    """The instant of so many seconds since 1970, UTC."""
    return datetime.fromtimestamp(seconds, UTC)


def rfc3339(instant: datetime) -> str:
    """An instant as RFC 3339 in UTC, with Z."""
    text = instant.astimezone(UTC).isoformat(timespec="seconds")
    return text.replace("+00:00", "Z")
