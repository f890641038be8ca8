"""Which daily copies stay: close together lately, farther apart the older they are."""

from collections.abc import Callable, Iterable
from datetime import date

DAYS, WEEKS, MONTHS = 7, 4, 12
"""how many days, weeks and months keep their newest copy; common practice, no source"""


def worth_keeping(days: Iterable[date]) -> frozenset[date]:
    """Of the days that have a copy, those whose copy stays.

    The newest of each of the last 7 days, 4 weeks (from Monday) and 12 months that have one.
    """
    newest_first = sorted(set(days), reverse=True)
    return frozenset(
        day
        for spans, span_of in (
            (DAYS, date.toordinal),
            (WEEKS, lambda day: day.isocalendar()[:2]),
            (MONTHS, lambda day: (day.year, day.month)),
        )
        for day in _newest_of(newest_first, spans, span_of)
    )


def _newest_of(
    newest_first: Iterable[date], spans: int, span_of: Callable[[date], object]
) -> Iterable[date]:
    found: dict[object, date] = {}
    for day in newest_first:
        found.setdefault(span_of(day), day)
    return list(found.values())[:spans]
