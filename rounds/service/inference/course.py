"""How the chance clean of a plant in quarantine went, and how it goes on at this rate."""

from collections.abc import Callable, Generator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from rounds import words
from rounds.service.inference.ahead import chances_ahead, forecast_key
from rounds.service.inference.kept import NotKept, kept_or_worked_out, knows, only_kept
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import day_month, out_of_100

MOST_BEFORE, MOST_AHEAD = 10, 12
"""days that are worked out, of which the curve is drawn"""
BEYOND_DAYS, NO_DATE_DAYS = 7, 60
"""days shown after the date it may rejoin; and where there is no date"""
LEAST_POINTS = 2

Raw = list[Any]
"""a day and its chance"""


@dataclass(frozen=True, slots=True)
class Course:
    """The chance clean at the end of some days, in order; between two of them a straight line."""

    points: tuple[tuple[date, float], ...]
    on: date
    asked: float
    """chance from which on it may rejoin"""
    text: str
    """the same in words"""

    @property
    def first(self) -> date:
        """The first day."""
        return self.points[0][0]

    @property
    def last(self) -> date:
        """The last day."""
        return self.points[-1][0]

    def chance_on(self, day: date) -> float:
        """The chance at the end of a day, 0 to 1."""
        for (first, was), (last, will_be) in pairwise(self.points):
            if first <= day <= last:
                return was + (will_be - was) * ((day - first) / (last - first))
        return self.points[0 if day < self.first else -1][1]


def course_in_steps(record: PlantRecord) -> Generator[None, None, Course | None]:
    """The course of a plant in quarantine, with a pause after each run of the sums."""
    if record.history is None:
        return None
    while not record.work_on_forecast():
        yield
    key, found = forecast_key(record), list[Raw]()
    if not knows(record.logbook, record.plant.id, _what(record), key):
        found = yield from _worked_out(record)
    return _read(record, _kept(record, key, lambda: found))


def kept_course(record: PlantRecord) -> Course | None:
    """The same where it is kept; nothing is worked out."""
    if record.history_seen is None:
        return None
    with only_kept(record.logbook), suppress(NotKept):
        key = forecast_key(record)
        if knows(record.logbook, record.plant.id, _what(record), key):
            return _read(record, _kept(record, key, list))
    return None


def _what(record: PlantRecord) -> str:
    return f"course {record.likely.pest}"


def _kept(record: PlantRecord, key: str, work_out: Callable[[], list[Raw]]) -> list[Raw]:
    kept: list[Raw] = kept_or_worked_out(
        record.logbook, record.plant.id, _what(record), key, work_out
    )
    return kept


def _worked_out(record: PlantRecord) -> Generator[None, None, list[Raw]]:
    """Days, each with its chance."""
    # slow to import, and not needed where they are kept
    from rounds.core.inference.holding import HOLDING_BUDGET
    from rounds.core.quarantine.course import chances_at, days_before

    facts, on = record.likely.facts, record.on
    before = days_before(max(facts.first_day, record.standing_since), on, MOST_BEFORE)
    was = yield from chances_at(facts, before, record.parameters, HOLDING_BUDGET)
    ready_on = record.forecast.ready_on if record.forecast else None
    until = NO_DATE_DAYS if ready_on is None else (ready_on - on).days + BEYOND_DAYS
    step = -(-until // MOST_AHEAD)
    ahead = [on + timedelta(days=number) for number in range(step, until + step, step)]
    expected = yield from chances_ahead(record, ahead)
    days = [*before, on, *ahead]
    chances = [*was, record.likely.chance_clean, *(expected or ())]
    return [[day.isoformat(), chance] for day, chance in zip(days, chances, strict=False)]


def _read(record: PlantRecord, kept: Sequence[Raw]) -> Course | None:
    if len(kept) < LEAST_POINTS:
        return None
    points = tuple((date.fromisoformat(day), float(chance)) for day, chance in kept)
    asked = record.rules.chance_clean
    return Course(points, record.on, asked, _text(points, record.on, asked))


def _text(points: Sequence[tuple[date, float]], on: date, asked: float) -> str:
    """What a reader of lines hears: the first day, today, and when it reaches what is asked."""
    known = dict(points)
    said = {
        "first": out_of_100(points[0][1]),
        "first_day": day_month(points[0][0], on),
        "now": out_of_100(known[on]),
        "last": out_of_100(points[-1][1]),
        "last_day": day_month(points[-1][0], on),
        "asked": out_of_100(asked),
    }
    return words.say("course.from-first" if points[0][0] < on else "course.from-today", **said)
