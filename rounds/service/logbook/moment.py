"""The day and instant that a writing command is about, and who writes."""

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime, time

from rounds.clock import Clock, milliseconds
from rounds.errors import BadInput


@dataclass(frozen=True, slots=True)
class Moment:
    """The instant an entry is made for, and the local day it is about."""

    day: date
    instant: datetime
    who: str | None = None

    @property
    def at_ms(self) -> int:
        """Milliseconds since 1970, UTC."""
        return milliseconds(self.instant)

    @property
    def seconds(self) -> int:
        """Seconds since 1970, UTC."""
        return int(self.instant.timestamp())


AS_USUAL = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[ T][0-9]{2}:[0-9]{2}(:[0-9]{2})?")
"""A local time as most files and people write it."""

FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2999, 12, 31)
"""Far enough from the ends of the calendar for every sum about a day to stay within it."""


def now(clock: Clock, who: str | None = None) -> Moment:
    """This instant and the local day it falls on."""
    return Moment(clock.today(), clock.now(), who)


def read_moment(clock: Clock, on: str | None, at: str | None, who: str | None) -> Moment:
    """The moment of a day and an instant as typed. BadInput for none, or where they disagree."""
    day = None if on is None else read_day(on, "on")
    if at is None:
        return now(clock, who) if day is None else Moment(day, _noon(day), who)
    instant = read_instant(at, "at")
    about = _within_reach(instant.date(), at, "at")
    if day is not None and day != about:
        raise BadInput("days-disagree", on=day, at=at, field="at")
    return Moment(about, _utc(instant), who)


def read_day(text: str, field: str) -> date:
    """A day written YYYY-MM-DD. BadInput otherwise."""
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        raise BadInput("not-a-date", given=text, field=field) from None
    return _within_reach(day, text, field)


def read_instant(text: str, field: str) -> datetime:
    """An instant in ISO 8601, local where it has no offset. BadInput otherwise."""
    text = text.strip()
    with suppress(ValueError):
        if AS_USUAL.fullmatch(text):
            return datetime.fromisoformat(text)
    # slow to import, and needed for the less usual ways of ISO 8601 alone
    from dateutil import parser

    try:
        return parser.isoparse(text.replace(" ", "T", 1))
    except ValueError:
        raise BadInput("not-an-instant", given=text, field=field) from None


def local_noon(day: date, who: str | None = None) -> Moment:
    """Noon of a day, for what was entered without a time."""
    return Moment(day, _noon(day), who)


def _within_reach(day: date, given: str, field: str) -> date:
    if not FIRST_DAY <= day <= LAST_DAY:
        raise BadInput(
            "day-out-of-reach",
            given=given,
            first=FIRST_DAY,
            last=LAST_DAY,
            field=field,
        )
    return day


def _noon(day: date) -> datetime:
    return _utc(datetime.combine(day, time(12)))


def _utc(instant: datetime) -> datetime:
    return instant.astimezone(UTC)
