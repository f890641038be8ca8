"""When the looks of a file were; days and times as most files write them are read fast."""

from datetime import date, datetime

from rounds.clock import Clock
from rounds.service.exchange import cells

A_DAY = len("2026-05-01")
TO_THE_MINUTE, TO_THE_SECOND = len("2026-05-01 07:30"), len("2026-05-01 07:30:15")


class LookTimes:
    """Reads the times of one file; the days met are kept."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._noons: dict[str, tuple[date, float]] = {}

    def read_fast(self, text: str) -> tuple[date, float] | None:
        """As `read`; None where it has to be read at length."""
        noon = self._noons.get(text[:A_DAY])
        length = len(text)
        if noon is None or length == A_DAY:
            return noon
        if length not in (TO_THE_MINUTE, TO_THE_SECOND) or text[A_DAY] not in " T":
            return None
        try:
            return noon[0], datetime.fromisoformat(text).timestamp()
        except ValueError:
            return None

    def read(self, text: str) -> tuple[date, float]:
        """The local day and the instant, in seconds since 1970, UTC. BadInput where it is none."""
        moment = cells.moment(self._clock, text, "at")
        day = text[:A_DAY]
        if cells.ONLY_A_DAY.fullmatch(day):
            noon = cells.moment(self._clock, day, "at")
            self._noons[day] = (noon.day, noon.instant.timestamp())
        return moment.day, moment.instant.timestamp()
